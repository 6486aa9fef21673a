package mesh

import (
	"cmp"

	"waxwright/geom/vec"
)

// Stray is how far in mm a mesh is from the surface that it stands for, and where.
type Stray struct {
	By float64
	At vec.P
}

// Farther returns the farther of the two; of equals the one whose place comes
// first, so that the order in which they were found does not matter.
func (s Stray) Farther(o Stray) Stray {
	if o.By < s.By {
		return s
	}
	first := cmp.Or(cmp.Compare(o.At.X, s.At.X), cmp.Compare(o.At.Y, s.At.Y), cmp.Compare(o.At.Z, s.At.Z)) < 0
	if o.By > s.By || first {
		return o
	}
	return s
}
