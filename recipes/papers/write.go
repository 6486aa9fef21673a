package papers

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"

	"waxwright/recipes/build"
)

// stem begins the names of all files of p.
func (p *Papers) stem(only string) string {
	if only == "" {
		return p.Piece.Slug + "-papers"
	}
	return p.Piece.Slug + "-papers-" + only
}

// Write writes the papers to a folder and returns the names of the files: a PDF,
// an HTML file, the lists, and last the JSON with the fingerprints of all others,
// for Check. The folder is made if it is missing. Either all files appear, or none
// and an error.
func Write(ctx context.Context, disk build.Disk, p *Papers, art *Art, o Options, dir string) ([]string, error) {
	files, err := Render(ctx, p, art, o)
	if err != nil {
		return nil, err
	}
	b, err := build.NewBatch(disk, dir)
	if err != nil {
		return nil, err
	}
	defer b.Discard()
	var names []string
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := b.Add(f.Name, func(w io.Writer) error { _, err := w.Write(f.Data); return err }); err != nil {
			return nil, err
		}
		names = append(names, f.Name)
	}
	if err := b.Commit(); err != nil {
		return nil, err
	}
	return names, nil
}

// File is one file of the papers.
type File struct {
	Name string
	Data []byte
}

// Render makes all files in memory: a PDF, an HTML file, the lists, and last the
// JSON. It fills in p.Files. It fails for a sheet that there is not, and when ctx
// ends.
func Render(ctx context.Context, p *Papers, art *Art, o Options) ([]File, error) {
	if o.Paper.Name == "" {
		o.Paper = A4
	}
	var chosen []sheet
	for _, s := range sheets {
		if o.Only == s.name || o.Only == "" && (s.name != costName || p.Cost != nil) {
			chosen = append(chosen, s.build(p, art))
		}
	}
	if len(chosen) == 0 {
		return nil, fmt.Errorf("no sheet is called %q", o.Only)
	}
	stem := p.stem(o.Only)
	var files []File
	add := func(name string, write func(io.Writer) error) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		files = append(files, File{name, b.Bytes()})
		return nil
	}
	c := newCompositor()
	if err := add(stem+".pdf", func(w io.Writer) error { return writePDF(w, p, c, chosen, o.Paper) }); err != nil {
		return nil, err
	}
	if err := add(stem+".html", func(w io.Writer) error { return writeHTML(w, p, c, chosen, o.Paper) }); err != nil {
		return nil, err
	}
	for _, l := range lists {
		if o.Only == "" || o.Only == l.of {
			if err := add(p.Piece.Slug+"-"+l.name+".csv", func(w io.Writer) error { return writeCSV(w, l.rows(p)) }); err != nil {
				return nil, err
			}
		}
	}
	p.Files = nil
	for _, f := range files {
		p.Files = append(p.Files, Fingerprint{f.Name, sum(f.Data)})
	}
	err := add(stem+".json", func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		shown := *p
		if o.Only != "" && o.Only != costName {
			shown.Cost = nil // what is handed out shows no prices
		}
		return e.Encode(&shown)
	})
	return files, err
}
