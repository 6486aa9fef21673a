package bench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"mime"
	"net/http"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"waxwright/geom/picture"
	"waxwright/recipes/build"
	"waxwright/recipes/papers"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

// pictureFile and papersFile are called as the command calls what it writes.
func pictureFile(m *build.Model) string { return m.Piece.Slug + ".png" }
func papersFile(m *build.Model) string  { return m.Piece.Slug + "-papers.pdf" }

// filesOf lists what can be downloaded.
func filesOf(m *build.Model) []download {
	all := []download{{Name: m.Bundle(), Label: "all castings, 3MF"}}
	for i := range m.Castings {
		c := &m.Castings[i]
		all = append(all, download{Name: m.File(c), Label: c.Name + ", STL"})
	}
	return append(all,
		download{Name: papersFile(m), Label: "papers, PDF"},
		download{Name: pictureFile(m), Label: "picture, PNG"})
}

// parcel makes the files of one piece when they are asked for, and keeps them.
type parcel struct {
	desk  *desk
	model *build.Model // for casting
	order order
	busy  chan struct{}     // holds a token while one makes files
	made  map[string][]byte // guarded by busy
}

func (d *desk) parcel(m *build.Model, o order) *parcel {
	return &parcel{desk: d, model: m, order: o, busy: make(chan struct{}, 1), made: map[string][]byte{}}
}

// has says whether there is such a file.
func (p *parcel) has(name string) bool {
	for _, f := range filesOf(p.model) {
		if f.Name == name {
			return true
		}
	}
	return false
}

// errUnsound is why a piece is not given away.
var errUnsound = errors.New("the meshes of the piece have faults, so that it is not written: see the remarks")

// file makes a file, or returns it as it was made before.
func (p *parcel) file(ctx context.Context, name string) ([]byte, error) {
	select {
	case p.busy <- struct{}{}:
		defer func() { <-p.busy }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	if data, ok := p.made[name]; ok {
		return data, nil
	}
	if name != pictureFile(p.model) && p.model.Remarks().Faulty() {
		return nil, errUnsound
	}
	var out bytes.Buffer
	if err := p.write(ctx, &out, name); err != nil {
		return nil, err
	}
	p.made[name] = out.Bytes()
	return out.Bytes(), nil
}

// write writes a file that the parcel has.
func (p *parcel) write(ctx context.Context, w *bytes.Buffer, name string) error {
	switch name {
	case pictureFile(p.model):
		return p.picture(ctx, w)
	case papersFile(p.model):
		return p.papers(ctx, w)
	}
	for _, o := range p.model.Outputs() {
		if o.Name == name {
			return o.Write(w)
		}
	}
	return fmt.Errorf("the piece has no file %s", name)
}

// finished models the piece as it is worn.
func (p *parcel) finished(ctx context.Context) (*build.Model, error) {
	o := p.order
	done, diags := piece.ReadFor(o.src, p.desk.name, piece.Options{Set: o.set, For: piece.Finished})
	if done == nil {
		return nil, diags
	}
	return build.Make(ctx, done, build.Options{Tol: viewTol, Cache: &p.desk.cache})
}

// picture pictures the finished piece.
func (p *parcel) picture(ctx context.Context, w *bytes.Buffer) error {
	m, err := p.finished(ctx)
	if err != nil {
		return err
	}
	img, err := picture.Render(ctx, m.Scene(true), picture.Options{View: picture.Quarter})
	if err != nil {
		return err
	}
	return picture.Encode(w, img)
}

// papers writes the sheets as one PDF. The recipe that they name is the file,
// with the dials as they are turned.
func (p *parcel) papers(ctx context.Context, w *bytes.Buffer) error {
	done, err := p.finished(ctx)
	if err != nil {
		return err
	}
	report, err := proof.Prove(ctx, p.model, proof.Options{})
	if err != nil {
		return err
	}
	s := papers.Source{Cast: p.model, Finished: done, Proof: report, Name: p.desk.name, Recipe: p.order.src}
	sheets, err := papers.Gather(ctx, s, papers.Options{})
	if err != nil {
		return err
	}
	art, err := papers.Draw(ctx, s, papers.Options{})
	if err != nil {
		return err
	}
	files, err := papers.Render(ctx, sheets, art, papers.Options{})
	if err != nil {
		return err
	}
	for _, f := range files {
		if filepath.Ext(f.Name) == ".pdf" {
			_, err := w.Write(f.Data)
			return err
		}
	}
	return errors.New("the papers have no PDF")
}

const (
	// mostHeavy is how many downloads are made at one time.
	mostHeavy = 4
	// fileTime is how long a download may take to be made and sent: a large
	// piece is modelled for minutes.
	fileTime = 5 * time.Minute
)

// download gives a file of the piece as its dials stand, once it is made.
func (s *server) download(w http.ResponseWriter, r *http.Request) {
	select {
	case s.heavy <- struct{}{}:
		defer func() { <-s.heavy }()
	default:
		w.Header().Set("Retry-After", "5")
		s.refuse(w, http.StatusServiceUnavailable, "other files are being made: try again")
		return
	}
	control := http.NewResponseController(w)
	_ = control.SetReadDeadline(time.Now().Add(fileTime))
	_ = control.SetWriteDeadline(time.Now().Add(fileTime))
	ctx, cancel := context.WithTimeout(r.Context(), fileTime)
	defer cancel()

	name := r.PathValue("name")
	p, faults, err := s.desk.current(ctx)
	switch {
	case err != nil:
		return // the page has left
	case p == nil:
		s.reply(w, http.StatusConflict, refusal{Schema: schema, Error: "the recipe has faults", Faults: faults})
		return
	case !p.has(name):
		s.refuse(w, http.StatusNotFound, "the piece has no such file")
		return
	}
	data, err := p.file(ctx, name)
	switch {
	case errors.Is(err, errUnsound):
		s.refuse(w, http.StatusConflict, err.Error())
		return
	case err != nil:
		s.refuse(w, http.StatusInternalServerError, fmt.Sprintf("%s: %v", name, err))
		return
	}
	h := w.Header()
	h.Set("Content-Type", kindOf(name))
	h.Set("Content-Length", strconv.Itoa(len(data)))
	h.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	_, _ = w.Write(data)
}

// current returns the files of the piece as it was ordered last, once it is
// made; none and the faults where it has some.
func (d *desk) current(ctx context.Context) (*parcel, []fault, error) {
	var p *parcel
	var faults []fault
	err := d.await(ctx, func() bool {
		p, faults = d.files, d.now.Faults
		return p != nil || d.now.Busy == "" && !d.fresh
	})
	return p, faults, err
}

// kindOf is the media type of a file by its name.
func kindOf(name string) string {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".3mf":
		return "model/3mf"
	case ".stl":
		return "model/stl"
	case ".png":
		return "image/png"
	case ".pdf":
		return "application/pdf"
	}
	return "application/octet-stream"
}
