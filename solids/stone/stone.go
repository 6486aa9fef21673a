// Package stone holds the cuts: their solids, proportions and weights.
//
// A stone is given in its own frame: z = 0 is the underside of the girdle (for
// a cabochon its flat base), the table or dome looks along +z, the axis is z,
// its top along +y. Lengths are mm; sizes and depths of proportions are shares
// of the size across the girdle; angles are radians.
//
// Promised: volumes are closed forms of the solid itself, meshes have exact
// flat facets, a seat holds the whole stone. A new cut is one file with one
// type that is a Cut, and one line in the table of cuts.
//
// Not promised: that a real stone is cut so. Proportions are those of a
// published reference stone; see Proportions.Deepened and stock.Gem.
package stone

import (
	"fmt"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/solids/stock"
)

// Cut is a stone of a given size.
type Cut interface {
	Girdle() outline.Outline // seen from the front
	GirdleTop() float64      // z of the girdle's upper edge
	Top() float64            // z of the table or the top of the dome
	Deep() float64           // from z = 0 down to the culet; 0 for a flat base
	Volume() float64         // mm3; stock.Gem.Carats weighs it

	// Seat is the room that the stone takes in metal, larger than it by
	// clearance (0 or more, mm) on every side but a flat base: cones and
	// cylinders that hold all facets.
	Seat(clearance float64) sdf.Field
	Solid() sdf.Field // the stone itself
	Mesh() *mesh.Mesh // the stone itself, for pictures
}

// cuts are the cuts by name: each makes a stone of a size from a total depth
// as a share of it, 0 for the cut's own.
var cuts = []struct {
	name string
	make func(size, depth float64) (Cut, error)
}{
	{"round", func(size, depth float64) (Cut, error) {
		p := Reference
		if depth != 0 {
			var err error
			if p, err = p.Deepened(depth); err != nil {
				return nil, err
			}
		}
		return cutOf(NewBrilliant(size, p))
	}},
	{"cabochon", func(size, depth float64) (Cut, error) {
		if depth == 0 {
			depth = CabochonDepth
		}
		return cutOf(NewCabochon(size, depth*size))
	}},
}

// cutOf makes a nil Cut of a failed stone.
func cutOf[S Cut](s S, err error) (Cut, error) {
	if err != nil {
		return nil, err
	}
	return s, nil
}

// Names returns the names of the cuts.
func Names() []string {
	all := make([]string, len(cuts))
	for i, c := range cuts {
		all[i] = c.name
	}
	return all
}

// Faceted says whether the named cut has facets.
func Faceted(cut string) bool { return cut != "cabochon" }

// New returns a stone of the named cut, size mm across the girdle; depth is
// the total depth as a share of the size, 0 for the cut's own. It fails for an
// unknown cut, a size that no stone has, and a depth that the cut can't
// have.
func New(cut string, size, depth float64) (Cut, error) {
	for _, c := range cuts {
		if c.name == cut {
			return c.make(size, depth)
		}
	}
	return nil, fmt.Errorf("no cut is called %q", cut)
}

// SizeForCarats returns the size in mm of a stone of the named cut, depth (a
// share of the size, 0 for the cut's own) and gem that weighs ct carats: the
// weight goes with the cube of the size. It fails where New would, and for
// weights that are not positive.
func SizeForCarats(cut string, depth float64, gem stock.Gem, ct float64) (float64, error) {
	one, err := New(cut, 1, depth)
	if err != nil {
		return 0, err
	}
	if !(ct > 0) || math.IsInf(ct, 1) || !(gem.Gravity > 0) {
		return 0, fmt.Errorf("no stone of %s weighs %.4g ct", gem.Name, ct)
	}
	return math.Cbrt(ct / gem.Carats(one.Volume())), nil
}

// sized reports a size that no stone has: the limits are far off any gem and
// keep all that is worked out from the size far from roundings.
func sized(size float64) error {
	if !(size >= 1e-3 && size <= 1e4) {
		return fmt.Errorf("stone size %.4g mm is not between 0.001 and 10000", size)
	}
	return nil
}
