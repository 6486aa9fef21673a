package patch

import (
	"math"

	"waxwright/geom/vec"
)

// Where two walls or two hollows touch along a line or in a point there is nothing
// that could be cast or meshed: no matter, or no room, is between them there. Such
// surfaces are parted: matter draws back from both, so that hollows run into each
// other and walls have a gap.

// Touch is a place in which matter touched itself and was parted.
type Touch struct {
	At    vec.P
	Width float64   // of what was between, mm: nothing, or next to it
	Tags  [2]uint32 // the owners of its two sides, the lesser first
}

// drawBack is the share of the tolerance by which matter draws back from each of
// two surfaces that touch: more than the greatest by which they are snapped, so
// that they are not found to touch again.
const drawBack = 0.1

// parting says of two surfaces that touch at p, in a cell, whether matter touches
// itself there, and by how much the value of their meeting changes when matter
// draws back from both by one.
func (b *builder) parting(c *cell, m *meeting, slack float64) (change float64, ok bool) {
	if c.local == nil {
		return 0, false
	}
	x, y := m.ids[0], m.ids[1]
	var signs [2*mostIn + 2]uint64
	for i, id := range c.ids {
		switch v := b.value(id, m.at); {
		case id == x:
			signs[i] = masks[0]
		case id == y:
			signs[i] = masks[1]
		case math.Abs(v) <= slackNear*slack:
			return 0, false // where the touch ends; it is to be told elsewhere
		case v < 0:
			signs[i] = math.MaxUint64
		}
	}
	two := c.truth(signs[:])
	side := b.beyondAll(x, y, m.at)
	if side == 0 {
		return 0, false
	}
	// Cases by number (bit 0: inside of x, bit 1: of y), in order across both: low,
	// between, high.
	low, between, high := 3, 1, 0
	if side < 0 {
		between = 2
	}
	_, nx := b.slope(x, m.at)
	if _, ny := b.slope(y, m.at); nx.Dot(ny) < 0 {
		low, between, high = 1, 0, 2
		if side < 0 {
			between = 3
		}
	}
	matter := func(k int) bool { return two>>k&1 != 0 }
	if matter(low) != matter(high) || matter(between) == matter(low) {
		return 0, false
	}
	for k := range 2 {
		inner := between | 1<<k // across the surface from between, or between itself
		if matter(inner) {
			change += m.parts[k]
		} else {
			change -= m.parts[k]
		}
	}
	return change, true
}

// beyondAll returns on which side of y all points of x round p lie that are not on
// y, 0 where they are on both sides, or none is off it.
func (b *builder) beyondAll(x, y int32, p vec.P) int {
	const (
		round = 16
		far   = 0.05 // mm
		clear = 1e-6 // of what a sphere of 500 mm rises over that
	)
	_, n := b.slope(x, p)
	e1 := n.Square()
	e2 := n.Cross(e1)
	from := b.value(y, p)
	side := 0
	for i := range round {
		s, c := math.Sincos((float64(i) + 0.31) * 2 * math.Pi / round)
		q, _ := b.meet([]int32{x}, p.Add(e1.Mul(far*c)).Add(e2.Mul(far*s)))
		v := b.value(y, q) - from
		if math.Abs(v) < clear {
			continue
		}
		s1 := 1
		if v < 0 {
			s1 = -1
		}
		if side == -s1 {
			return 0
		}
		side = s1
	}
	return side
}
