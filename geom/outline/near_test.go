package outline

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
)

// winding counts how often o goes round p, from many points of its loops.
func winding(o Outline, p vec.P2) int {
	const steps = 200
	sum := 0.0
	for _, l := range o.Loops {
		for i := range l {
			s := l.Span(i)
			a := s.A.Sub(p)
			for k := 1; k <= steps; k++ {
				b := s.Point(float64(k) / steps).Sub(p)
				sum += math.Atan2(a.Cross(b), a.Dot(b))
				a = b
			}
		}
	}
	return int(math.Round(sum / (2 * math.Pi)))
}

// Dist is the distance to the nearest span, whether or not a tree finds it, and
// negative where the winding number is 1.
func TestDistIsNearestSpan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOutline().Draw(t, "o")
		p := anyPoint(12).Draw(t, "p")
		least := math.Inf(1)
		for _, l := range o.Loops {
			for i := range l {
				least = min(least, l.Span(i).Near(p).Dist)
			}
		}
		d := o.Dist(p)
		near(t, "distance", math.Abs(d), least, 1e-12)
		near(t, "distance of the literal", (Outline{Loops: o.Loops}).Dist(p), d, 0)
		if math.Abs(d) > 0.01 { // farther than the winding's chords are off
			if inside := winding(o, p) == 1; inside != (d < 0) {
				t.Fatalf("distance %g, winding number %d", d, winding(o, p))
			}
		}
		spot, ok := o.Near(p)
		if !ok || spot.Dist != d {
			t.Fatalf("spot %+v, distance %g", spot, d)
		}
		near(t, "way to the spot", spot.At.Add(spot.Normal.Mul(d)).Sub(p).Len(), 0, 1e-11)
		s := o.Loops[spot.Loop].Span(spot.Seg)
		if s.Line() || p.Sub(s.Centre()).Len() > 1e-3 { // at the centre all places are as near
			near(t, "place of the spot", s.Point(spot.T).Sub(spot.At).Len(), 0, 1e-9)
		}
		// 1-Lipschitz
		q := anyPoint(12).Draw(t, "q")
		if slope := math.Abs(o.Dist(q) - d); slope > q.Sub(p).Len()+1e-12 {
			t.Fatalf("from %v to %v the distance changes by %g", p, q, slope)
		}
	})
}

// Every corner's own point, and points straight off every corner, have the
// right sign: these are where span distances tie.
func TestDistAtCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOutline().Draw(t, "o")
		for _, l := range o.Loops {
			for i := range l {
				s, next := l.Span(i), l.Span((i+1)%len(l))
				near(t, "distance of a corner", o.Dist(s.B), 0, 1e-14)
				out := s.Normal(1).Add(next.Normal(0)).Unit()
				const step = 1e-7
				if out.Dot(s.Normal(1)) < 0.05 { // too sharp for the step to leave
					continue
				}
				if d := o.Dist(s.B.Add(out.Mul(step))); !(d > 0) {
					t.Fatalf("just outside the corner %v the distance is %g", s.B, d)
				}
				if d := o.Dist(s.B.Sub(out.Mul(step))); !(d < 0) {
					t.Fatalf("just inside the corner %v the distance is %g", s.B, d)
				}
			}
		}
	})
}

// Near a convex or reflex corner of two runs the outline is the max or the min
// of the runs extended by their tangents.
func TestRunsRebuildTheOutline(t *testing.T) {
	o := must(RoundedRect(6, 4, 0))
	scallop := must(Scallop(10, 6, 0.8, 0))
	for _, o := range []Outline{o, scallop} {
		runs := o.Loops[0].Runs()
		for i, r := range runs {
			next := runs[(i+1)%len(runs)]
			v := r.Spans[len(r.Spans)-1].B
			for k := range 100 {
				p := v.Add(vec.Bearing(0.3*float64(k%10)/10, float64(k)*0.7))
				d := math.Max(r.Dist(p), next.Dist(p))
				if r.End == Reflex {
					d = math.Min(r.Dist(p), next.Dist(p))
				}
				if d*o.Dist(p) < 0 && math.Abs(d) > 1e-12 {
					t.Fatalf("%v: runs %g, outline %g", p, d, o.Dist(p))
				}
			}
		}
	}
	// a closed run is the outline itself
	disc := must(Pear(18, 30, 2))
	r := disc.Loops[0].Runs()[0]
	rapid.Check(t, func(t *rapid.T) {
		p := anyPoint(20).Draw(t, "p")
		d, n := r.DistNormal(p)
		near(t, "run", d, disc.Dist(p), 1e-12)
		near(t, "gradient", disc.Dist(p.Sub(n.Mul(d))), 0, 1e-11)
	})
}

func TestMovesKeepTheShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOutline().Draw(t, "o")
		p, by := anyPoint(12).Draw(t, "p"), anyPoint(12).Draw(t, "by")
		a := rapid.Float64Range(-7, 7).Draw(t, "angle")
		d := o.Dist(p)
		near(t, "moved", o.Moved(by).Dist(p.Add(by)), d, 1e-11)
		near(t, "turned", o.Turned(a).Dist(vec.TurnZ(a).Point(p.At(0)).XY()), d, 1e-11)
		m := o.Mirrored()
		near(t, "mirrored", m.Dist(vec.P2{X: -p.X, Y: p.Y}), d, 1e-13)
		near(t, "mirrored area", m.Area(), o.Area(), 1e-11)
		if err := m.Check(); err != nil {
			t.Fatal(err)
		}
		k := rapid.Float64Range(0.1, 10).Draw(t, "k")
		s, err := o.Scaled(k)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "scaled", s.Dist(p.Mul(k)), k*d, 1e-10)
		near(t, "scaled area", s.Area(), k*k*o.Area(), 1e-8)
	})
	o := must(Pear(18, 30, 0))
	if q := o.Turned(math.Pi / 2).Turned(math.Pi / 2).Turned(-math.Pi); q.Loops[0][1] != o.Loops[0][1] {
		t.Fatalf("quarter turns are not exact: %v, want %v", q.Loops[0][1], o.Loops[0][1])
	}
}

func TestWalkAlong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOutline().Draw(t, "o")
		l := o.Length()
		if len(o.Loops) > 1 {
			l = o.Loops[0].Length()
		}
		s := rapid.Float64Range(-2, 3).Draw(t, "s") * l
		p, tangent := o.At(s)
		near(t, "distance", o.Dist(p), 0, 1e-10)
		near(t, "tangent", tangent.Len(), 1, 1e-12)
		q, _ := o.At(s + l)
		near(t, "one round on", q.Sub(p).Len(), 0, 1e-9)
		r, _ := o.At(s + 1e-3)
		if r.Sub(p).Len() > 1e-3+1e-9 {
			t.Fatalf("a step of 0.001 goes %g", r.Sub(p).Len())
		}
	})
}

func TestHoleIn(t *testing.T) {
	plate := must(Circle(10))
	hole := must(Circle(2))
	at := func(x float64) Outline { return hole.Moved(vec.P2{X: x}) }
	o := must(HoleIn(plate, at(-5), at(5), must(Ring(1, 0.5))))
	near(t, "area", o.Area()/math.Pi, 100-4-4-(1-0.25), 1e-13)
	if err := o.Check(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		outer Outline
		holes []Outline
		want  string
	}{
		{plate, []Outline{at(0), at(9)}, "hole 2 crosses the outline at (9.83333, "},
		{plate, []Outline{at(8)}, "hole 1 touches the outline at (10, "},
		{plate, []Outline{at(20)}, "hole 1 lies outside the outline"},
		{plate, []Outline{at(0), at(1)}, "hole 2 crosses hole 1"},
		{plate, []Outline{at(0), must(Circle(1))}, "hole 2 and another lie inside each other"},
		{must(Ring(10, 1)), []Outline{at(0)}, "lie inside each other"},
		{must(Ring(10, 3)), []Outline{at(0)}, "hole 1 lies outside"},
	} {
		if _, err := HoleIn(c.outer, c.holes...); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}
