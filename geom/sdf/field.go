// Package sdf holds solids as signed distance fields and compiles them for
// meshing.
//
// A field is negative inside, positive outside, zero on the surface; distances
// are millimetres. Every field is 1-Lipschitz: the value never exceeds the
// distance to the surface. Where the value *is* the distance a field says so
// by Exact.
package sdf

import "waxwright/geom/vec"

// Exact says where a field's value is the true distance to its surface and
// not only a lower bound.
type Exact uint8

// The two sides on which a field can be exact.
const (
	Inside  Exact = 1 << iota // the true distance at inner points
	Outside                   // the true distance at outer points
	Both    = Inside | Outside
)

// Field is a solid. Dist returns the signed distance bound at p, Bounds a box
// that holds every inner point, Exact the sides on which Dist is exact.
//
// Fields of this package also know how to lower themselves to smooth faces
// (see Compile); any other Field compiles to one opaque face.
type Field interface {
	Dist(p vec.P) float64
	Bounds() vec.Box
	Exact() Exact
}
