// Package layout finds where stones go.
package layout

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Spot is the place of one stone: number N, counted from 1.
type Spot struct {
	N  int
	At vec.Place
}

// Ring is equal stones on a circle.
type Ring struct {
	Count  int
	Radius float64 // mm, to the stones' middles
	Phase  float64 // bearing of the first, radians
	Lean   float64 // outwards, radians
}

// Spots returns the places, clockwise from the first.
func (r Ring) Spots() ([]Spot, error) {
	if r.Count < 1 || !(r.Radius > 0) {
		return nil, fmt.Errorf("ring of %d stones at radius %g", r.Count, r.Radius)
	}
	all := make([]Spot, r.Count)
	for i := range all {
		b := r.Phase + 2*math.Pi*float64(i)/float64(r.Count)
		// local y points out; leaning outwards turns the table (z) towards it
		out := vec.TurnZ(-b).After(vec.Shift(vec.P{Y: r.Radius})).After(vec.Turn(vec.P{X: 1}, -r.Lean))
		all[i] = Spot{i + 1, out}
	}
	return all, nil
}

// Pockets returns the places between neighbours that lie the distance away
// from both stones' middles, on the inner or the outer side of the ring.
func (r Ring) Pockets(away float64, outer bool) ([]vec.P2, error) {
	half := math.Pi / float64(r.Count)
	side := r.Radius * math.Sin(half)
	if !(away > side) {
		return nil, fmt.Errorf("a prong %g mm from two stones' middles does not reach between them: their middles are %g apart", away, 2*side)
	}
	rise := math.Sqrt(float64(away*away) - float64(side*side))
	if !outer {
		rise = -rise
	}
	all := make([]vec.P2, r.Count)
	for i := range all {
		all[i] = vec.Bearing(r.Radius*math.Cos(half)+rise, r.Phase+half*float64(2*i+1))
	}
	return all, nil
}
