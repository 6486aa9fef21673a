package sdf

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Distances of the primitives with flat faces.

// Dist is the distance to the plane.
func (h HalfSpace) Dist(p vec.P) float64 { return h.N.Dot(p) - h.D }

// Bounds is half of space where the plane is square to an axis, else all of it.
func (h HalfSpace) Bounds() vec.Box {
	b := vec.Everywhere()
	switch h.N {
	case vec.P{X: 1}:
		b.Max.X = h.D
	case vec.P{X: -1}:
		b.Min.X = -h.D
	case vec.P{Y: 1}:
		b.Max.Y = h.D
	case vec.P{Y: -1}:
		b.Min.Y = -h.D
	case vec.P{Z: 1}:
		b.Max.Z = h.D
	case vec.P{Z: -1}:
		b.Min.Z = -h.D
	}
	return b
}

// Exact is both sides.
func (h HalfSpace) Exact() Exact { return Both }

// unitSlack is how far a unit vector's length may be off 1: some hundred
// roundings.
const unitSlack = 1e-12

// Check reports a normal that is no unit vector, or a D that is not finite.
func (h HalfSpace) Check() error {
	if !(math.Abs(h.N.Len()-1) <= unitSlack) {
		return fmt.Errorf("half-space normal (%g, %g, %g) is not a unit vector", h.N.X, h.N.Y, h.N.Z)
	}
	if !isFinite(h.D) {
		return fmt.Errorf("half-space distance %g is not finite", h.D)
	}
	return nil
}

// Dist is the distance to the nearest face, edge or corner.
func (b Box) Dist(p vec.P) float64 {
	q := vec.P{X: math.Abs(p.X) - b.Half.X, Y: math.Abs(p.Y) - b.Half.Y, Z: math.Abs(p.Z) - b.Half.Z}
	if most := max(q.X, q.Y, q.Z); most <= 0 {
		return most
	}
	return vec.P{X: max(q.X, 0), Y: max(q.Y, 0), Z: max(q.Z, 0)}.Len()
}

// Bounds is the box itself.
func (b Box) Bounds() vec.Box { return vec.Box{Min: b.Half.Neg(), Max: b.Half} }

// Exact is both sides.
func (b Box) Exact() Exact { return Both }

// Check reports edges that are not positive and finite.
func (b Box) Check() error {
	return cmp.Or(positive("half the box's x edge", b.Half.X), positive("half the box's y edge", b.Half.Y), positive("half the box's z edge", b.Half.Z))
}

// Dist is the distance to the farthest plane: the true distance inside, a
// lower bound outside near edges and corners.
func (f Facets) Dist(p vec.P) float64 {
	d := math.Inf(-1)
	for _, h := range f.Planes {
		if e := h.Dist(p); e > d {
			d = e
		}
	}
	return d
}

// Exact is inside.
func (f Facets) Exact() Exact {
	if len(f.Planes) == 1 {
		return Both
	}
	return Inside
}

// Bounds is the box around the corners of the solid, all of space where the
// planes do not close it, empty where they leave no room.
func (f Facets) Bounds() vec.Box {
	scale := 1.0
	for _, h := range f.Planes {
		scale = max(scale, math.Abs(h.D))
	}
	far := scale * 1e5 // half the square that every face is cut from
	b := vec.Empty()
	for i, h := range f.Planes {
		for _, v := range f.face(i, far) {
			if v.Sub(h.N.Mul(h.D)).Len() > far/2 {
				return vec.Everywhere()
			}
			b = b.With(v)
		}
	}
	if b.IsEmpty() && len(f.Planes) < 4 {
		return vec.Everywhere() // fewer planes than a solid needs
	}
	return b.Grow(far * 1e-14) // the roundings of points at the distance far
}

// face returns the polygon that the other planes leave of plane i, cut from a
// square of half edge far.
func (f Facets) face(i int, far float64) []vec.P {
	h := f.Planes[i]
	least := vec.P{X: 1}
	if math.Abs(h.N.X) > math.Abs(h.N.Y) {
		least = vec.P{Y: 1}
	}
	u := h.N.Cross(least).Unit()
	v := h.N.Cross(u)
	o := h.N.Mul(h.D)
	poly := []vec.P{
		o.Add(u.Mul(far)).Add(v.Mul(far)), o.Sub(u.Mul(far)).Add(v.Mul(far)),
		o.Sub(u.Mul(far)).Sub(v.Mul(far)), o.Add(u.Mul(far)).Sub(v.Mul(far)),
	}
	for j, k := range f.Planes {
		if j != i && len(poly) > 0 {
			poly = clip(poly, k)
		}
	}
	return poly
}

// clip returns what lies of a convex polygon in the half-space.
func clip(poly []vec.P, h HalfSpace) []vec.P {
	var out []vec.P
	prev := poly[len(poly)-1]
	dp := h.Dist(prev)
	for _, p := range poly {
		d := h.Dist(p)
		if (d <= 0) != (dp <= 0) {
			out = append(out, prev.Lerp(p, dp/(dp-d)))
		}
		if d <= 0 {
			out = append(out, p)
		}
		prev, dp = p, d
	}
	return out
}

// Check reports a missing or bad plane.
func (f Facets) Check() error {
	if len(f.Planes) == 0 {
		return errors.New("facets without a plane")
	}
	for i, h := range f.Planes {
		if err := h.Check(); err != nil {
			return fmt.Errorf("facet %d: %w", i+1, err)
		}
	}
	return nil
}

var _ = []Field{HalfSpace{}, Box{}, Facets{}}
