package sdf

import (
	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// The primitives. Each is given in its own coordinates, mostly about the z
// axis, and put in place by At. Each is exact on both sides unless it says
// otherwise.

// HalfSpace is all of N·p <= D; N is a unit vector.
type HalfSpace struct {
	N vec.P
	D float64
}

// Box is centred at the origin; Half holds half its edge lengths.
type Box struct{ Half vec.P }

// Sphere is centred at the origin.
type Sphere struct{ R float64 }

// Cylinder stands about the z axis between Z0 and Z1.
type Cylinder struct{ R, Z0, Z1 float64 }

// Cone is the frustum about the z axis with radius R0 at Z0 and R1 at Z1;
// one radius may be 0.
type Cone struct{ R0, Z0, R1, Z1 float64 }

// Torus lies about the z axis: tube radius Minor round a circle of radius
// Major in the plane z = 0.
type Torus struct{ Major, Minor float64 }

// Capsule is all points within R of the segment from A to B.
type Capsule struct {
	A, B vec.P
	R    float64
}

// Prism is an outline drawn up from Z0 to Z1. RoundTop and RoundBottom round
// its top and bottom edges with that radius (0 sharp); each needs to be less
// than the inner radius of every convex part of the outline, and their sum at
// most the height. With sharp edges it is exact on both sides.
type Prism struct {
	Outline               outline.Outline
	Z0, Z1                float64
	RoundTop, RoundBottom float64
}

// Revolve turns an outline about the z axis. The outline lives in the half
// plane of (distance from the axis, z); an edge on the axis itself is no
// surface.
type Revolve struct{ Outline outline.Outline }

// Wire is round wire of radius R along a plane path in z = 0: all points
// within R of the path. Closed joins the last Seg to the first; an open path
// ends at the last Seg's At (whose Bulge is not used).
type Wire struct {
	Path   []outline.Seg
	Closed bool
	R      float64
}

// Facets is the convex solid of all points inside every half-space. It is
// exact inside.
type Facets struct {
	Planes []HalfSpace
}
