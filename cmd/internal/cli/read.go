package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// Flags that several verbs share.
func setFlag() cli.Flag {
	return &cli.StringSliceFlag{Name: "set", Usage: "turn a dial, as `DIAL=VALUE`; may be repeated"}
}

func houseFlag() cli.Flag {
	return &cli.StringFlag{Name: "house", Usage: "judge by the limits of the house `NAME`, or of a file with a house block"}
}

func jsonFlag() cli.Flag {
	return &cli.BoolFlag{Name: "json", Usage: "print JSON for machines"}
}

func workersFlag() cli.Flag {
	return &cli.IntFlag{Name: "workers", Usage: "use `N` processors, all of them unless given"}
}

// fileOf returns the one file of a call, "" if it has none.
func fileOf(c *cli.Context) (string, error) {
	switch c.Args().Len() {
	case 0, 1:
		return c.Args().First(), nil
	}
	return "", wrong(c, "one file at a time: %s or %s", c.Args().Get(0), c.Args().Get(1))
}

// settings reads the dials that are set by the call.
func settings(c *cli.Context) (map[string]string, error) {
	set := map[string]string{}
	for _, s := range c.StringSlice("set") {
		dial, value, ok := strings.Cut(s, "=")
		dial = strings.TrimPrefix(strings.TrimSpace(dial), "dial.")
		if !ok || dial == "" || strings.TrimSpace(value) == "" {
			if dial == "" {
				dial = "dial"
			}
			return nil, wrong(c, "--set %s: write it as --set %s=value", s, dial)
		}
		if _, twice := set[dial]; twice {
			return nil, wrong(c, "--set: %s is set twice", dial)
		}
		set[dial] = value
	}
	return set, nil
}

// source reads the bytes of a recipe, "-" from standard input, and not more
// than a recipe may have and one byte.
func (r *run) source(c *cli.Context, file string) ([]byte, error) {
	in := r.In
	if file != "-" {
		f, err := r.Disk.Open(file)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, wrong(c, "there is no file %s%s", file, r.beside(file))
		case err != nil:
			return nil, err
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return nil, wrong(c, "%s is a folder, not a recipe", file)
		}
		in = f
	}
	src, err := io.ReadAll(io.LimitReader(in, lang.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", file, err)
	}
	return src, nil
}

// beside says which recipe in the same folder the name of a missing file may have
// meant; it is empty where none is like it.
func (r *run) beside(file string) string {
	const most = 1000 // names that are looked at
	dir, name := filepath.Split(file)
	d, err := r.Disk.Open(cmp.Or(dir, "."))
	if err != nil {
		return ""
	}
	defer d.Close()
	list, ok := d.(fs.ReadDirFile)
	if !ok {
		return ""
	}
	found, _ := list.ReadDir(most) // what could be read
	var stems []string
	for _, e := range found {
		if stem, ok := strings.CutSuffix(e.Name(), ".hcl"); ok && !e.IsDir() {
			stems = append(stems, stem)
		}
	}
	slices.Sort(stems)
	near := name // the ending may be all that is missing
	if !slices.Contains(stems, name) {
		near = strings.TrimSuffix(name, filepath.Ext(name))
		if len(near) < 2 && !slices.Contains(stems, near) {
			return "" // one letter is like any other
		}
		near = lang.Nearest(near, stems)
	}
	if near == "" {
		return ""
	}
	return fmt.Sprintf(": did you mean %s.hcl?", dir+near)
}

// recipe reads and compiles a recipe with the dials of the call. The remarks go
// into the answer; without a piece there is an error, or a fault among them.
// It is compiled for casting unless asked otherwise.
func (r *run) recipe(c *cli.Context, file string, a *answer, state piece.For) (*piece.Piece, error) {
	if file == "" {
		return nil, wrong(c, "which recipe? Give a file")
	}
	src, err := r.source(c, file)
	if err != nil {
		return nil, err
	}
	return compiled(c, src, file, a, state)
}

// compiled is recipe for the bytes of a file that has been read.
func compiled(c *cli.Context, src []byte, file string, a *answer, state piece.For) (*piece.Piece, error) {
	set, err := settings(c)
	if err != nil {
		return nil, err
	}
	p, remarks := piece.ReadFor(src, file, piece.Options{Set: set, For: state})
	a.Remarks = remarks
	return p, nil
}
