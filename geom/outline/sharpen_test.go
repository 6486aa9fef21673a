package outline

import (
	"math"
	"math/rand/v2"
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

// However a short span bulges, neither outline has a point farther from the other
// than is told, but for what their sides bend on so short a way.
func TestSharpenedMoves(t *testing.T) {
	const least, bend = 0.001, 0.02
	rnd := rand.New(rand.NewPCG(1, 2))
	within := func(r float64) float64 { return r * (2*rnd.Float64() - 1) }
	tried := 0
	for range 2000 {
		var l Loop
		for i := range 5 {
			sin, cos := math.Sincos(float64(i) / 5 * 2 * math.Pi)
			p := vec.P2{X: cos, Y: sin}
			l = append(l, Seg{p, within(1)}, Seg{p.Add(vec.P2{X: within(0.5 * least), Y: within(0.5 * least)}), within(0.2)})
		}
		o, err := New(l)
		if err != nil {
			continue // it crosses itself
		}
		s, moved := o.Whole().Sharpened(least)
		if moved == 0 {
			continue
		}
		tried++
		for _, c := range [2][2]Part{{s, o.Whole()}, {o.Whole(), s}} {
			for _, w := range c[0].Spans() {
				for k := range 20 {
					if far := math.Abs(c[1].Dist(w.Point(float64(k) / 20))); far > moved*(1+bend)+1e-12 {
						t.Fatalf("a point is %g off, and %g is told", far, moved)
					}
				}
			}
		}
	}
	if tried < 50 {
		t.Errorf("only %d outlines had something to sharpen", tried)
	}
}
