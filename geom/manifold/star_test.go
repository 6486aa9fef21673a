package manifold

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/exact"
	"waxwright/geom/vec"
)

// isClear judges the closed surface over a ring of points, with one tip at the
// origin and one far below, and returns whether the star of the first is clear.
// Its triangles at the origin are the first ones.
func isClear(ring []vec.P) (*mesh.Mesh, bool) {
	m := &mesh.Mesh{V: append([]vec.P{{}, {Z: -100}}, ring...)}
	n := uint32(len(ring))
	for tip := range uint32(2) {
		for i := range n {
			a, b := 2+i, 2+(i+1)%n
			if tip == 1 {
				a, b = b, a
			}
			m.T = append(m.T, [3]uint32{tip, a, b})
		}
	}
	j := &judge{ctx: context.Background(), m: m, o: Options{}.withDefaults()}
	j.around()
	return m, j.clear[0]
}

// turns is a ring of n points that goes round a number of times, up and down.
func turns(n, times int, height float64) []vec.P {
	ring := make([]vec.P, n)
	for i := range ring {
		s, c := math.Sincos(2 * math.Pi * float64(i*times) / float64(n))
		ring[i] = vec.P{X: c, Y: s, Z: height * float64(i%2*2-1)}
	}
	return ring
}

func TestStar(t *testing.T) {
	for _, c := range []struct {
		name string
		ring []vec.P
		want bool
	}{
		{"flat", turns(7, 1, 0), true},
		{"two in one line, twice", turns(4, 1, 0), true},
		{"saddle", turns(8, 1, 0.5), true},
		{"corner of a cube", []vec.P{{X: -1}, {Z: -1}, {Y: -1}}, true},
		{"twice round", turns(11, 2, 0), false},
		{"twice round, up and down", turns(10, 2, 0.1), false},
		{"three times round", turns(10, 3, 0), false},
		{"flat on itself", []vec.P{{X: 1}, {X: 1, Y: 1}, {Y: 1}, {X: 1, Y: 0.5}}, false},
		{"many", turns(maxStar+1, 1, 0), false},
	} {
		if _, got := isClear(c.ring); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A star that is clear has no two triangles that meet beyond its vertex, but
// for neighbours, by relateAt.
func TestStarAgreesWithPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.OneOf(rapid.Float64Range(-1, 1), rapid.Map(rapid.IntRange(-2, 2), func(i int) float64 { return float64(i) }))
		ring := turns(rapid.IntRange(3, 9).Draw(t, "n"), rapid.IntRange(1, 3).Draw(t, "times"), c.Draw(t, "height"))
		for range rapid.IntRange(0, 4).Draw(t, "moved") {
			ring[rapid.IntRange(0, len(ring)-1).Draw(t, "i")] = vec.P{X: c.Draw(t, "x"), Y: c.Draw(t, "y"), Z: c.Draw(t, "z")}
		}
		m, clear := isClear(ring)
		if !clear {
			return
		}
		n := len(ring)
		for i := range n {
			for k := range i {
				if i-k == 1 || i-k == n-1 {
					continue
				}
				var x, y triangle
				x[0], x[1], x[2] = m.Corners(i)
				y[0], y[1], y[2] = m.Corners(k)
				if r := relateAt(&x, &y).relation; r != apart {
					t.Fatalf("a clear star, but triangles %d and %d are related by %d: %v", i, k, r, ring)
				}
			}
		}
	})
}

// turn says nothing that exact arithmetic does not: a, b and the direction lie
// in one plane up to a few roundings.
func TestTurnIsCertain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-30, 30)
		a := vec.P{X: c.Draw(t, "ax"), Y: c.Draw(t, "ay"), Z: c.Draw(t, "az")}
		d := vec.P{X: c.Draw(t, "dx"), Y: c.Draw(t, "dy"), Z: c.Draw(t, "dz")}
		b := a.Mul(c.Draw(t, "s")).Add(d.Mul(c.Draw(t, "r")))
		if got := turn(d, a, b); got != 0 && got != exact.Side(vec.P{}, a, b, d) {
			t.Fatalf("turn(%v, %v, %v) = %d", d, a, b, got)
		}
	})
}
