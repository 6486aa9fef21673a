package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
)

func anyPoint(size float64) *rapid.Generator[vec.P2] {
	return rapid.Custom(func(t *rapid.T) vec.P2 {
		c := rapid.Float64Range(-size, size)
		return vec.P2{X: c.Draw(t, "x"), Y: c.Draw(t, "y")}
	})
}

func anySpan() *rapid.Generator[Span] {
	return rapid.Custom(func(t *rapid.T) Span {
		a := anyPoint(10).Draw(t, "a")
		b := anyPoint(10).Filter(func(b vec.P2) bool { return b.Sub(a).Len() > 1e-3 }).Draw(t, "b")
		bulge := rapid.OneOf(
			rapid.Just(0.0), rapid.Just(1.0), rapid.Just(-1.0),
			rapid.Float64Range(-1e-9, 1e-9), rapid.Float64Range(-4, 4),
		).Draw(t, "bulge")
		return NewSpan(a, b, bulge)
	})
}

func near(t interface{ Fatalf(string, ...any) }, what string, got, want, slack float64) {
	if !(math.Abs(got-want) <= slack) {
		t.Fatalf("%s = %.17g, want %.17g within %g", what, got, want, slack)
	}
}

// The quarter circle from (1, 0) to (0, 1): all its figures are known.
func TestQuarterCircle(t *testing.T) {
	s := NewSpan(vec.P2{X: 1}, vec.P2{Y: 1}, math.Tan(math.Pi/8))
	near(t, "radius", s.Radius(), 1, 1e-15)
	near(t, "centre", s.Centre().Len(), 0, 1e-15)
	near(t, "sweep", s.Sweep, math.Pi/2, 1e-15)
	near(t, "length", s.Len, math.Pi/2, 1e-15)
	near(t, "start tangent", s.T0.Sub(vec.P2{Y: 1}).Len(), 0, 1e-15)
	near(t, "end tangent", s.T1.Sub(vec.P2{X: -1}).Len(), 0, 1e-15)
	near(t, "outside", s.Dist(vec.P2{X: 3, Y: 4}), 4, 1e-14)
	near(t, "inside", s.Dist(vec.P2{X: 0.3, Y: 0.4}), -0.5, 1e-15)
	near(t, "on the start's tangent", s.Dist(vec.P2{X: 1, Y: -3}), 0, 1e-15)
	near(t, "right of the end's tangent", s.Dist(vec.P2{X: -2, Y: 1.5}), 0.5, 1e-15)
}

func TestSpanIsOneCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySpan().Draw(t, "s")
		u := rapid.Float64Range(0, 1).Draw(t, "u")
		q := s.Point(u)
		near(t, "end", s.Point(1-1e-16).Sub(s.B).Len(), 0, 1e-11)
		near(t, "distance of a point of the curve", s.Near(q).Dist, 0, 1e-11)
		near(t, "its place", s.Point(s.Near(q).T).Sub(q).Len(), 0, 1e-6)
		if !s.Line() && s.Radius() < 1e4 {
			near(t, "distance from the centre", q.Sub(s.Centre()).Len(), s.Radius(), 1e-10)
		}
		const h = 1e-6
		if u > h && u < 1-h {
			step := s.Point(u + h).Sub(s.Point(u - h)).Mul(1 / (2 * h * s.Len))
			near(t, "tangent", step.Sub(s.Tangent(u)).Len(), 0, 1e-6)
		}
		// a step to the right is a step outwards
		d := rapid.Float64Range(-0.1, 0.1).Draw(t, "d")
		if s.Line() || s.Radius() > 0.2 && math.Abs(s.Sweep) < 3 {
			near(t, "signed distance", s.Dist(q.Add(s.Normal(u).Mul(d))), d, 1e-11)
		}
		box := s.Bounds()
		for _, over := range []float64{box.Min.X - q.X, q.X - box.Max.X, box.Min.Y - q.Y, q.Y - box.Max.Y} {
			if over > 1e-9 {
				t.Fatalf("%v lies %g outside %v", q, over, box)
			}
		}
	})
}

func TestNearIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, p := anySpan().Draw(t, "s"), anyPoint(20).Draw(t, "p")
		f := s.Near(p)
		near(t, "distance to the foot", f.At.Sub(p).Len(), f.Dist, 1e-10)
		near(t, "place of the foot", s.Point(f.T).Sub(f.At).Len(), 0, 1e-8)
		for i := range 50 {
			if d := s.Point(float64(i) / 49).Sub(p).Len(); d < f.Dist-1e-10 {
				t.Fatalf("point %d lies at %g, the foot at %g", i, d, f.Dist)
			}
		}
		d, n := s.DistNormal(p)
		near(t, "normal's length", n.Len(), 1, 1e-12)
		near(t, "value on the curve", s.Dist(p.Sub(n.Mul(d))), 0, 1e-9)
		r := s.Reverse()
		near(t, "reversed", r.Dist(p), -d, 1e-10)
	})
}

func TestRunsOfARoundedSquare(t *testing.T) {
	q := math.Tan(math.Pi / 8)
	round := Loop{{vec.P2{X: 2, Y: -1}, 0}, {vec.P2{X: 2, Y: 1}, q}, {vec.P2{X: 1, Y: 2}, 0}, {vec.P2{X: -2, Y: 2}, 0}, {vec.P2{X: -2, Y: -2}, 0}, {vec.P2{X: 1, Y: -2}, q}}
	runs := round.Runs()
	if len(runs) != 2 {
		t.Fatalf("%d runs, want 2", len(runs))
	}
	total := 0
	for i, r := range runs {
		total += len(r.Spans)
		if r.First != 3+i || r.Start != Convex || r.End != Convex || r.Closed {
			t.Fatalf("run %+v, want it to start at 3 or 4 between convex corners", r)
		}
	}
	if total != len(round) {
		t.Fatalf("runs hold %d spans, want %d", total, len(round))
	}
	if _, _, ok := round.Circle(); ok {
		t.Fatal("a rounded square counts as a circle")
	}
	disc := Loop{{vec.P2{X: 7, Y: 2}, 1}, {vec.P2{X: 3, Y: 2}, 1}}
	if c, r, ok := disc.Circle(); !ok || c != (vec.P2{X: 5, Y: 2}) || r != 2 {
		t.Fatalf("circle %v %v %v", c, r, ok)
	}
	if runs := disc.Runs(); len(runs) != 1 || !runs[0].Closed {
		t.Fatalf("a circle has runs %+v", runs)
	}
	near(t, "distance to a closed run", disc.Runs()[0].Dist(vec.P2{X: 5, Y: 7}), 3, 1e-15)
}
