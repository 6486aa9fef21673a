// Package layout finds where stones and their prongs go: rings, single stones,
// given points, the pockets between stones.
//
// Everything here is plane geometry in closed form: no search, no tolerance,
// the same input gives the same bits. The front is seen from +z; bearings are
// radians, 0 along +y, clockwise. Lengths are mm. Stones are numbered from 1.
// Sizes and radii that make no sense are errors that name the value.
package layout

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Spot is the place of one stone: number N, counted from 1, and where its
// frame goes (its axis along the place's z, its top along y).
type Spot struct {
	N  int
	At vec.Place
}

// Point says which way the top (local y) of a stone in a ring or row looks.
type Point uint8

// The ways a stone may point.
const (
	Out   Point = iota // away from the middle
	In                 // to the middle
	Along              // along the ring, clockwise
)

// turn is how far a stone is turned clockwise from pointing out.
func (p Point) turn() float64 {
	switch p {
	case In:
		return math.Pi
	case Along:
		return math.Pi / 2
	}
	return 0
}

// One returns the spot of a single stone at the origin, in a list like those
// of the other layouts.
func One() []Spot { return []Spot{{1, vec.Here}} }

// Points returns spots at the given places in the plane z = 0. They are
// numbered as they are given: whoever lists places has an order in mind. It
// fails for places that are not finite.
func Points(at ...vec.P2) ([]Spot, error) {
	all := make([]Spot, len(at))
	for i, p := range at {
		if !p.At(0).Finite() {
			return nil, fmt.Errorf("place %d of a stone, (%g, %g), is not finite", i+1, p.X, p.Y)
		}
		all[i] = Spot{i + 1, vec.Shift(p.At(0))}
	}
	return all, nil
}

// positive reports a length that is not a positive finite number.
func positive(what string, v float64) error {
	if !(v > 0) || math.IsInf(v, 1) {
		return fmt.Errorf("%s %g is not positive", what, v)
	}
	return nil
}

// finite reports a number that is NaN or infinite.
func finite(what string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%s %g is not a number", what, v)
	}
	return nil
}
