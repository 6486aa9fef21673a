// Package outline holds closed plane curves of lines and circular arcs: exact
// signed distance, nearest point, offset, area, and SVG path data as input.
//
// Promised: an Outline from New, from a constructor or from a method is valid
// (see Check): finite, its loops cross or touch neither themselves nor each
// other, outer loops run counter-clockwise and holes clockwise. Distances,
// offsets, areas and lengths are those of the lines and arcs themselves, to
// rounding; curves of other kinds (ellipses, béziers) are first replaced by
// arcs within a stated tolerance. The same calls give the same bits on every
// machine whose math.Sincos, Atan and Atan2 agree.
//
// Not promised: a smallest feature. Two loops may lie a hair apart.
//
// Lengths are millimetres, angles radians counter-clockwise; y points up.
package outline

import "waxwright/geom/vec"

// Seg is one piece of a loop: it starts at At and runs to the next Seg's At.
// Bulge is the tangent of a quarter of the arc's sweep: 0 a line, positive
// counter-clockwise, 1 a half circle. A loop's last Seg runs back to the first.
type Seg struct {
	At    vec.P2
	Bulge float64
}

// Loop is one closed curve. Counter-clockwise loops bound metal, clockwise
// loops bound holes.
type Loop []Seg

// Outline is a region of the plane bounded by loops that neither cross
// themselves nor each other: inside lies to the left of every loop.
// The zero Outline is the empty region.
//
// New prepares an Outline for fast questions; one written as a literal answers
// the same, but slowly. Loops must not be changed once it is prepared.
type Outline struct {
	Loops []Loop

	index *index // nil, or prepared from Loops
}

// prepared returns the outline of the loops, ready for questions.
func prepared(loops []Loop) Outline {
	if len(loops) == 0 {
		return Outline{}
	}
	return Outline{loops, newIndex(loops)}
}

// ready returns the index of o, making one when o is a literal or its Loops
// were replaced.
func (o Outline) ready() *index {
	if o.index != nil && o.index.of(o.Loops) {
		return o.index
	}
	return newIndex(o.Loops)
}

// Empty reports whether o is the empty region.
func (o Outline) Empty() bool { return len(o.Loops) == 0 }
