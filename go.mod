module waxwright

go 1.26.0

require (
	github.com/chromedp/cdproto v0.159.0 // events of the browser in tests
	github.com/chromedp/chromedp v0.23.0 // pages opened in Chromium by tests
	github.com/hashicorp/hcl/v2 v2.25.0 // the syntax of recipes
	github.com/hpinc/go3mf v0.24.2 // 3MF files
	github.com/hschendel/stl v1.0.4 // binary STL records
	github.com/rogpeppe/go-internal v1.16.0 // tests of the command by scripts
	github.com/schollz/progressbar/v3 v3.19.1 // progress on a terminal
	github.com/tdewolff/canvas v0.0.0-20250728095813-50d4cb1eee71 // drawings and sheets: one drawing for PDF, SVG and PNG
	github.com/tdewolff/font v0.0.0-20250430140153-b654fd8acba3 // fonts cut down to the letters that a page needs
	github.com/urfave/cli/v2 v2.27.7 // verbs and flags
	golang.org/x/image v0.48.0 // fonts for labels in pictures
	golang.org/x/term v0.47.0 // is somebody looking at the screen
	pgregory.net/rapid v1.3.0 // random input for tests
)

require (
	codeberg.org/go-pdf/fpdf v0.11.1 // indirect
	github.com/BurntSushi/freetype-go v0.0.0-20160129220410-b763ddbfe298 // indirect
	github.com/BurntSushi/graphics-go v0.0.0-20160129215708-b43f31a4a966 // indirect
	github.com/BurntSushi/xgb v0.0.0-20210121224620-deaf085860bc // indirect
	github.com/BurntSushi/xgbutil v0.0.0-20190907113008-ad855c713046 // indirect
	github.com/ByteArena/poly2tri-go v0.0.0-20170716161910-d102ad91854f // indirect
	github.com/agext/levenshtein v1.2.1 // indirect
	github.com/andybalholm/brotli v1.1.1 // indirect
	github.com/apparentlymart/go-textseg/v15 v15.0.0 // indirect
	github.com/apparentlymart/go-textseg/v17 v17.0.1 // indirect
	github.com/benoitkugler/textlayout v0.3.1 // indirect
	github.com/benoitkugler/textprocessing v0.0.3 // indirect
	github.com/cpuguy83/go-md2man/v2 v2.0.7 // indirect
	github.com/fsnotify/fsnotify v1.10.1 // indirect
	github.com/go-fonts/latin-modern v0.3.3 // indirect
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	github.com/go-text/typesetting v0.3.0 // indirect
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0 // indirect
	github.com/mitchellh/colorstring v0.0.0-20190213212951-d06e56a500db // indirect
	github.com/mitchellh/go-wordwrap v1.0.1 // indirect
	github.com/qmuntal/opc v0.7.10 // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	github.com/russross/blackfriday/v2 v2.1.0 // indirect
	github.com/srwiley/rasterx v0.0.0-20220730225603-2ab79fcdd4ef // indirect
	github.com/srwiley/scanx v0.0.0-20190309010443-e94503791388 // indirect
	github.com/stretchr/testify v1.10.0 // indirect
	github.com/tdewolff/minify/v2 v2.23.4 // indirect
	github.com/tdewolff/parse/v2 v2.8.0 // indirect
	github.com/xrash/smetrics v0.0.0-20240521201337-686a1a2994c1 // indirect
	github.com/zclconf/go-cty v1.19.0 // indirect
	golang.org/x/mod v0.42.0 // indirect
	golang.org/x/net v0.61.0 // indirect
	golang.org/x/sync v0.25.0 // indirect
	golang.org/x/sys v0.50.0 // indirect
	golang.org/x/text v0.44.0 // indirect
	golang.org/x/tools v0.52.0 // indirect
	modernc.org/knuth v0.5.5 // indirect
	modernc.org/token v1.1.0 // indirect
	star-tex.org/x/tex v0.7.1 // indirect
)
