package wall

import (
	"math"

	"waxwright/geom/vec"
)

// narrows is the narrowest place near a finding.
type narrows struct {
	p, q  vec.P
	width float64
	meets bool // there is none: the sides draw together until they meet
	least bool // the line from p to q is at a right angle to both sides
}

const (
	// settleTurn is how far in radians, 15 degrees, the sides may turn from
	// those of the finding.
	settleTurn = 15 * math.Pi / 180
	// settleRounds is how often both feet are moved: in a wedge of 7 degrees
	// the width falls to a third, between round sides it has settled.
	settleRounds = 64
	// settled is the share of the width that a round must still take off for
	// the sides to be a wedge that has not come to its end: one of 3 degrees
	// takes 0.27 %.
	settled = 0.002
	// square is the angle in radians, 2 degrees, by which the line between two
	// feet may lean to both sides and still measure a width: by 0.06 %.
	square = 2 * math.Pi / 180
)

// settle looks for the narrowest place near a finding: from each foot in turn
// the nearest point of the other side, until nothing moves. In a wedge every
// round takes the same share off the width; between round sides it ends at
// their least distance. Where the finding is no such place, as on a rod, or that
// lies in another zone, it stays as it is.
func (v *survey) settle(f *finding) narrows {
	stay := narrows{p: f.p, q: f.q, width: f.width}
	np, nq := v.fan.normal[f.near], v.fan.normal[f.far]
	like := func(n vec.P) func(uint32) bool {
		return func(t uint32) bool { return v.fan.normal[t].Dot(n) > math.Cos(settleTurn) }
	}
	likeP, likeQ := like(np), like(nq)
	p, q := f.p, f.q
	tp, tq := f.near, f.far
	reach := f.width + 2*v.o.Slack
	before, now := math.Inf(1), f.width
	for range settleRounds {
		h, ok := v.tree.NearOf(q, reach, likeP)
		if !ok {
			return stay
		}
		p, tp = h.P, h.T
		if h, ok = v.tree.NearOf(p, reach, likeQ); !ok {
			return stay
		}
		q, tq = h.P, h.T
		before, now = now, h.Dist
		if now >= before*(1-1e-9) || now < v.o.Slack {
			break
		}
	}
	if now < v.o.Slack || now < f.width/4 || now < before*(1-settled) {
		stay.meets = true
		return stay
	}
	local := v.normals.Within(vec.BoxOf(p, q).Grow(2 * v.o.Slack))
	p, np = local.At(tp, p)
	q, nq = local.At(tq, q)
	d := q.Sub(p)
	w := d.Len()
	lean := math.Cos(square) * w
	stay.least = d.Dot(np)*float64(v.side) > lean && -d.Dot(nq)*float64(v.side) > lean
	if stay.least && w < f.width && (v.o.Zone == nil || v.o.Zone(p, q, f.tags) == f.zone) {
		stay.p, stay.q, stay.width = p, q, w
	}
	return stay
}
