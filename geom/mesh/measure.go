package mesh

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Corners returns the three corners of triangle t.
func (m *Mesh) Corners(t int) (a, b, c vec.P) {
	i := m.T[t]
	return m.V[i[0]], m.V[i[1]], m.V[i[2]]
}

// Check reports what makes m unfit to be measured at all: an index beyond the
// vertices, a coordinate that is not finite, tags that are not one a triangle.
// It says nothing of the surface; that is the work of package manifold.
func (m *Mesh) Check() error {
	if uint64(len(m.V)) > math.MaxUint32 || uint64(len(m.T)) > math.MaxUint32/3 {
		return fmt.Errorf("mesh of %d vertices and %d triangles is too large", len(m.V), len(m.T))
	}
	if len(m.Tag) != 0 && len(m.Tag) != len(m.T) {
		return fmt.Errorf("mesh has %d tags for %d triangles", len(m.Tag), len(m.T))
	}
	for i, p := range m.V {
		if !p.Finite() {
			return fmt.Errorf("vertex %d is not finite: %v", i, p)
		}
	}
	for i, t := range m.T {
		for _, v := range t {
			if int(v) >= len(m.V) {
				return fmt.Errorf("triangle %d names vertex %d of %d", i, v, len(m.V))
			}
		}
	}
	return nil
}

// Bounds returns the smallest box that holds the corners of all triangles;
// vertices that no triangle uses do not count. It is empty for a mesh without
// triangles.
func (m *Mesh) Bounds() vec.Box {
	b := vec.Empty()
	for _, t := range m.T {
		for _, v := range t {
			b = b.With(m.V[v])
		}
	}
	return b
}

// Area returns the sum of the areas of all triangles, in mm2.
func (m *Mesh) Area() float64 {
	var twice float64
	for i := range m.T {
		a, b, c := m.Corners(i)
		twice += b.Sub(a).Cross(c.Sub(a)).Len()
	}
	return twice / 2
}

// Volume returns the enclosed volume in mm3, positive where the triangles face
// outwards, voids deducted. It means nothing for an open mesh. A mirrored mesh
// has the same volume to the last bit.
func (m *Mesh) Volume() float64 { return m.Moments().Mass }

// Centroid returns the centre of the enclosed volume: the centre of mass of a
// casting of one alloy. It is the middle of the bounds where the volume is 0.
func (m *Mesh) Centroid() vec.P { return m.Moments().Centroid }

// Moments are the mass properties of a solid of uniform density.
type Moments struct {
	Mass     float64       // mm3 at density 1; grams once multiplied by g/mm3
	Centroid vec.P         // mm
	Inertia  [3][3]float64 // about the centroid, Mass times mm2; symmetric
}

// Moments returns the mass properties of the enclosed volume at density 1:
// exact for the polyhedron but for rounding.
//
// Method: the volume is the signed sum of tetrahedra from a point to every
// triangle; over the tetrahedron (0, a, b, c) of volume v the integral of
// x_i*x_j is v/20 times (a_i*a_j + b_i*b_j + c_i*c_j + s_i*s_j) with s = a+b+c
// (F. Tonon, "Explicit exact formulas for the 3-D tetrahedron inertia tensor",
// Journal of Mathematics and Statistics 1, 2005).
func (m *Mesh) Moments() Moments {
	box := m.Bounds()
	if box.IsEmpty() {
		return Moments{}
	}
	// Tetrahedra stand on the middle of the bounds, so that a solid far from
	// the origin loses no digits. The sum is symmetric under mirroring.
	o := box.Min.Add(box.Max).Mul(0.5)
	var six float64 // six volumes
	var first vec.P // 24 first moments
	var second [6]float64
	for i := range m.T {
		a, b, c := m.Corners(i)
		a, b, c = a.Sub(o), b.Sub(o), c.Sub(o)
		d := a.Dot(b.Cross(c))
		s := a.Add(b.Add(c)) // the same if b and c change places, as in a mirror
		six += d
		first = first.Add(s.Mul(d))
		second[0] += float64(d * (float64(a.X*a.X) + (float64(b.X*b.X) + float64(c.X*c.X)) + float64(s.X*s.X)))
		second[1] += float64(d * (float64(a.Y*a.Y) + (float64(b.Y*b.Y) + float64(c.Y*c.Y)) + float64(s.Y*s.Y)))
		second[2] += float64(d * (float64(a.Z*a.Z) + (float64(b.Z*b.Z) + float64(c.Z*c.Z)) + float64(s.Z*s.Z)))
		second[3] += float64(d * (float64(a.X*a.Y) + (float64(b.X*b.Y) + float64(c.X*c.Y)) + float64(s.X*s.Y)))
		second[4] += float64(d * (float64(a.Y*a.Z) + (float64(b.Y*b.Z) + float64(c.Y*c.Z)) + float64(s.Y*s.Z)))
		second[5] += float64(d * (float64(a.Z*a.X) + (float64(b.Z*b.X) + float64(c.Z*c.X)) + float64(s.Z*s.X)))
	}
	if six == 0 {
		return Moments{Centroid: o}
	}
	r := Moments{Mass: six / 6}
	g := first.Mul(1 / (4 * six)) // centroid from o
	r.Centroid = o.Add(g)
	for k := range second { // to integrals of x_i*x_j about the centroid
		second[k] /= 120
	}
	second[0] -= float64(r.Mass * float64(g.X*g.X))
	second[1] -= float64(r.Mass * float64(g.Y*g.Y))
	second[2] -= float64(r.Mass * float64(g.Z*g.Z))
	second[3] -= float64(r.Mass * float64(g.X*g.Y))
	second[4] -= float64(r.Mass * float64(g.Y*g.Z))
	second[5] -= float64(r.Mass * float64(g.Z*g.X))
	r.Inertia = [3][3]float64{
		{second[1] + second[2], -second[3], -second[5]},
		{-second[3], second[2] + second[0], -second[4]},
		{-second[5], -second[4], second[0] + second[1]},
	}
	return r
}

// volumeOf returns the volume of the given triangles, whose box is given: the
// Mass of their moments to the last bit, at a quarter of the work.
func (m *Mesh) volumeOf(ts []uint32, box vec.Box) float64 {
	o := box.Min.Add(box.Max).Mul(0.5)
	var six float64
	for _, t := range ts {
		a, b, c := m.Corners(int(t))
		a, b, c = a.Sub(o), b.Sub(o), c.Sub(o)
		six += a.Dot(b.Cross(c))
	}
	return six / 6
}

// Times returns the moments at the given density, in mass per mm3.
func (a Moments) Times(density float64) Moments {
	a.Mass *= density
	for i := range a.Inertia {
		for j := range a.Inertia[i] {
			a.Inertia[i][j] *= density
		}
	}
	return a
}

// Plus returns the moments of both solids taken as one rigid body (parallel
// axis theorem). The zero Moments adds nothing.
func (a Moments) Plus(b Moments) Moments {
	r := Moments{Mass: a.Mass + b.Mass}
	if r.Mass == 0 {
		r.Centroid = a.Centroid
	} else {
		r.Centroid = a.Centroid.Lerp(b.Centroid, b.Mass/r.Mass)
	}
	ia, ib := a.about(r.Centroid), b.about(r.Centroid)
	for i := range r.Inertia {
		for j := range r.Inertia[i] {
			r.Inertia[i][j] = ia[i][j] + ib[i][j]
		}
	}
	return r
}

// about returns the inertia about the point p.
func (a Moments) about(p vec.P) [3][3]float64 {
	d := a.Centroid.Sub(p)
	c := [3]float64{d.X, d.Y, d.Z}
	r := a.Inertia
	for i := range r {
		r[i][i] += float64(a.Mass * d.Len2())
		for j := range r[i] {
			r[i][j] -= float64(a.Mass * float64(c[i]*c[j]))
		}
	}
	return r
}
