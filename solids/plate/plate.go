// Package plate makes the sheet that a piece is built on: flat plates of any
// outline, the rays cut into their face, and the openings through them.
//
// A plate's face lies at z = 0, its metal below: z from -Thickness to 0.
package plate

import (
	"fmt"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
)

// Plate is a flat plate.
type Plate struct {
	Outline   outline.Outline // with its holes, mm
	Thickness float64         // mm
	Round     float64         // radius of the front edge, mm; 0 is sharp
}

// Field returns the plate's metal. It fails when a size is not positive or the
// rounded edge takes more than the thickness.
func (p Plate) Field() (sdf.Field, error) {
	if !(p.Thickness > 0) {
		return nil, fmt.Errorf("plate thickness %.4g is not positive", p.Thickness)
	}
	if p.Round < 0 || p.Round >= p.Thickness {
		return nil, fmt.Errorf("rounded edge %.4g does not fit into a thickness of %.4g", p.Round, p.Thickness)
	}
	return sdf.Prism{Outline: p.Outline, Z0: -p.Thickness, Z1: 0, RoundTop: p.Round}, nil
}

// Through returns the cutter that takes an outline out of a plate of the given
// thickness, from front to back. It stands proud of both faces, so that no
// skin is left.
func Through(o outline.Outline, thickness float64) sdf.Field {
	return sdf.Prism{Outline: o, Z0: -thickness - proud, Z1: proud}
}

// proud is how far a cutter stands out of the faces that it cuts, in mm. Any
// positive length gives the same metal.
const proud = 0.5
