package piece

import (
	"math"

	"waxwright/geom/vec"
)

// eye is where a casting is hung or hangs something: the middle of a hole, or
// of a ring's bore, and half the bore in which the next ring lies.
type eye struct {
	At vec.P   // in the casting's own frame, mm
	R  float64 // mm
}

// hung says how one casting hangs.
type hung struct {
	From int     // the casting that carries it, -1 for none
	Hold eye     // where From carries it, in From's frame
	By   eye     // what it hangs by, in its own frame
	Turn float64 // against what carries it, about the vertical, radians
	Lie  float64 // in its own plane, clockwise, radians: how it lies as worn
}

// hang finds where every casting is when the piece is worn: gravity pulls along
// -y, and each bore rests on the one that carries it, straight below. Castings
// that hang from nothing stay where they were drawn. The needs have no circle
// (lang has seen to that), so order lists carriers before what they carry.
func hang(castings []hung, order []int) []vec.Place {
	poses := make([]vec.Place, len(castings))
	facing := make([]float64, len(castings)) // turn about the vertical so far
	depth := make([]int, len(castings))      // links in the chain above
	for _, i := range order {
		h := castings[i]
		if h.From < 0 {
			poses[i] = vec.TurnZ(-h.Lie)
			continue
		}
		// Quarter turns alternate, so that after an even number of them the
		// piece faces forward again, not backward.
		depth[i] = depth[h.From] + 1
		turn := h.Turn
		if depth[i]%2 == 0 {
			turn = -turn
		}
		facing[i] = facing[h.From] + turn
		rest := poses[h.From].Point(h.Hold.At)
		rest.Y -= h.Hold.R
		poses[i] = vec.Turn(vec.P{Y: 1}, facing[i]).After(vec.TurnZ(-h.Lie))
		by := poses[i].Dir(h.By.At)
		poses[i].O = rest.Sub(by)
		poses[i].O.Y -= h.By.R
	}
	return poses
}

// quarter is the turn between a link and what carries it, unless told
// otherwise: bores that lie across each other hang freely.
const quarter = math.Pi / 2
