package bench

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"time"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// desk is the one recipe that is worked on: the file as it was read, the dials
// as they were asked for, and what is known of the piece so far. Everything that
// changes it ends in a state that is told to all pages.
type desk struct {
	path  string // of the file
	name  string // what the page calls it
	cache build.Cache
	shelf shelf
	tell  func(event string, v any)
	wake  chan struct{}   // something is wanted
	pace  pace            // run's own
	alive context.Context // ends with the desk's work

	saving sync.Mutex // one save at a time

	mu    sync.Mutex
	want  order
	lost  bool               // the file could not be read
	fresh bool               // want was not taken yet
	now   state              // as told last
	hurry context.CancelFunc // stops a sketch that has had its time; nil: none has
	moved chan struct{}      // closed at the next change of the state
	files *parcel            // what can be downloaded of the piece as ordered; nil while it is made
	walls walling
	ghost order // whose model the ghost is
}

// order is what a piece is asked for.
type order struct {
	src   []byte
	set   map[string]string // dials that differ from the file
	view  piece.For
	seq   int
	by    string // the page that turned the dials
	asked time.Time
}

// same says whether two orders are of the same piece, apart from its view.
func (o order) same(p order) bool {
	return string(o.src) == string(p.src) && maps.Equal(o.set, p.set)
}

func newDesk(ctx context.Context, path string, tell func(string, any)) *desk {
	return &desk{
		path: path, name: filepath.Base(path), tell: tell,
		wake: make(chan struct{}, 1), moved: make(chan struct{}),
		now: state{
			Schema: schema, Run: newToken(), File: filepath.Base(path), Proved: -1, View: viewName(piece.Finished),
			Dials: []dial{}, Faults: []fault{}, Remarks: []remark{}, Castings: []casting{}, Files: []download{},
			Figures: figures{Weight: []figure{}, Sizes: []figure{}, Stones: []stones{}},
		},
		want: order{view: piece.Finished}, alive: ctx,
	}
}

// viewName is the word for the state that is shown.
func viewName(f piece.For) string {
	if f == piece.Finished {
		return "set"
	}
	return "to-set"
}

// revisionOf names the contents of a file.
func revisionOf(src []byte) string {
	sum := sha256.Sum256(src)
	return hex.EncodeToString(sum[:8])
}

// readFile reads a recipe, and not more than a recipe may have and one byte.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s is a folder, not a recipe", path)
	}
	return io.ReadAll(io.LimitReader(f, lang.MaxBytes+1))
}

// state returns what is known.
func (d *desk) state() state {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now
}

// change changes the state and tells it. It must be called with the lock held.
func (d *desk) change(f func(*state)) {
	f(&d.now)
	close(d.moved)
	d.moved = make(chan struct{})
	d.tell("state", d.now)
}

// ask orders the piece anew.
func (d *desk) ask(f func(*order)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.order(f)
}

// order is ask with the lock held.
func (d *desk) order(f func(*order)) {
	before := d.want
	d.want.asked = time.Now()
	f(&d.want)
	d.fresh = true
	if !d.want.same(before) {
		d.files = nil
	}
	d.walls.end()
	if d.hurry != nil {
		d.hurry()
	}
	d.change(func(s *state) {
		s.Seq, s.By, s.View, s.Busy, s.Trouble = d.want.seq, d.want.by, viewName(d.want.view), "coarse", ""
	})
	select {
	case d.wake <- struct{}{}:
	default:
	}
}

// turn asks for dials as the page by has them. An order that is older than the
// last is not taken: a page whose number is no longer free has not heard yet what
// another one turned.
func (d *desk) turn(seq int, by string, values map[string]any) (taken bool, err error) {
	set := map[string]string{}
	for name, v := range values {
		text, err := dialText(v)
		if err != nil {
			return false, fmt.Errorf("dial %s: %w", name, err)
		}
		set[name] = text
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if seq <= d.want.seq && d.want.seq > 0 {
		return false, nil
	}
	d.now.Dials = turnedTo(d.now.Dials, values)
	d.order(func(o *order) { o.seq, o.by, o.set = seq, by, set })
	return true, nil
}

// turnedTo returns dials at the values that they are turned to; without one a dial
// stands as it is saved.
func turnedTo(dials []dial, values map[string]any) []dial {
	all := slices.Clone(dials) // what was told stays
	for i := range all {
		all[i].Value = all[i].Saved
		if v, ok := values[all[i].Name]; ok {
			all[i].Value = v
		}
	}
	return all
}

// dialText writes the value of a dial as --set takes it.
func dialText(v any) (string, error) {
	switch v := v.(type) {
	case float64:
		if math.IsInf(v, 0) || math.IsNaN(v) {
			return "", fmt.Errorf("%g is no value", v)
		}
		return strconv.FormatFloat(v, 'f', -1, 64), nil
	case string:
		return v, nil
	}
	return "", fmt.Errorf("a number or a word is wanted")
}

// load reads the file again. Dials that were turned stay as they are, unless
// the file says something new about them. It reports whether the file had
// changed, or why it can't be read.
func (d *desk) load() (changed bool, err error) {
	src, err := readFile(d.path)
	if err != nil {
		return false, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.want.src != nil && string(src) == string(d.want.src) && !d.lost {
		return false, nil
	}
	d.lost = false
	d.now.Revision = revisionOf(src)
	d.order(func(o *order) {
		before, after := literals(o.src), literals(src)
		set := map[string]string{}
		for name, text := range o.set {
			if now, ok := after[name]; ok && now == before[name] {
				set[name] = text
			}
		}
		o.src, o.set = src, set
	})
	return true, nil
}

// literals are the values of the dials as a recipe writes them, as far as it
// can be read.
func literals(src []byte) map[string]string {
	all := map[string]string{}
	f, _ := lang.Read(src, "", piece.Kinds(), lang.Options{})
	if f == nil {
		return all
	}
	for _, b := range f.Dials() {
		all[b.Name] = string(src[b.At.Byte:b.At.EndByte])
	}
	return all
}

// await waits until something is true of the desk, which ok looks at with the
// lock held, or ctx ends.
func (d *desk) await(ctx context.Context, ok func() bool) error {
	for {
		d.mu.Lock()
		done, moved := ok(), d.moved
		d.mu.Unlock()
		if done {
			return nil
		}
		select {
		case <-moved:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// reread reads the file after a change outside. A file that is gone, or can't
// be read, is a fault that leaves all else as it is.
func (d *desk) reread() {
	if _, err := d.load(); err != nil {
		d.mu.Lock()
		defer d.mu.Unlock()
		d.lost = true
		d.change(func(s *state) {
			s.Faults = []fault{{Message: err.Error(), Fix: "put the recipe back in its place", File: d.name}}
		})
	}
}
