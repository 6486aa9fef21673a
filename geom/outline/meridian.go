package outline

import (
	"math"

	"waxwright/geom/vec"
)

// axisSlack is how far in mm from x = 0 an edge or corner counts as on the
// axis: the roundings of coordinates up to a metre, a thousandfold.
const axisSlack = 1e-9

// MeridianDist returns the exact signed distance in space to the solid that
// the outline, right of x = 0, makes when it is turned about x = 0. p is given
// as distance from the axis (not negative) and height. Straight edges on the
// axis are inside the solid, no surface.
func (o Outline) MeridianDist(p vec.P2) float64 {
	x := o.ready().meridian()
	f, ok := x.nearest(p, math.Inf(1))
	if !ok {
		return math.Inf(1)
	}
	return x.sign(p, f)
}

// offAxis returns the index without the edges on the axis. Where a span then
// ends on the axis it meets its own mirror image.
func (x *index) offAxis() *index {
	onAxis := func(p vec.P2) bool { return math.Abs(p.X) <= axisSlack }
	m := &index{loops: x.loops}
	for i, s := range x.spans {
		if s.Line() && onAxis(s.A) && onAxis(s.B) {
			continue
		}
		pl := x.place[i]
		if onAxis(s.A) {
			m.joints = append(m.joints, meet(s.mirror().Reverse(), s))
		} else {
			m.joints = append(m.joints, x.joints[pl.start])
		}
		if onAxis(s.B) {
			m.joints = append(m.joints, meet(s, s.mirror().Reverse()))
		} else {
			m.joints = append(m.joints, x.joints[pl.end])
		}
		n := int32(len(m.joints))
		pl.start, pl.end = n-2, n-1
		m.spans = append(m.spans, s)
		m.place = append(m.place, pl)
	}
	if len(m.spans) > treeFrom {
		m.grow()
	}
	return m
}

// mirror returns the mirror image of s in x = 0. Inside lies to its right.
func (s Span) mirror() Span {
	flip := func(p vec.P2) vec.P2 { return vec.P2{X: -p.X, Y: p.Y} }
	return NewSpan(flip(s.A), flip(s.B), -s.Bulge)
}
