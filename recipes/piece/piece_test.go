package piece

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"waxwright/geom/vec"
)

func TestKinds(t *testing.T) {
	if err := Kinds().Check(); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, file string) *Piece {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p, diags := Read(src, filepath.Base(file), nil)
	if p == nil {
		for _, d := range diags {
			t.Errorf("%s\n\t%s\n\t%s", d, d.Line, d.Detail)
		}
		t.FailNow()
	}
	return p
}

// Every example compiles, and so does the piece in which shape and pose run
// against each other.
func TestExamples(t *testing.T) {
	files, err := filepath.Glob("../../examples/*/*.hcl")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, f := range append(files, "testdata/window.hcl") {
		p := read(t, f)
		for _, c := range p.Castings {
			if b := c.Metal.Bounds(); !b.Finite() || b.IsEmpty() {
				t.Errorf("%s, %s: bounds %v", f, c.Name, b)
			}
		}
		for i, o := range p.Owners {
			if o.Span.Line == 0 || o.Casting >= len(p.Castings) {
				t.Errorf("%s: the owner of tag %d is %+v", f, i+1, o)
			}
		}
	}
}

// A kept cut-out bears the post and carries, by three links, the plate that it
// was cut from, turned by an eighth: needs of shape run one way, of pose the
// other.
func TestWindow(t *testing.T) {
	p := read(t, "testdata/window.hcl")
	by := map[string]Casting{}
	for _, c := range p.Castings {
		by[c.Name] = c
	}
	if len(by) != 5 {
		t.Fatalf("%d castings, want frame, stud and three links", len(by))
	}
	frame, stud := by["frame"], by["stud"]
	if n := len(frame.Stones); n != 17 {
		t.Errorf("the frame holds %d stones, want 16 and 1", n)
	}
	if stud.Hang != vec.Here {
		t.Errorf("the stud is worn at %v, want where it was drawn", stud.Hang)
	}
	// an odd number of quarter-turned links: the frame faces forward ...
	if z := frame.Hang.Dir(vec.P{Z: 1}); z.Sub(vec.P{Z: 1}).Len() > 1e-12 {
		t.Errorf("the frame faces %v", z)
	}
	// ... turned by an eighth, its corner up ...
	s := math.Sqrt2 / 2
	if d := frame.Hang.Dir(vec.P{X: -s, Y: s}); d.Sub(vec.P{Y: 1}).Len() > 1e-12 {
		t.Errorf("what was drawn at the upper left points to %v, want up", d)
	}
	// ... and straight below the stud: eye to eye it is three bores and the
	// two radii of eyes, 2 * 0.6.
	stud0 := -3.6 + 0.8 + 0.6 // the stud's radius, the margin in a small plate, half an eye
	corner := math.Hypot(6, 6) + 5
	frame0 := corner - 1 - 0.3 - 0.6 // the margin in a large one, and its rounded edge
	want := vec.P{Y: stud0 - 3*2.6 - 2*0.6 - frame0}
	if d := frame.Hang.O.Sub(want).Len(); d > 1e-6 {
		t.Errorf("the frame hangs at %v, want %v", frame.Hang.O, want)
	}
	for _, l := range []string{"first", "second", "third"} {
		if x := by[l].Hang.O.X; math.Abs(x) > 1e-12 {
			t.Errorf("the %s link hangs %g off the plumb line", l, x)
		}
	}
}

// A post on balance stands on metal: not over the hole under a stone.
func TestBalanceKeepsOffHoles(t *testing.T) {
	p, d := Read([]byte(`piece "frond" {}
stones "mid" {
  layout = "one"
  gem    = "citrine"
  size   = 5
}
plate "frond" {
  form   = "ellipse"
  across = 12
  height = 20
}
bezel "mid" {
  on    = plate.frond
  holds = stones.mid
}
opening "light" {
  form    = "under"
  in      = plate.frond
  under   = stones.mid
  bearing = 0.5
}
post "ear" {
  on   = plate.frond
  wire = 0.8
  at   = "balance"
}
`), "frond.hcl", nil)
	if p == nil {
		t.Fatal(d)
	}
	const hole = (5-0.05)/2 - 0.5 // radius, under the smallest of calibrated stones
	for _, o := range p.Owners {
		if off := o.Place.O.XY().Len(); o.Role == PostRole && (off < hole+0.8/2) {
			t.Errorf("the post stands %g mm from the middle of a hole of radius %g", off, hole)
		}
	}
}
