module waxwright

go 1.26.0

require (
	github.com/hashicorp/hcl/v2 v2.25.0 // the syntax of recipes
	github.com/hpinc/go3mf v0.24.2 // 3MF files
	github.com/hschendel/stl v1.0.4 // binary STL records
	github.com/rogpeppe/go-internal v1.16.0 // tests of the command by scripts
	github.com/schollz/progressbar/v3 v3.19.1 // progress on a terminal
	github.com/urfave/cli/v2 v2.27.7 // verbs and flags
	golang.org/x/image v0.47.0 // fonts for labels in pictures
	golang.org/x/term v0.46.0 // is somebody looking at the screen
	pgregory.net/rapid v1.3.0 // random input for tests
)

require (
	github.com/agext/levenshtein v1.2.1 // indirect
	github.com/apparentlymart/go-textseg/v15 v15.0.0 // indirect
	github.com/apparentlymart/go-textseg/v17 v17.0.1 // indirect
	github.com/cpuguy83/go-md2man/v2 v2.0.7 // indirect
	github.com/mitchellh/colorstring v0.0.0-20190213212951-d06e56a500db // indirect
	github.com/mitchellh/go-wordwrap v1.0.1 // indirect
	github.com/qmuntal/opc v0.7.10 // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	github.com/russross/blackfriday/v2 v2.1.0 // indirect
	github.com/stretchr/testify v1.10.0 // indirect
	github.com/xrash/smetrics v0.0.0-20240521201337-686a1a2994c1 // indirect
	github.com/zclconf/go-cty v1.19.0 // indirect
	golang.org/x/mod v0.41.0 // indirect
	golang.org/x/sync v0.25.0 // indirect
	golang.org/x/sys v0.49.0 // indirect
	golang.org/x/text v0.43.0 // indirect
	golang.org/x/tools v0.51.0 // indirect
)
