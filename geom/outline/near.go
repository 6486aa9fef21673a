package outline

import (
	"math"

	"waxwright/geom/vec"
)

// Spot is a point of an outline.
type Spot struct {
	At        vec.P2
	Loop, Seg int     // whose span it lies on
	T         float64 // share of the span's length
	Normal    vec.P2  // outward unit normal; at a corner towards the asker, or away
	Dist      float64 // signed distance of the point asked for, negative inside
}

// Dist returns the exact signed distance from p to the outline in mm: negative
// inside, positive outside, +Inf for the empty outline.
func (o Outline) Dist(p vec.P2) float64 {
	x := o.ready()
	f, ok := x.nearest(p, math.Inf(1))
	if !ok {
		return math.Inf(1)
	}
	return x.sign(p, f)
}

// Contains reports whether p lies inside or on the outline.
func (o Outline) Contains(p vec.P2) bool { return o.Dist(p) <= 0 }

// Near returns the outline's nearest point to p. The normal is the gradient of
// Dist at p; where p lies on the outline, that of the span. ok is false for
// the empty outline and where p is not finite.
func (o Outline) Near(p vec.P2) (spot Spot, ok bool) {
	x := o.ready()
	f, ok := x.nearest(p, math.Inf(1))
	if !ok {
		return Spot{}, false
	}
	return x.spot(p, f), true
}

// spot tells all about what was found for p.
func (x *index) spot(p vec.P2, f found) Spot {
	s := &x.spans[f.span]
	spot := Spot{Loop: int(x.place[f.span].loop), Seg: int(x.place[f.span].seg), Dist: x.sign(p, f)}
	switch f.part {
	case within:
		_, spot.Normal = s.full(p)
		spot.At, spot.T = p.Sub(spot.Normal.Mul(spot.Dist)), s.share(p)
		return spot
	case atStart:
		spot.At = s.A
	case atEnd:
		spot.At, spot.T = s.B, 1
	}
	spot.Normal = p.Sub(spot.At).Unit()
	if spot.Dist < 0 {
		spot.Normal = spot.Normal.Neg()
	}
	if spot.Normal == (vec.P2{}) {
		spot.Normal = s.Normal(spot.T)
	}
	return spot
}

// Bounds returns the smallest box that holds the outline, empty for the empty
// outline.
func (o Outline) Bounds() vec.Box2 {
	b := vec.Empty2()
	for _, l := range o.Loops {
		b = b.Union(l.Bounds())
	}
	return b
}

// Bounds returns the smallest box that holds the loop.
func (l Loop) Bounds() vec.Box2 {
	b := vec.Empty2()
	for i := range l {
		b = b.Union(l.Span(i).Bounds())
	}
	return b
}
