package vec

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func point(t *rapid.T, name string) P {
	c := rapid.Float64Range(-100, 100)
	return P{c.Draw(t, name+".x"), c.Draw(t, name+".y"), c.Draw(t, name+".z")}
}

func place(t *rapid.T, name string) Place {
	axis := point(t, name+".axis")
	if axis.Len() < 1e-3 {
		axis = P{Z: 1}
	}
	m := Shift(point(t, name+".shift")).After(Turn(axis, rapid.Float64Range(-7, 7).Draw(t, name+".angle")))
	if rapid.Bool().Draw(t, name+".mirrored") {
		m = m.After(MirrorX())
	}
	return m
}

// slack allows for a few roundings of numbers up to some hundred.
const slack = 1e-11

func TestPlaceIsRigid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := place(t, "m"), place(t, "n")
		p, q := point(t, "p"), point(t, "q")
		if d := m.Point(p).Sub(m.Point(q)).Len() - p.Sub(q).Len(); math.Abs(d) > slack {
			t.Fatalf("distance changed by %g", d)
		}
		if d := m.Local(m.Point(p)).Sub(p).Len(); d > slack {
			t.Fatalf("Local does not undo Point: %g", d)
		}
		if d := m.Inverse().Point(m.Point(p)).Sub(p).Len(); d > slack {
			t.Fatalf("Inverse does not undo Point: %g", d)
		}
		if d := m.After(n).Point(p).Sub(m.Point(n.Point(p))).Len(); d > slack {
			t.Fatalf("After is not first n, then m: %g", d)
		}
		if m.After(n).Mirrored() != (m.Mirrored() != n.Mirrored()) {
			t.Fatal("two mirrors are none")
		}
		b := BoxOf(p, q)
		if got := m.Box(b).Grow(slack); !got.Has(m.Point(p)) || !got.Has(m.Point(b.Center())) {
			t.Fatal("a placed box lost its points")
		}
	})
}

func TestTurn(t *testing.T) {
	for _, c := range []struct {
		turn  float64
		p, to P
	}{
		{math.Pi / 2, P{X: 1}, P{Y: 1}}, {math.Pi, P{X: 1}, P{X: -1}},
		{-math.Pi / 2, P{X: 1}, P{Y: -1}}, {2 * math.Pi, P{X: 1, Z: 3}, P{X: 1, Z: 3}},
	} {
		if got := TurnZ(c.turn).Point(c.p); got != c.to {
			t.Errorf("%v turned by %g is %v, want exactly %v", c.p, c.turn, got, c.to)
		}
	}
	// a bearing is clockwise from the top
	if got := Bearing(2, math.Pi/2); math.Abs(got.X-2) > slack || math.Abs(got.Y) > slack {
		t.Errorf("bearing 90 degrees is %v, want to the right", got)
	}
	if a, b := Bearing(3, 0.7).At(0), TurnZ(-0.7).Point(P{Y: 3}); a.Sub(b).Len() > slack {
		t.Errorf("bearing %v is not TurnZ(-b) %v", a, b)
	}
}

func TestBox(t *testing.T) {
	if !Empty().IsEmpty() || Everywhere().IsEmpty() || (Box{}).IsEmpty() {
		t.Error("empty, everywhere or the origin is wrong")
	}
	if (Box{}).Dist(P{X: 1e-200}) == 0 {
		t.Error("a point just beside a box has no distance")
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := BoxOf(point(t, "a"), point(t, "b")), BoxOf(point(t, "c"), point(t, "d"))
		p := point(t, "p")
		if a.Union(b) != b.Union(a) || a.Union(Empty()) != a || a.Intersect(Everywhere()) != a {
			t.Fatal("union or intersection is off")
		}
		if (a.Has(p) && b.Has(p)) != a.Intersect(b).Has(p) {
			t.Fatal("intersection holds other points")
		}
		if (a.Dist(p) == 0) != a.Has(p) {
			t.Fatal("distance 0 means inside")
		}
		for _, c := range a.Corners() {
			if !a.Has(c) {
				t.Fatal("a corner lies outside")
			}
		}
		for i, c := range (Box{Min: p.Sub(P{2, 2, 2}), Max: p.Add(P{2, 2, 2})}).Corners() {
			if c != p.Octant(i, 2) {
				t.Fatalf("corner %d of a cube about %v is %v", i, p, p.Octant(i, 2))
			}
		}
	})
}
