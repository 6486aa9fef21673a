package stone

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// perHalf is into how many flat bits the mesh parts the girdle along one half
// facet: 96 round the stone, at most 0.03 % of the size inside its circle.
const perHalf = 6

// Mesh returns the stone with exact flat facets; only the round girdle is
// drawn in flat bits, its corners on the true edges. The mesh is closed, also
// where a thin girdle pinches to an edge.
func (b Brilliant) Mesh() *mesh.Mesh {
	c := b.corners()
	m := &mesh.Mesh{}
	add := func(p vec.P) uint32 {
		m.V = append(m.V, p)
		return uint32(len(m.V) - 1)
	}
	// rows of corners, counter-clockwise from the top as seen from the front
	const n = 16 * perHalf
	var table, star, tip [8]uint32 // tables's corners and stars' tips, lower halves' tips
	var over, under [n]uint32      // the girdle's edges
	culet := add(vec.P{Z: -c.deep})
	for i := range 8 {
		on, off := -math.Pi/4*float64(i), -math.Pi/4*(float64(i)+0.5)
		table[i] = add(vec.Bearing(c.t, on).At(c.top))
		star[i] = add(vec.Bearing(c.s, off).At(c.zs))
		tip[i] = add(vec.Bearing(c.l, off).At(c.zl))
	}
	for i := range n {
		p, q := c.girdle(i)
		over[i] = add(p)
		under[i] = over[i]
		if p != q {
			under[i] = add(q)
		}
	}
	// fan fills a flat convex facet given counter-clockwise from outside,
	// without the triangles that have two equal corners
	fan := func(corners ...uint32) {
		for i := 2; i < len(corners); i++ {
			t := [3]uint32{corners[0], corners[i-1], corners[i]}
			if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
				m.T = append(m.T, t)
			}
		}
	}
	fan(table[:]...)
	for i := range 8 {
		j := (i + 1) % 8
		at := 2 * perHalf * i // the main of table corner i in the girdle's rows
		fan(table[i], star[i], table[j])
		fan(table[i], star[(i+7)%8], over[at], star[i])
		fan(culet, tip[i], under[at], tip[(i+7)%8])
		for k := range 2 * perHalf {
			a, b := at+k, (at+k+1)%n
			fan(star[i], over[a], over[b])
			fan(tip[i], under[b], under[a])
			fan(over[a], under[a], under[b], over[b])
		}
	}
	return m
}

// girdle returns the i-th corner of the girdle's upper and lower edge,
// perHalf a half facet, counter-clockwise from the top; they are the same
// point where the girdle is pinched.
func (c corners) girdle(i int) (over, under vec.P) {
	if i%perHalf == 0 {
		p := vec.Bearing(c.R, -math.Pi/8*float64(i/perHalf))
		return p.At(c.g), p.At(0)
	}
	// the bearing from the middle of the half facet
	off := math.Pi / 8 * (float64(i%perHalf)/perHalf - 0.5)
	cos := math.Cos(off)
	r, pinched := c.R, false
	if e := c.edge(); c.R*cos >= e {
		r, pinched = e/cos, true
	}
	beyond := float64(r*cos) - c.chord
	p := vec.Bearing(r, -math.Pi/8*(float64(i)/perHalf))
	over, under = p.At(c.g-float64(beyond*c.upper)), p.At(beyond*c.lower)
	if pinched {
		under = over
	}
	return over, under
}
