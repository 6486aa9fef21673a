package exact

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
	"waxwright/geom/vec"
)

// rat3 is the determinant in rational numbers.
func rat3(a, b, c, d vec.P) int {
	r := func(x, y float64) *big.Rat {
		return new(big.Rat).Sub(new(big.Rat).SetFloat64(x), new(big.Rat).SetFloat64(y))
	}
	mul := func(x, y *big.Rat) *big.Rat { return new(big.Rat).Mul(x, y) }
	sub := func(x, y *big.Rat) *big.Rat { return new(big.Rat).Sub(x, y) }
	ux, uy, uz := r(b.X, a.X), r(b.Y, a.Y), r(b.Z, a.Z)
	vx, vy, vz := r(c.X, a.X), r(c.Y, a.Y), r(c.Z, a.Z)
	s := mul(r(d.X, a.X), sub(mul(uy, vz), mul(uz, vy)))
	s.Add(s, mul(r(d.Y, a.Y), sub(mul(uz, vx), mul(ux, vz))))
	s.Add(s, mul(r(d.Z, a.Z), sub(mul(ux, vy), mul(uy, vx))))
	return s.Sign()
}

func rat2(a, b, c vec.P2) int {
	return rat3(a.At(0), b.At(0), c.At(0), a.At(1))
}

// points draws four points that are likely to lie in or very near one plane.
func points(t *rapid.T) [4]vec.P {
	coarse := rapid.Bool().Draw(t, "coarse")
	coord := func() float64 {
		if coarse {
			return float64(rapid.IntRange(-3, 3).Draw(t, "c"))
		}
		return rapid.Float64Range(-30, 30).Draw(t, "c")
	}
	pt := func() vec.P { return vec.P{X: coord(), Y: coord(), Z: coord()} }
	p := [4]vec.P{pt(), pt(), pt(), pt()}
	if rapid.Bool().Draw(t, "flat") { // d in the plane of a, b, c but for rounding
		s, r := rapid.Float64Range(-1, 2).Draw(t, "s"), rapid.Float64Range(-1, 2).Draw(t, "r")
		p[3] = p[0].Add(p[1].Sub(p[0]).Mul(s)).Add(p[2].Sub(p[0]).Mul(r))
	}
	if rapid.Bool().Draw(t, "float32") {
		for i, q := range p {
			p[i] = vec.P{X: float64(float32(q.X)), Y: float64(float32(q.Y)), Z: float64(float32(q.Z))}
		}
	}
	if rapid.Bool().Draw(t, "nudge") {
		p[3].X = math.Nextafter(p[3].X, 100)
	}
	for i, q := range p { // below the promised range
		if math.Abs(q.X) < 1e-60 {
			p[i].X = 0
		}
		if math.Abs(q.Y) < 1e-60 {
			p[i].Y = 0
		}
		if math.Abs(q.Z) < 1e-60 {
			p[i].Z = 0
		}
	}
	return p
}

func TestSideAgreesWithRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for range 20 {
			p := points(t)
			if got, want := Side(p[0], p[1], p[2], p[3]), rat3(p[0], p[1], p[2], p[3]); got != want {
				t.Fatalf("Side(%v) = %d, rationals say %d", p, got, want)
			}
			a, b, c := p[0].XY(), p[1].XY(), p[3].XY()
			if got, want := Side2(a, b, c), rat2(a, b, c); got != want {
				t.Fatalf("Side2(%v %v %v) = %d, rationals say %d", a, b, c, got, want)
			}
		}
	})
}

// The point (0.5, 0.5) moved by single steps of float64 against the line from
// (12, 12) to (24, 24): the figure that plain arithmetic gets wrong (L. Kettner
// and others, "Classroom examples of robustness problems in geometric
// computations", 2008).
func TestSide2OnTheDiagonal(t *testing.T) {
	q, r := vec.P2{X: 12, Y: 12}, vec.P2{X: 24, Y: 24}
	x := 0.5
	for i := range 40 {
		y := 0.5
		for j := range 40 {
			want := 0
			if j > i {
				want = 1
			} else if j < i {
				want = -1
			}
			if got := Side2(q, r, vec.P2{X: x, Y: y}); got != want {
				t.Fatalf("steps %d, %d: side %d, want %d", i, j, got, want)
			}
			y = math.Nextafter(y, 1)
		}
		x = math.Nextafter(x, 1)
	}
}

func TestCollinear(t *testing.T) {
	a, b := vec.P{X: 0.1, Y: 0.7, Z: -3}, vec.P{X: 0.3, Y: 2.1, Z: -9}
	for _, c := range []struct {
		p    vec.P
		want bool
	}{
		{a, true}, {b, true},
		{a.Add(b.Sub(a).Mul(2)), true}, // doubling a difference is exact here
		{vec.P{X: 0.2, Y: 1.4, Z: math.Nextafter(-6, 0)}, false},
	} {
		if c.want && (rat3(a, b, c.p, vec.P{X: 1}) != 0 || rat3(a, b, c.p, vec.P{Y: 1}) != 0) {
			continue // rounding has moved the sample off the line
		}
		if got := Collinear(a, b, c.p); got != c.want {
			t.Errorf("Collinear(%v) = %v", c.p, got)
		}
	}
}

func BenchmarkSide(b *testing.B) {
	p := [4]vec.P{{X: 0.1, Y: 0.2, Z: 0.3}, {X: 1.1, Y: 0.3, Z: 0.4}, {X: 0.2, Y: 1.3, Z: 0.5}, {X: 0.4, Y: 0.4, Z: 2}}
	flat := p
	flat[3] = p[0].Add(p[1].Sub(p[0]).Mul(0.3)).Add(p[2].Sub(p[0]).Mul(0.6))
	small := flat
	for i, q := range small {
		small[i] = vec.P{X: float64(float32(q.X)), Y: float64(float32(q.Y)), Z: float64(float32(q.Z))}
	}
	small[3] = small[1].Add(small[2]).Sub(small[0])
	for name, q := range map[string][4]vec.P{"clear": p, "flat": flat, "flat32": small} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				Side(q[0], q[1], q[2], q[3])
			}
		})
	}
}
