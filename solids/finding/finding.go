// Package finding makes the small metal that lets a piece be worn: links,
// bails, eyes and ear posts.
package finding

import (
	"fmt"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Ring is a closed ring of round wire about the z axis, its middle at the
// origin: a jump ring, a fixed loop, a bail.
type Ring struct {
	Wire float64 // diameter, mm
	Bore float64 // inside diameter, mm
}

// Middle is the radius of the circle that the wire's axis runs along, in mm.
func (r Ring) Middle() float64 { return (r.Bore + r.Wire) / 2 }

// Field returns the ring's metal.
func (r Ring) Field() (sdf.Field, error) {
	if !(r.Wire > 0 && r.Bore > 0) {
		return nil, fmt.Errorf("ring of wire %.4g and bore %.4g: both have to be positive", r.Wire, r.Bore)
	}
	return sdf.Torus{Major: r.Middle(), Minor: r.Wire / 2}, nil
}

// Post is an ear post: round wire from z = Root down to z = -Length, with a
// half-round tip and a groove that a friction back snaps into.
type Post struct {
	Wire   float64 // diameter, mm
	Length float64 // from the surface that it stands on to its tip, mm
	Root   float64 // how far it reaches into that surface, mm
	Notch  float64 // from the tip to the middle of the groove, mm; 0 is none
	Groove float64 // depth of the groove, mm
	Pad    float64 // diameter of the disc at its foot, mm; 0 is none
	Flange float64 // thickness of that disc, mm
}

// Field returns the post's metal.
func (p Post) Field() (sdf.Field, error) {
	r := p.Wire / 2
	switch {
	case !(r > 0):
		return nil, fmt.Errorf("post wire %.4g is not positive", p.Wire)
	case !(p.Length > p.Wire):
		return nil, fmt.Errorf("post %.4g long is shorter than its wire of %.4g is thick", p.Length, p.Wire)
	case !(p.Root >= 0):
		return nil, fmt.Errorf("post root %.4g is negative", p.Root)
	case p.Notch != 0 && !(p.Notch > r && p.Notch < p.Length-p.Groove):
		return nil, fmt.Errorf("a notch %.4g from the tip does not fit on a post %.4g long", p.Notch, p.Length)
	case p.Notch != 0 && !(p.Groove > 0 && p.Groove < r/2):
		return nil, fmt.Errorf("a groove %.4g deep leaves too little of a post %.4g thick", p.Groove, p.Wire)
	case p.Pad != 0 && !(p.Pad > p.Wire && p.Flange > 0):
		return nil, fmt.Errorf("a pad %.4g across and %.4g thick does not fit a post %.4g thick", p.Pad, p.Flange, p.Wire)
	}
	var post sdf.Field = sdf.Intersection{
		sdf.Capsule{A: vec.P{Z: p.Root + p.Wire}, B: vec.P{Z: r - p.Length}, R: r},
		sdf.HalfSpace{N: vec.P{Z: 1}, D: p.Root},
	}
	if p.Notch != 0 {
		groove := sdf.At(sdf.Torus{Major: r, Minor: p.Groove}, vec.Shift(vec.P{Z: p.Notch - p.Length}))
		post = sdf.Difference{From: post, Cut: []sdf.Field{groove}}
	}
	if p.Pad != 0 {
		post = sdf.Union{post, sdf.Cylinder{R: p.Pad / 2, Z0: -p.Flange, Z1: p.Root}}
	}
	return post, nil
}
