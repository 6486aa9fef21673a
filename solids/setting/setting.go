// Package setting makes the metal that holds stones: bezels and prongs.
//
// A setting is given in the frame of its stones: z = 0 is the underside of the
// girdle for a bezel, the face of the plate for prongs; z points to the viewer.
package setting

import (
	"fmt"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Bezel is a straight wall round a stone, standing on a plate. Below the
// girdle it thickens inwards to a bearing on which the stone rests.
type Bezel struct {
	Girdle    outline.Outline // the stone's outline seen from the front, mm
	Clearance float64         // air between stone and wall, mm
	Wall      float64         // wall thickness above the bearing, mm
	Bearing   float64         // width of the ledge under the stone, mm
	Foot      float64         // z of its foot, below 0: in the plate
	Lip       float64         // z of its top edge, above 0: what is burnished over
}

// Field returns the bezel's metal, its bore open from front to back.
func (b Bezel) Field() (sdf.Field, error) {
	switch {
	case !(b.Wall > 0):
		return nil, fmt.Errorf("bezel wall %g is not positive", b.Wall)
	case !(b.Bearing > 0):
		return nil, fmt.Errorf("bezel bearing %g is not positive", b.Bearing)
	case !(b.Clearance >= 0):
		return nil, fmt.Errorf("bezel clearance %g is negative", b.Clearance)
	case !(b.Foot < 0 && b.Lip > 0):
		return nil, fmt.Errorf("bezel from z %g to %g does not span the girdle", b.Foot, b.Lip)
	}
	outer, err := b.Girdle.Offset(b.Clearance + b.Wall)
	if err != nil {
		return nil, fmt.Errorf("bezel outside: %w", err)
	}
	inner, err := b.Girdle.Offset(b.Clearance)
	if err != nil {
		return nil, fmt.Errorf("bezel inside: %w", err)
	}
	bore, err := b.Girdle.Offset(-b.Bearing)
	if err != nil || len(bore.Loops) == 0 {
		return nil, fmt.Errorf("a bearing %g wide leaves no bore in the bezel", b.Bearing)
	}
	return sdf.Difference{
		From: sdf.Prism{Outline: outer, Z0: b.Foot, Z1: b.Lip},
		Cut: []sdf.Field{
			sdf.Prism{Outline: inner, Z0: 0, Z1: b.Lip + proud},
			sdf.Prism{Outline: bore, Z0: b.Foot - proud, Z1: proud},
		},
	}, nil
}

// Prong is a straight round wire with a domed tip.
type Prong struct {
	Axis vec.P2  // where it stands, mm
	Wire float64 // diameter, mm
	Foot float64 // z of its foot, mm
	Tip  float64 // z of the top of the dome, mm
}

// Field returns the prong's metal.
func (p Prong) Field() (sdf.Field, error) {
	r := p.Wire / 2
	if !(r > 0) {
		return nil, fmt.Errorf("prong wire %g is not positive", p.Wire)
	}
	if !(p.Tip-p.Foot > p.Wire) {
		return nil, fmt.Errorf("prong from z %g to %g is shorter than its wire of %g is thick", p.Foot, p.Tip, p.Wire)
	}
	return sdf.Intersection{
		sdf.Capsule{A: p.Axis.At(p.Foot - 2*r), B: p.Axis.At(p.Tip - r), R: r},
		sdf.HalfSpace{N: vec.P{Z: -1}, D: -p.Foot},
	}, nil
}

// proud is how far a cutter stands out of what it cuts, in mm. Any positive
// length gives the same metal.
const proud = 0.5
