// Package outline holds closed plane curves of lines and circular arcs: exact
// signed distance, nearest point, offset, area, and SVG path data as input.
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
type Outline struct{ Loops []Loop }
