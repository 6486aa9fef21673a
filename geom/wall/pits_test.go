package wall

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

func (s solid) pits(t failer, ratio, least float64) []Pit {
	t.Helper()
	pits, err := Pits(context.Background(), s.m, ratio, least, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return pits
}

// bored returns a block 4 high, its face at z = 0, less the cuts.
func bored(t testing.TB, cuts ...sdf.Field) solid {
	return contoured(t, sdf.Difference{From: sdf.At(box(8, 6, 4), vec.Shift(vec.P{Z: -2})), Cut: cuts})
}

func TestPits(t *testing.T) {
	drill := func(r, depth float64) sdf.Field { return sdf.Cylinder{R: r, Z0: -depth, Z1: 1} }
	for _, c := range []struct {
		what  string
		solid solid
		depth float64 // 0: no pit
		width float64
	}{
		{"a hole as deep as 1.3 times its width", bored(t, drill(0.8, 2.08)), 2.08, 1.6},
		{"a hole less deep than wide", bored(t, drill(0.8, 1.5)), 0, 0},
		{"a narrow hole", bored(t, drill(0.3, 3)), 3, 0.6},
		{"a hole right through", bored(t, drill(0.3, 5)), 0, 0},
		{"a square hole", bored(t, sdf.At(box(1, 1, 4), vec.Shift(vec.P{X: 1, Y: 0.5}))), 2, 1},
		{"a long slot", bored(t, sdf.At(box(6, 0.8, 4), vec.Shift(vec.P{}))), 0, 0},
		{"a round-bottomed hole", bored(t, sdf.Capsule{A: vec.P{Z: -2}, B: vec.P{Z: 2}, R: 0.6}), 2.6, 1.2},
		{"a countersunk hole", bored(t, drill(0.4, 2), sdf.Cone{R0: 0.4, Z0: -1, R1: 1.4, Z1: 0}), 2, 0.8},
		{"a hole under a bridge, seen through two windows",
			bored(t, drill(0.8, 2.5), sdf.At(box(9, 1.2, 1.2), vec.Shift(vec.P{Z: -2.2}))), 0, 0},
	} {
		pits := c.solid.pits(t, 1, 0.3)
		if c.depth == 0 {
			if len(pits) > 0 {
				t.Errorf("%s is no pit, got %+v", c.what, pits)
			}
			continue
		}
		if len(pits) != 1 {
			t.Errorf("%s: want one pit, got %+v", c.what, pits)
			continue
		}
		p := pits[0]
		if math.Abs(p.Width-c.width) > 0.2*c.width || math.Abs(p.Depth-c.depth) > 0.1*c.depth || p.Out.Z < 0.95 {
			t.Errorf("%s: want %g deep and %g wide, got %+v", c.what, c.depth, c.width, p)
		}
	}
}

// TestPointedPit: the floor of a pointed pit is its tip.
func TestPointedPit(t *testing.T) {
	point := sdf.Union{sdf.Cone{R0: 0, Z0: -2.5, R1: 0.5, Z1: -2.2}, sdf.Cylinder{R: 0.5, Z0: -2.2, Z1: 1}}
	pits := bored(t, point).pits(t, 1, 0.3)
	if len(pits) != 1 || math.Abs(pits[0].Depth-2.5) > 0.1 {
		t.Errorf("want one pit of 2.5, got %+v", pits)
	}
}

// TestPitsFaults: what cannot be asked.
func TestPitsFaults(t *testing.T) {
	s := solid{m: bored(t).m}
	for _, ratio := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Pits(context.Background(), s.m, ratio, 0, Options{}); err == nil {
			t.Errorf("no error for ratio %g", ratio)
		}
	}
}
