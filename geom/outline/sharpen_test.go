package outline

import (
	"math"
	"testing"

	"waxwright/geom/vec"
)

// A corner of next to no radius becomes sharp: at the corner of the rectangle, or of
// the polygon, that was rounded. The corner of a square lies (sqrt 2 - 1) r from its
// arc.
func TestSharpened(t *testing.T) {
	const r = 1e-6
	o, err := RoundedRect(2, 3, r)
	if err != nil {
		t.Fatal(err)
	}
	s, moved := o.Whole().Sharpened(2 * r)
	if off := math.Abs(moved - (math.Sqrt2-1)*r); off > 1e-12 {
		t.Errorf("moved by %g", moved)
	}
	spans := s.Spans()
	if len(spans) != 4 {
		t.Fatalf("%d spans", len(spans))
	}
	for i := range spans {
		if d := (vec.P2{X: math.Abs(spans[i].A.X) - 1, Y: math.Abs(spans[i].A.Y) - 1.5}).Len(); d > 1e-12 {
			t.Errorf("corner %d is %g off", i, d)
		}
		if c, ok := s.Join(int32(i), int32((i+1)%4)); !ok || c != Convex {
			t.Errorf("corner %d is of the kind %v", i, c)
		}
	}
	for _, least := range []float64{0, r} { // an arc is pi r / 2 long
		if s, moved := o.Whole().Sharpened(least); moved != 0 || len(s.Spans()) != 8 {
			t.Errorf("at %g: %d spans, moved by %g", least, len(s.Spans()), moved)
		}
	}
}

// Bent sides stay on their circles: those of a pear's tip meet on its axis.
func TestSharpenedArcs(t *testing.T) {
	round, err := Pear(2, 3, 1e-6)
	if err != nil {
		t.Fatal(err)
	}
	s, moved := round.Whole().Sharpened(1e-5)
	if !(moved > 0 && moved < 1e-5) || len(s.Spans()) != len(round.Whole().Spans())-1 {
		t.Fatalf("moved by %g, %d spans", moved, len(s.Spans()))
	}
	for i, w := range s.Spans() {
		if w.Line() {
			continue
		}
		near := false
		for _, v := range round.Whole().Spans() {
			near = near || v.Centre().Sub(w.Centre()).Len() < 1e-9 && math.Abs(v.Radius()-w.Radius()) < 1e-9
		}
		if !near {
			t.Errorf("span %d is on a circle of its own", i)
		}
	}
}
