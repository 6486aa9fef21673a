package sdf_test

import (
	"math"
	"testing"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// end returns the chart of the rounded end of a prism, at its top or its bottom.
func end(t *testing.T, o outline.Outline, r float64, below bool) sdf.Chart {
	t.Helper()
	p := sdf.Prism{Outline: o, Z0: -1, Z1: 2}
	if below {
		p.RoundBottom = r
	} else {
		p.RoundTop = r
	}
	whole, err := sdf.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	l := whole.Faces()
	for _, w := range l.Faced() {
		if w < 0 {
			continue
		}
		if c := l.Whole().Chart(w); c.Form == sdf.FormRim || c.Form == sdf.NoForm {
			return c
		}
	}
	t.Fatal("no rounded end")
	return sdf.Chart{}
}

// An end has an edge from every corner, down to the rounding's radius: along lines
// that meet at the angle 2 w that is r / sin w inwards. A narrow arc's begins in its
// middle and goes through its centre.
func TestMitres(t *testing.T) {
	pi := math.Pi
	for _, c := range []struct {
		name    string
		o       outline.Outline
		n       int
		r, long float64
	}{
		{"circle", must(outline.Circle(2)), 0, 0.3, 0},
		{"triangle", must(outline.RegularPolygon(3, 2, 0)), 3, 0.2, 0.2 / math.Sin(pi/6)},
		{"square", must(outline.RoundedRect(2, 3, 0)), 4, 0.3, 0.3 * math.Sqrt2},
		{"heptagon", must(outline.RegularPolygon(7, 2, 0)), 7, 0.1, 0.1 / math.Sin(5*pi/14)},
		{"narrow corners", must(outline.RoundedRect(2, 3, 0.1)), 4, 0.3, 0.1 + 0.2*math.Sqrt2},
		{"wide corners", must(outline.RoundedRect(2, 3, 0.3)), 0, 0.3, 0},
	} {
		for _, below := range []bool{false, true} {
			ch := end(t, c.o, c.r, below)
			if ch.Form != sdf.FormRim || len(ch.Mitres) != c.n {
				t.Fatalf("%s: form %d, %d edges, not %d", c.name, ch.Form, len(ch.Mitres), c.n)
			}
			for _, m := range ch.Mitres {
				for _, k := range []float64{0, 0.3, 1} {
					p := m.Start.Lerp(m.End, k)
					if off, _ := m.Slope(p); math.Abs(off) > 1e-12 {
						t.Errorf("%s: %v is %g off the edge", c.name, p, off)
					}
				}
				flat := m.End.Sub(m.Start)
				if rise := flat.Dot(ch.U); math.Abs(rise-c.r) > 1e-12 || math.Abs(m.End.Sub(ch.O).Dot(ch.U)-ch.A) > 1e-12 {
					t.Errorf("%s: it rises by %g, not %g", c.name, rise, c.r)
				}
				if long := math.Hypot(flat.X, flat.Y); math.Abs(long-c.long) > 1e-9 {
					t.Errorf("%s: an edge goes %g inwards, not %g", c.name, long, c.long)
				}
				at := vec.P2{X: m.Start.X, Y: m.Start.Y}
				if d := c.o.Dist(at); math.Abs(d) > 1e-12 {
					t.Errorf("%s: an edge starts %g off the outline", c.name, d)
				}
			}
		}
	}
}

// The edge between a straight line and a circle of the radius R is a piece of a
// parabola, of the points as far from the line as from the circle. At the depth r
// they are R - r from its centre.
func TestBentMitre(t *testing.T) {
	seg := func(x, y, bulge float64) outline.Seg { return outline.Seg{At: vec.P2{X: x, Y: y}, Bulge: bulge} }
	ch := end(t, must(outline.New(outline.Loop{seg(-1, 0, 0), seg(1, 0, 1)})), 0.3, false)
	if ch.Form != sdf.FormRim || len(ch.Mitres) != 2 {
		t.Fatalf("form %d, %d edges", ch.Form, len(ch.Mitres))
	}
	for _, m := range ch.Mitres {
		for _, p := range []vec.P{m.Start, m.End} {
			if v, _ := m.Slope(p); math.Abs(v) > 1e-12 || math.Abs(math.Hypot(p.X, p.Y)-(1-p.Y)) > 1e-12 {
				t.Errorf("%v is %g off the edge, %g from the centre", p, v, math.Hypot(p.X, p.Y))
			}
		}
		// on the parabola x^2 + y^2 = (1 - y)^2 y falls by x as x grows by one
		if on := (vec.P{X: -m.End.X, Y: m.End.X * m.End.X}).Unit(); math.Abs(m.End.Y-0.3) > 1e-12 || math.Abs(on.Dot(m.Onwards)-1) > 1e-9 {
			t.Errorf("it ends at %v with the direction %v, not %v", m.End, m.Onwards, on)
		}
		if p := 1.0; !(m.Bend <= p) { // which is least at the parabola's top
			t.Errorf("the bend is %g", m.Bend)
		}
	}
}

// There is no chart where edges meet.
func TestNoMitres(t *testing.T) {
	for name, o := range map[string]outline.Outline{
		"a triangle that is too small": must(outline.RegularPolygon(3, 0.9, 0)), // its inscribed circle has the radius 0.225
		"a narrow bar":                 must(outline.RoundedRect(3, 0.4, 0)),
	} {
		if ch := end(t, o, 0.25, false); ch.Form != sdf.NoForm {
			t.Errorf("%s: form %d with %d edges", name, ch.Form, len(ch.Mitres))
		}
	}
}
