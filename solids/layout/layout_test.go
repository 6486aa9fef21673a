package layout

import (
	"cmp"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

// TestRingOfCircles holds the published rows for rings of n circles of radius
// 1 that touch: radius to their middles, the circle inside, the circle round
// all, and the size of n circles round a unit circle. 09-001 to 09-012;
// newbetuts.com 12166, circles around a unit circle.
func TestRingOfCircles(t *testing.T) {
	for i, row := range []struct {
		n                            int
		ring, inside, outside, round float64
	}{
		{3, 1.154701, 0.154701, 2.154701, 6.464102},
		{4, 1.414214, 0.414214, 2.414214, 2.414214},
		{5, 1.701302, 0.701302, 2.701302, 1.425920},
		{6, 2.000000, 1.000000, 3.000000, 1.000000},
		{8, 2.613126, 1.613126, 3.613126, 0.619914},
		{10, 3.236068, 2.236068, 4.236068, 0.447214},
		{12, 3.863703, 2.863703, 4.863703, 0.349198},
		{16, 5.125831, 4.125831, 6.125831, 0.242375},
		{24, 7.661298, 6.661298, 8.661298, 0.150121},
	} {
		id := fmt.Sprintf("09-%03d ring of %d", 4+i, row.n)
		radius, err := RingRadius(row.n, 2, 0)
		if err != nil || !near(radius, row.ring, 5e-7) {
			t.Errorf("%s: radius %.7f, published %.6f, %v", id, radius, row.ring, err)
		}
		if in, err := SizeInside(radius, 2, 0); err != nil || !near(in/2, row.inside, 5e-7) {
			t.Errorf("%s: inside %.7f, published %.6f, %v", id, in/2, row.inside, err)
		}
		if out := radius + 1; !near(out, row.outside, 5e-7) {
			t.Errorf("%s: outside %.7f, published %.6f", id, out, row.outside)
		}
		// 09-003: r = sin / (1 - sin)
		if s, err := SizeAround(row.n, 2, 0, 0); err != nil || !near(s/2, row.round, 5e-7) {
			t.Errorf("%s: round a unit circle %.7f, published %.6f, %v", id, s/2, row.round, err)
		}
		// 09-014: Steiner chain, inner by outer (liquisearch "Steiner chain")
		s := math.Sin(math.Pi / float64(row.n))
		if got := (radius - 1) / (radius + 1); !near(got, (1-s)/(1+s), 1e-12) {
			t.Errorf("09-014 %s: Steiner ratio %.9f, want %.9f", id, got, (1-s)/(1+s))
		}
		if n, err := RingCount(radius, 2, 0); err != nil || n != row.n {
			t.Errorf("%s: count %d, %v", id, n, err)
		}
		if n, err := RingCount(radius*(1-1e-6), 2, 0); err == nil && n != row.n-1 {
			t.Errorf("%s: count %d on a ring that is a hair too small", id, n)
		}
		if g, err := RingGap(row.n, radius, 2); err != nil || g > 1e-9 {
			t.Errorf("%s: gap %g, %v", id, g, err)
		}
	}
	if s, _ := SizeInside(4.37, 2.5, 0.5); !near(s, 2*(4.37-1.25-0.5), 1e-12) { // 09-013, centre R - r - gc
		t.Errorf("09-013 inside: %g", s)
	}
	if got := RowPitch(2, 0.1); !near(got, 2.1*math.Sqrt(3)/2, 1e-12) { // 09-035
		t.Errorf("09-035 hex pitch: %g", got)
	}
}

// TestSoddy holds Descartes' circles, 09-015 to 09-019 (josd.github.io
// Descartes circles; liquisearch Descartes theorem), and builds the three
// circles to find the same pocket between them.
func TestSoddy(t *testing.T) {
	for i, row := range []struct{ a, b, c, inner, outer float64 }{
		{1, 1, 1, 0.154700538, -2.154700538},
		{1, 2, 3, 0.260869565, -6.000000000},
		{2, 2, 3, 0.349545417, -5.149545417},
		{3, 3, 1, 0.291502622, -10.291502622},
	} {
		in, out, err := Soddy(row.a, row.b, row.c)
		if err != nil || !near(in, row.inner, 5e-10) || !near(out, row.outer, 5e-9) {
			t.Errorf("09-%03d: %.9f and %.9f, published %.9f and %.9f, %v", 16+i, in, out, row.inner, row.outer, err)
		}
		p, err := Pocket(touching(row.a, row.b, row.c))
		if err != nil || !near(p.R, row.inner, 5e-10) {
			t.Errorf("09-%03d built: %.9f, published %.9f, %v", 16+i, p.R, row.inner, err)
		}
	}
	for _, r := range [][3]float64{{0, 1, 1}, {1, -1, 1}, {1, 1, math.NaN()}, {math.Inf(1), 1, 1}} {
		if _, _, err := Soddy(r[0], r[1], r[2]); err == nil {
			t.Errorf("Soddy%v: no error", r)
		}
	}
}

// touching builds three circles that touch each other.
func touching(a, b, c float64) (A, B, C Circle) {
	d := a + b
	x := (float64(d*d) + float64((a+c)*(a+c)) - float64((b+c)*(b+c))) / (2 * d)
	y := math.Sqrt(float64((a+c)*(a+c)) - float64(x*x))
	return Circle{vec.P2{X: 1, Y: 2}, a}, Circle{vec.P2{X: 1 + d, Y: 2}, b}, Circle{vec.P2{X: 1 + x, Y: 2 + y}, c}
}

func TestPocketTouchesAllThree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		radius := rapid.Float64Range(0.3, 5)
		A, B, C := touching(radius.Draw(t, "a"), radius.Draw(t, "b"), radius.Draw(t, "c"))
		wide := rapid.Float64Range(1, 1.3).Draw(t, "apart")
		B.At, C.At = A.At.Lerp(B.At, wide), A.At.Lerp(C.At, wide)
		p, err := Pocket(A, B, C)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []Circle{A, B, C} {
			if g := p.Gap(c); math.Abs(g) > 1e-8*(1+p.R) {
				t.Fatalf("pocket %v is %g away from %v", p, g, c)
			}
		}
		if q, err := Pocket(A.Grown(0.05), B.Grown(0.05), C.Grown(0.05)); err == nil && q.R >= p.R {
			t.Fatalf("a gap of 0.05 made the pocket %g, without it %g", q.R, p.R)
		}
	})
	for _, c := range [][3]Circle{
		{{vec.P2{}, 1}, {vec.P2{X: 2}, 1}, {vec.P2{X: 4}, 1}},         // in line
		{{vec.P2{}, 1}, {vec.P2{}, 1}, {vec.P2{X: 2}, 1}},             // two at one place
		{{vec.P2{}, 3}, {vec.P2{X: 1}, 3}, {vec.P2{X: 0.5, Y: 1}, 3}}, // overlap
		{{vec.P2{X: math.NaN()}, 1}, {vec.P2{X: 2}, 1}, {vec.P2{Y: 2}, 1}},
	} {
		if p, err := Pocket(c[0], c[1], c[2]); err == nil {
			for _, d := range c { // a circle that does touch all is right too
				if g := p.Gap(d); math.Abs(g) > 1e-8*(1+p.R) {
					t.Errorf("pocket of %v: %v is %g away", c, p, g)
				}
			}
		}
	}
}

// TestPocketsOfARing: between two neighbours and the stone inside the ring
// that touches both, the inner pocket is Soddy's.
func TestPocketsOfARing(t *testing.T) {
	for n := 3; n <= 24; n++ {
		radius, _ := RingRadius(n, 2, 0)
		in, _ := SizeInside(radius, 2, 0)
		want, _, _ := Soddy(1, 1, in/2)
		r := Ring{Count: n, Radius: radius}
		spots, err := r.Spots()
		if err != nil {
			t.Fatal(err)
		}
		a, b := Circle{spots[0].At.O.XY(), 1}, Circle{spots[1].At.O.XY(), 1}
		p, err := Pocket(a, b, Circle{vec.P2{}, in / 2})
		if err != nil || !near(p.R, want, 1e-9) {
			t.Errorf("ring of %d: pocket %g, Soddy %g, %v", n, p.R, want, err)
			continue
		}
		at, err := r.Pockets(1+p.R, false)
		if err != nil || at[0].Sub(p.At).Len() > 1e-7 { // where the two sides meet the place is ill-conditioned
			t.Errorf("ring of %d: pocket at %v, %v; %v", n, p.At, at, err)
		}
	}
}

func TestSpotsAreNumberedClockwiseFromTheTop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(t, "n")
		step := rapid.IntRange(-200, 200).Draw(t, "steps")
		part := rapid.SampledFrom([]float64{0, 0.25, 0.5, 0.75}).Draw(t, "part")
		degrees := (float64(step) + part) * 360 / float64(n)
		r := Ring{Count: n, Radius: 4, Phase: degrees * math.Pi / 180}
		spots, err := r.Spots()
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range spots {
			want := vec.Bearing(4, 2*math.Pi/float64(n)*(float64(i)+part))
			if s.N != i+1 || s.At.O.XY().Sub(want).Len() > 1e-9 || s.At.O.Z != 0 {
				t.Fatalf("stone %d of %d at %v, want %v", s.N, n, s.At.O, want)
			}
		}
	})
}

func TestSpotsLookAndLean(t *testing.T) {
	for _, c := range []struct {
		point Point
		y     vec.P // of the stone at bearing 90 degrees, before it leans
	}{{Out, vec.P{X: 1}}, {In, vec.P{X: -1}}, {Along, vec.P{Y: -1}}} {
		spots, err := Ring{Count: 4, Radius: 3, Point: c.point}.Spots()
		if err != nil {
			t.Fatal(err)
		}
		if at := spots[1].At; at.Y.Sub(c.y).Len() > 1e-12 || at.Z.Sub(vec.P{Z: 1}).Len() > 1e-12 || at.O.Sub(vec.P{X: 3}).Len() > 1e-12 {
			t.Errorf("pointing %d: %+v", c.point, at)
		}
		spots, _ = Ring{Count: 4, Radius: 3, Point: c.point, Lean: math.Pi / 6}.Spots()
		for _, s := range spots { // the table looks outwards by half, up by cos 30
			out := s.At.O.Unit()
			if !near(s.At.Z.Dot(out), 0.5, 1e-12) || !near(s.At.Z.Z, math.Sqrt(3)/2, 1e-12) || s.At.Mirrored() {
				t.Errorf("pointing %d: stone %d leans to %v", c.point, s.N, s.At.Z)
			}
		}
	}
}

func TestPocketsCoverBothNeighbours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 30).Draw(t, "n")
		size := rapid.Float64Range(2, 6).Draw(t, "size")
		gap := rapid.Float64Range(0, 0.5).Draw(t, "gap")
		wire := rapid.Float64Range(0.8, 1.5).Draw(t, "wire")
		cover := rapid.Float64Range(0.01, 0.1).Draw(t, "cover")
		outer := rapid.Bool().Draw(t, "outer")
		radius, err := RingRadius(n, size, gap)
		if err != nil {
			t.Fatal(err)
		}
		r := Ring{Count: n, Radius: radius, Phase: rapid.Float64Range(-7, 7).Draw(t, "phase")}
		spots, _ := r.Spots()
		at, err := r.Pockets(Away(size/2, wire, cover), outer)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range at {
			for _, s := range []Spot{spots[i], spots[(i+1)%n]} {
				d := p.Sub(s.At.O.XY()).Len()
				if got := Cover(size/2, wire, d); !near(got, cover, 1e-9) {
					t.Fatalf("pocket %d covers stone %d by %g, want %g", i, s.N, got, cover)
				}
				if w := Wire(size/2, d, cover); !near(w, wire, 1e-9) {
					t.Fatalf("wire %g, want %g", w, wire)
				}
			}
		}
		if inside := at[0].Len() < radius*math.Cos(math.Pi/float64(n)); inside == outer {
			t.Fatalf("outer %v: at %g from the middle of a ring of radius %g", outer, at[0].Len(), radius)
		}
		// the same places by two circles
		a, b := Circle{spots[0].At.O.XY(), size / 2}, Circle{spots[1].At.O.XY(), size / 2}
		left, right, err := Between(a, b, wire, cover)
		if !outer { // clockwise, the middle of the ring lies on the right
			left = right
		}
		if err != nil || left.Sub(at[0]).Len() > 1e-9 {
			t.Fatalf("between %v and %v: %v, pocket %v, %v", a, b, left, at[0], err)
		}
	})
}

func TestBetweenUnequalStones(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Circle{vec.P2{X: rapid.Float64Range(-9, 9).Draw(t, "x"), Y: 1}, rapid.Float64Range(0.5, 4).Draw(t, "a")}
		b := Circle{vec.P2{}, rapid.Float64Range(0.5, 4).Draw(t, "b")}
		b.At = a.At.Add(vec.Bearing(a.R+b.R+0.2, rapid.Float64Range(0, 6.3).Draw(t, "way")))
		left, right, err := Between(a, b, 0.9, 0.2)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []vec.P2{left, right} {
			for _, c := range []Circle{a, b} {
				if got := Cover(c.R, 0.9, p.Sub(c.At).Len()); !near(got, 0.2, 1e-9) {
					t.Fatalf("covers %v by %g", c, got)
				}
			}
		}
		if b.At.Sub(a.At).Cross(left.Sub(a.At)) < 0 {
			t.Fatal("left is on the right")
		}
	})
	one := Circle{vec.P2{}, 1}
	for _, c := range []struct {
		b           Circle
		wire, cover float64
	}{
		{Circle{vec.P2{X: 5}, 1}, 0.8, 0.2},   // too far apart
		{Circle{vec.P2{X: 2}, 1}, 0.8, 0.8},   // wholly over
		{Circle{vec.P2{X: 0.1}, 3}, 0.8, 0.2}, // one inside the other
		{one, 0.8, 0.2},
		{Circle{vec.P2{X: 2}, 1}, -1, -2},
		{Circle{vec.P2{X: 2}, 1}, math.NaN(), 0},
	} {
		if l, r, err := Between(one, c.b, c.wire, c.cover); err == nil {
			t.Errorf("between %v and %v, wire %g, cover %g: %v, %v", one, c.b, c.wire, c.cover, l, r)
		}
	}
}

func TestTiesUndoEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 400).Draw(t, "n")
		size := rapid.Float64Range(0.5, 20).Draw(t, "size")
		gap := rapid.Float64Range(0, 3).Draw(t, "gap")
		radius, err := RingRadius(n, size, gap)
		if err != nil {
			t.Fatal(err)
		}
		g, err1 := RingGap(n, radius, size)
		s, err2 := SizeInRing(n, radius, gap)
		c, err3 := RingCount(radius, size, gap)
		if err := cmp.Or(err1, err2, err3); err != nil || !near(g, gap, 1e-9) || !near(s, size, 1e-9) || c != n {
			t.Fatalf("gap %g, size %g, count %d, %v", g, s, c, err)
		}
		around, err := SizeAround(n, 2*(radius-size/2-0.3), 0.3, gap)
		if n > 6 && (err != nil || !near(around, size, 1e-6)) {
			t.Fatalf("round the stone inside: %g, %v", around, err)
		}
	})
}

func TestErrorsNameTheValue(t *testing.T) {
	fails := map[string]error{}
	add := func(what string, err error) { fails[what] = err }
	spots := func(r Ring) error { _, err := r.Spots(); return err }
	pockets := func(r Ring, away float64) error { _, err := r.Pockets(away, true); return err }
	val := func(_ any, err error) error { return err }
	add("two", spots(Ring{Count: 2, Radius: 1}))
	add("a billion", spots(Ring{Count: 1e9, Radius: 1}))
	add("no radius", spots(Ring{Count: 3}))
	add("NaN", spots(Ring{Count: 3, Radius: math.NaN()}))
	add("phase", spots(Ring{Count: 3, Radius: 1, Phase: math.Inf(1)}))
	add("lean", spots(Ring{Count: 3, Radius: 1, Lean: math.NaN()}))
	add("short", pockets(Ring{Count: 6, Radius: 2}, 0.9))
	add("beyond the middle", val(Ring{Count: 3, Radius: 0.9}.Pockets(1.5, false)))
	add("NaN away", pockets(Ring{Count: 6, Radius: 2}, math.NaN()))
	add("radius of 2", val(RingRadius(2, 1, 0)))
	add("radius size", val(RingRadius(6, 0, 1)))
	add("radius gap", val(RingRadius(6, 1, -1)))
	add("overlap", val(RingGap(6, 1, 2)))
	add("size", val(SizeInRing(6, 1, 1)))
	add("count", val(RingCount(1, 2, 0)))
	add("count NaN", val(RingCount(math.NaN(), 2, 0)))
	add("inside", val(SizeInside(2, 2, 1)))
	add("around", val(SizeAround(6, 2, 0, 2)))
	add("prongs", val(Around(2, 1, 0)))
	add("prong place", val(Around(4, -1, 0)))
	add("points", val(Points(vec.P2{}, vec.P2{X: math.Inf(1)})))
	for what, err := range fails {
		if err == nil {
			t.Errorf("%s: no error", what)
		}
	}
	if n, err := RingCount(1e9, 1e-6, 0); err != nil || n != Most {
		t.Errorf("a vast ring: %d, %v", n, err)
	}
}

func TestSingleStonesAndPoints(t *testing.T) {
	if s := One(); len(s) != 1 || s[0] != (Spot{1, vec.Here}) {
		t.Errorf("one: %v", s)
	}
	s, err := Points(vec.P2{X: 3, Y: -1}, vec.P2{X: -2, Y: 4})
	if err != nil || len(s) != 2 || s[1].N != 2 || s[1].At.O != (vec.P{X: -2, Y: 4}) {
		t.Errorf("points: %v, %v", s, err)
	}
	at, err := Around(4, 2, math.Pi/4)
	if err != nil || at[0].Sub(vec.P2{X: math.Sqrt2, Y: math.Sqrt2}).Len() > 1e-12 || at[1].Sub(vec.P2{X: math.Sqrt2, Y: -math.Sqrt2}).Len() > 1e-12 {
		t.Errorf("around: %v, %v", at, err)
	}
}
