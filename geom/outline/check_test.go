package outline

import (
	"math"
	"strings"
	"testing"

	"waxwright/geom/vec"
)

func poly(xy ...float64) Loop {
	var l Loop
	for i := 0; i < len(xy); i += 2 {
		l = append(l, Seg{At: vec.P2{X: xy[i], Y: xy[i+1]}})
	}
	return l
}

func TestNewNamesFaults(t *testing.T) {
	square := poly(0, 0, 4, 0, 4, 4, 0, 4)
	for _, c := range []struct {
		name  string
		loops []Loop
		want  string
	}{
		{"one segment", []Loop{poly(1, 1)}, "1 segments"},
		{"NaN", []Loop{poly(0, 0, math.NaN(), 1, 1, 1)}, "segment 2 of loop 1"},
		{"infinite bulge", []Loop{{{vec.P2{}, math.Inf(1)}, {vec.P2{X: 1}, 0}}}, "bulge +Inf"},
		{"too far", []Loop{poly(0, 0, 1e9, 0, 0, 1)}, "1e+09"},
		{"arc too far", []Loop{{{vec.P2{}, 1e9}, {vec.P2{X: 1}, 0}}}, "reaches"},
		{"no length", []Loop{poly(0, 0, 1, 0, 1, 0, 0, 1)}, "segment 2 of loop 1 has no length at (1, 0)"},
		{"there and back", []Loop{poly(0, 0, 1, 0)}, "encloses nothing"},
		{"bow tie", []Loop{poly(0, 0, 4, 4, 4, 0, 0, 4.5)}, "segment 1 of loop 1 crosses segment 3 of loop 1"},
		{"folded", []Loop{poly(0, 0, 4, 0, 2, 0, 2, 3)}, "segment"},
		{"crossing loops", []Loop{square, poly(3, 1, 5, 1, 5, 2, 3, 2)}, "of loop 2 at (4, "},
		{"touching loops", []Loop{square, poly(4, 2, 6, 1, 6, 3)}, "touches"},
		{"tangent circles", []Loop{circle(vec.P2{}, 1), circle(vec.P2{X: 3}, 2)}, "touches segment"},
		{"the same loop twice", []Loop{square, square}, "touches"},
		{"a corner on itself", []Loop{poly(0, 0, 4, 0, 4, 4, 2, 0, 0, 4)}, "touches"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := New(c.loops...)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Fatalf("error %v, want one with %q", err, c.want)
			}
		})
	}
}

func TestNewTurnsLoopsByDepth(t *testing.T) {
	at := func(r float64) Loop { return circle(vec.P2{}, r) }
	loops := []Loop{at(1), at(4).Reversed(), at(3), at(2).Reversed()}
	o, err := New(loops...)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{-1, 16, -9, 4} {
		near(t, "area / pi", o.Loops[i].Area()/math.Pi, want, 1e-14)
	}
	near(t, "area", o.Area(), math.Pi*10, 1e-13)
	for r, want := range map[float64]float64{0.5: 0.5, 1.25: -0.25, 2.25: 0.25, 3.5: -0.5, 5: 1} {
		near(t, "distance", o.Dist(vec.P2{X: r}), want, 1e-15)
	}
	if err := (Outline{Loops: loops}).Check(); err == nil || !strings.Contains(err.Error(), "wrong way") {
		t.Fatalf("loops the wrong way round pass: %v", err)
	}
	if err := o.Check(); err != nil {
		t.Fatal(err)
	}
}

func TestCuspsAreNoFault(t *testing.T) {
	// half the sliver between two circles that touch inside: a cusp at (2, 0)
	crescent := Loop{{vec.P2{X: 2}, 1}, {vec.P2{X: -2}, 0}, {vec.P2{X: -1}, -1}}
	o, err := New(crescent)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "area", o.Area(), math.Pi/2*(4-2.25), 1e-14)
	near(t, "beyond the cusp", o.Dist(vec.P2{X: 5}), 3, 1e-15)
	near(t, "in the crescent", o.Dist(vec.Bearing(1.8, 0)), -0.2, 1e-15)
	near(t, "in the hollow", o.Dist(vec.P2{X: 0.5, Y: 0.5}), 1, 1e-15)
}

func TestEmptyOutline(t *testing.T) {
	o, err := New()
	if err != nil || !o.Empty() || o.Area() != 0 || o.Length() != 0 {
		t.Fatalf("%v %v", o, err)
	}
	if d := o.Dist(vec.P2{}); !math.IsInf(d, 1) {
		t.Fatalf("distance to nothing is %g", d)
	}
	if _, ok := o.Near(vec.P2{}); ok {
		t.Fatal("nothing has a nearest point")
	}
	if err := o.Check(); err != nil {
		t.Fatal(err)
	}
}
