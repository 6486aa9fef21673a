package sdf

import (
	"cmp"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Distances of the primitives that are round about the z axis. Each is a plane
// distance in the half plane of rho (distance from the axis) and z.

// rhoOf returns the distance of p from the z axis.
func rhoOf(p vec.P) float64 { return p.XY().Len() }

// roundBox is the box about the z axis with radius r between z0 and z1.
func roundBox(r, z0, z1 float64) vec.Box {
	return vec.Box{Min: vec.P{X: -r, Y: -r, Z: z0}, Max: vec.P{X: r, Y: r, Z: z1}}
}

// corner returns the signed distance to the quarter plane that two bounds
// make, one on each axis: u and v are the signed distances to their edges.
func corner(u, v float64) float64 {
	if u > 0 && v > 0 {
		return math.Sqrt(float64(u*u) + float64(v*v))
	}
	return max(u, v)
}

// Dist is the distance to the sphere.
func (s Sphere) Dist(p vec.P) float64 { return p.Len() - s.R }

// Bounds is the cube around the sphere.
func (s Sphere) Bounds() vec.Box { return roundBox(s.R, -s.R, s.R) }

// Exact is both sides.
func (s Sphere) Exact() Exact { return Both }

// Check reports a radius that is not positive and finite.
func (s Sphere) Check() error { return positive("sphere radius", s.R) }

// Dist is the distance to wall, foot or top.
func (c Cylinder) Dist(p vec.P) float64 {
	return corner(rhoOf(p)-c.R, max(c.Z0-p.Z, p.Z-c.Z1))
}

// Bounds is the box around the cylinder.
func (c Cylinder) Bounds() vec.Box { return roundBox(c.R, c.Z0, c.Z1) }

// Exact is both sides.
func (c Cylinder) Exact() Exact { return Both }

// Check reports a radius or a height that is not positive and finite.
func (c Cylinder) Check() error {
	return cmp.Or(positive("cylinder radius", c.R), rising("cylinder", c.Z0, c.Z1))
}

// Dist is the distance to side, foot or top.
func (c Cone) Dist(p vec.P) float64 {
	q := vec.P2{X: rhoOf(p), Y: p.Z}
	a, b := vec.P2{X: c.R0, Y: c.Z0}, vec.P2{X: c.R1, Y: c.Z1}
	along := b.Sub(a)
	n := along.Unit().Left().Neg() // outwards, to the right of the way up
	side := q.Sub(a).Dot(n)
	ends := max(c.Z0-q.Y, q.Y-c.Z1)
	if side <= 0 && ends <= 0 {
		return max(side, ends)
	}
	t := min(max(q.Sub(a).Dot(along)/along.Dot(along), 0), 1)
	return min(
		q.Sub(a.Lerp(b, t)).Len(),
		corner(max(q.X-c.R0, 0), math.Abs(q.Y-c.Z0)),
		corner(max(q.X-c.R1, 0), math.Abs(q.Y-c.Z1)),
	)
}

// Bounds is the box around the frustum.
func (c Cone) Bounds() vec.Box { return roundBox(max(c.R0, c.R1), c.Z0, c.Z1) }

// Exact is both sides.
func (c Cone) Exact() Exact { return Both }

// Check reports a height that is not positive, a negative radius, or two
// radii of 0.
func (c Cone) Check() error {
	return cmp.Or(
		notNegative("cone radius at the foot", c.R0),
		notNegative("cone radius at the top", c.R1),
		positive("cone's larger radius", max(c.R0, c.R1)),
		rising("cone", c.Z0, c.Z1),
	)
}

// Dist is the distance to the circle of radius Major, less Minor.
func (t Torus) Dist(p vec.P) float64 {
	u := rhoOf(p) - t.Major
	return math.Sqrt(float64(u*u)+float64(p.Z*p.Z)) - t.Minor
}

// Bounds is the box around the torus.
func (t Torus) Bounds() vec.Box {
	return roundBox(t.Major+t.Minor, -t.Minor, t.Minor)
}

// Exact is both sides of a ring with a hole, and outside where the tube is
// thicker than the ring: there it overlaps itself.
func (t Torus) Exact() Exact {
	if t.Major < t.Minor && t.Major != 0 {
		return Outside
	}
	return Both
}

// Check reports radii that are not positive and finite.
func (t Torus) Check() error {
	return cmp.Or(positive("torus radius", t.Major), positive("torus tube radius", t.Minor))
}

// Dist is the distance to the segment, less R.
func (c Capsule) Dist(p vec.P) float64 {
	w, along := p.Sub(c.A), c.B.Sub(c.A)
	l2 := along.Len2()
	if l2 == 0 {
		return w.Len() - c.R
	}
	t := min(max(w.Dot(along)/l2, 0), 1)
	return w.Sub(along.Mul(t)).Len() - c.R
}

// Bounds is the box around the capsule.
func (c Capsule) Bounds() vec.Box { return vec.BoxOf(c.A, c.B).Grow(c.R) }

// Exact is both sides.
func (c Capsule) Exact() Exact { return Both }

// Check reports a radius that is not positive, or ends that are not finite.
func (c Capsule) Check() error {
	return cmp.Or(positive("capsule radius", c.R), finite("capsule end", c.A), finite("capsule end", c.B))
}

// The checks that primitives share. A bad value is named.

func isFinite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func positive(what string, v float64) error {
	if !(v > 0) || !isFinite(v) {
		return fmt.Errorf("%s %g is not a positive number", what, v)
	}
	return nil
}

func notNegative(what string, v float64) error {
	if !(v >= 0) || !isFinite(v) {
		return fmt.Errorf("%s %g is negative or not a number", what, v)
	}
	return nil
}

func rising(what string, z0, z1 float64) error {
	if !isFinite(z0) || !isFinite(z1) || !(z0 < z1) {
		return fmt.Errorf("%s from z %g to %g has no height", what, z0, z1)
	}
	return nil
}

func finite(what string, p vec.P) error {
	if !p.Finite() {
		return fmt.Errorf("%s (%g, %g, %g) is not finite", what, p.X, p.Y, p.Z)
	}
	return nil
}

var _ = []Field{Sphere{}, Cylinder{}, Cone{}, Torus{}, Capsule{}}
