package proof

import (
	"math"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
	"waxwright/solids/stock"
)

// prism is a straight prism on a convex polygon, counter-clockwise seen from +z,
// from z = 0 to h.
func prism(h float64, p ...vec.P2) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := uint32(len(p))
	for _, q := range p {
		m.V = append(m.V, q.At(0), q.At(h))
	}
	for i := uint32(0); i < n; i++ {
		j := (i + 1) % n
		m.T = append(m.T, [3]uint32{2 * i, 2 * j, 2*j + 1}, [3]uint32{2 * i, 2*j + 1, 2*i + 1})
		if i > 0 && j > 0 {
			m.T = append(m.T, [3]uint32{0, 2 * j, 2 * i}, [3]uint32{1, 2*i + 1, 2*j + 1})
		}
	}
	return m
}

// half is half a disc of radius r below the x axis, in many flat bits.
func half(r float64) []vec.P2 {
	const bits = 2000
	var p []vec.P2
	for i := range bits + 1 {
		s, c := math.Sincos(math.Pi + math.Pi*float64(i)/bits)
		p = append(p, vec.P2{X: r * c, Y: r * s})
	}
	return p
}

// Plates of one thickness hang from a point so that their centroid comes to lie
// below it: by how much they turn follows from the centroids that handbooks
// print (Beer and Johnston, Vector Mechanics for Engineers, tables of
// centroids; from memory).
func TestHangOfKnownShapes(t *testing.T) {
	deg := func(y, x float64) float64 { return math.Atan2(y, x) * 180 / math.Pi }
	for _, c := range []struct {
		what string
		m    *mesh.Mesh
		from vec.P
		want float64 // degrees, in its plane
	}{
		{"right triangle 3 x 4, hung from its upper corner", prism(1, vec.P2{}, vec.P2{X: 3}, vec.P2{Y: 4}), vec.P{Y: 4}, deg(1, 8./3)},
		{"right triangle 3 x 4, hung from the right angle, upside down", prism(1, vec.P2{}, vec.P2{Y: -4}, vec.P2{X: 3}), vec.P{}, deg(1, 4./3)},
		{"square, hung from a corner", prism(1, vec.P2{}, vec.P2{Y: -2}, vec.P2{X: 2, Y: -2}, vec.P2{X: 2}), vec.P{}, 45},
		{"rectangle 1 x 3, hung from a corner", prism(1, vec.P2{}, vec.P2{Y: -3}, vec.P2{X: 1, Y: -3}, vec.P2{X: 1}), vec.P{}, deg(0.5, 1.5)},
		{"half disc, hung from the end of its diameter", prism(1, half(6)...), vec.P{X: -6}, deg(6, 4*6/(3*math.Pi))},
		{"half disc, hung from the middle of its diameter", prism(1, half(6)...), vec.P{}, 0},
	} {
		at := c.m.Centroid()
		c.from.Z = at.Z
		forward, aside := tilt(c.from, at)
		if math.Abs(aside-c.want) > 0.001 || math.Abs(forward) > 1e-9 {
			t.Errorf("%s: turns by %.4f and tips by %.4f degrees, want %.4f", c.what, aside, forward, c.want)
		}
	}
}

// A notch in a prong leaves what geometry says: the wire less its depth, of two
// notches from opposite sides less both; a wire that nothing cuts keeps its
// width, one within a stone has none. GIA's benchmark (round centre stone in
// platinum prongs) takes 40 % of a prong's thickness at the bearing: of a 1 mm
// wire 0.6 stay.
func TestNeck(t *testing.T) {
	const far = 1000.0 // a stone so large that its edge is straight
	for _, c := range []struct {
		what string
		cuts []disc
		want float64
	}{
		{"no notch", nil, 1},
		{"40 %", []disc{{vec.P2{X: far + 0.1}, far}}, 0.6},
		{"50 %, the most that J. Revere cuts", []disc{{vec.P2{X: far}, far}}, 0.5},
		{"25 %, the most in a drawn model", []disc{{vec.P2{X: far + 0.25}, far}}, 0.75},
		{"30 % from either side", []disc{{vec.P2{X: far + 0.2}, far}, {vec.P2{X: -far - 0.2}, far}}, 0.4},
		{"all", []disc{{vec.P2{}, 1}}, 0},
	} {
		if got := neck(0.5, c.cuts); math.Abs(got-c.want) > 0.011 {
			t.Errorf("%s: a neck of %.3f, want %.3f", c.what, got, c.want)
		}
	}
}

// n equal prongs round a stone leave a free arc of 360 / n degrees; a round
// stone takes 4 or 6 and never fewer than 3 (common practice, no source): two
// leave half the edge free.
func TestFreeArc(t *testing.T) {
	for n := 1; n <= 12; n++ {
		var cs []contact
		for k := range n {
			cs = append(cs, contact{bearing: -math.Pi + 2*math.Pi*float64(k)/float64(n)})
		}
		free := freeArc(cs)
		if math.Abs(free-2*math.Pi/float64(n)) > 1e-12 {
			t.Errorf("%d prongs leave %g", n, free)
		}
		if out := free >= halfTurn; out != (n < 3) {
			t.Errorf("%d prongs let the stone out: %v", n, out)
		}
	}
	if freeArc(nil) != 2*math.Pi {
		t.Error("a stone that nothing holds is held")
	}
}

// Grades go by the gravest bound that is missed.
func TestGrades(t *testing.T) {
	house, _ := stock.HouseNamed("practised")
	b := &bench{house: house}
	for _, c := range []struct {
		figure float64
		role   stock.Role
		want   Grade
	}{
		{3.4, stock.StudWeight, none}, {3.6, stock.StudWeight, Note}, {6.1, stock.StudWeight, Caution},
		{55, stock.StudWeight, Fail}, {17, stock.DropWeight, Caution}, {55, stock.DropWeight, Fail},
		{0.85, stock.EarPost, none}, {0.75, stock.EarPost, Caution}, {0.65, stock.EarPost, Fail}, {1.02, stock.EarPost, Caution},
		{-0.01, stock.StoneAir, Fail}, {0.04, stock.StoneAir, Caution}, {0.09, stock.StoneAir, Note}, {0.10, stock.StoneAir, none},
		{70, stock.FoldHeight, none}, {55, stock.FoldHeight, Note}, {11, stock.PostLength, none}, {8, stock.PostLength, Caution},
	} {
		if r, got := b.graded(Remark{}, c.figure, c.role); got != c.want || got != none && r.Source == "" {
			t.Errorf("%s of %g: %d from %q, want %d", c.role, c.figure, got, r.Source, c.want)
		}
	}
}
