// Package setting makes the metal that holds stones: bezels and prongs, in two
// states.
//
// To set (Field), as they come out of the flask: bezel walls straight and
// open, prongs straight and proud of the table, no seat in them, for the
// setter cuts it. Set (Set), as the customer gets them: walls burnished and
// tips folded over the crown, the seat at its final depth.
//
// A setting is given in the frame of its stones: z = 0 is the underside of the
// girdle for a bezel, the face of the plate for prongs; z points to the viewer.
//
// Promised of the set state: no metal in the room of the stone (Cut.Seat with
// no clearance); the tip of a prong rises and reaches as the benchmark asks
// where its wire allows it. Not promised: that as much metal is there as was
// before; the setter trims and files.
package setting

import (
	"math"

	"waxwright/geom/vec"
	"waxwright/solids/stone"
)

// The shares at which tips are folded: in the middle of what the benchmark
// allows.
const (
	// Rise is how high the tip of a set prong stands over the girdle, as a
	// share of the height of the crown. GIA Quality Assurance Benchmark: round
	// centre stone in platinum prongs (gia.edu): 60-80 %.
	Rise = 0.70
	// Contact is how far it lies on the crown, as a share of the way from
	// girdle to table. Ibid.: 30-50 %.
	Contact = 0.40
	// MostContact bounds how far a bezel is burnished over the crown, as a
	// share of its height: the upper end of what prongs cover; for bezels
	// common practice, no source.
	MostContact = 0.50
)

// crown is the upper part of a stone in one direction, seen from the side: x
// away from the axis, y up.
type crown struct {
	cut stone.Cut
	to  vec.P2 // unit
	far float64
}

func crownOf(s stone.Cut, to vec.P2) crown {
	return crown{s, to, s.Girdle().Reach(vec.P2{})}
}

// at returns the point of the crown at the share k, from 0 to 1, of its height
// over the girdle. The stone is convex, so that bisecting finds it.
func (c crown) at(k float64) vec.P2 {
	z := c.cut.GirdleTop() + k*(c.cut.Top()-c.cut.GirdleTop())
	room := c.cut.Seat(0)
	in, out := 0.0, c.far
	for range bisections {
		mid := (in + out) / 2
		if room.Dist(c.to.Mul(mid).At(z)) < 0 {
			in = mid
		} else {
			out = mid
		}
	}
	return vec.P2{X: (in + out) / 2, Y: z}
}

// reached returns the point of the crown that lies the length mm in a straight
// line from the girdle's edge, but no higher than the share most.
func (c crown) reached(length, most float64) vec.P2 {
	edge := c.at(0)
	low, high := 0.0, most
	if c.at(most).Sub(edge).Len() <= length {
		return c.at(most)
	}
	for range bisections {
		mid := (low + high) / 2
		if c.at(mid).Sub(edge).Len() < length {
			low = mid
		} else {
			high = mid
		}
	}
	return c.at(low)
}

// bisections halves a stone of 40 mm to well under a nanometre.
const bisections = 40

// proud is how far a cutter stands out of what it cuts, in mm. Any positive
// length gives the same metal.
const proud = 0.5

// bulge returns the bulge of the arc that leaves upwards and ends after the
// chord: the angle between tangent and chord is half of the arc's.
func bulge(chord vec.P2) float64 { return math.Tan(math.Atan2(-chord.X, chord.Y) / 2) }
