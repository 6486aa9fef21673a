// Package meshtest holds what tests of meshes share: simple closed solids, a
// conformance suite that every good mesh must pass, and node scripts as second
// judges.
package meshtest

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Box returns the box as 12 triangles.
func Box(b vec.Box) *mesh.Mesh {
	c := b.Corners()
	return &mesh.Mesh{V: c[:], T: [][3]uint32{
		{0, 2, 3}, {0, 3, 1}, {4, 5, 7}, {4, 7, 6}, // z
		{0, 1, 5}, {0, 5, 4}, {2, 6, 7}, {2, 7, 3}, // y
		{0, 4, 6}, {0, 6, 2}, {1, 3, 7}, {1, 7, 5}, // x
	}}
}

// Cube returns the cube of the given side with its least corner at p.
func Cube(p vec.P, side float64) *mesh.Mesh {
	return Box(vec.Box{Min: p, Max: p.Add(vec.P{X: side, Y: side, Z: side})})
}

// Sphere returns a ball of radius r about the origin with n meridians and n/2
// parallels, corners on the sphere. n is even and at least 6.
func Sphere(r float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{V: []vec.P{{Z: -r}}}
	rows := n / 2
	for j := 1; j < rows; j++ {
		s, c := math.Sincos(math.Pi * float64(j) / float64(rows))
		ring(m, vec.P{Z: -r * c}, r*s, n)
	}
	m.V = append(m.V, vec.P{Z: r})
	capDown(m, 0, 1, n)
	for j := 0; j < rows-2; j++ {
		band(m, 1+j*n, 1+(j+1)*n, n)
	}
	capUp(m, len(m.V)-1, len(m.V)-1-n, n)
	return m
}

// Cylinder returns the upright prism of n sides, corners at radius r, from
// z = 0 to z = h.
func Cylinder(r, h float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{V: []vec.P{{}}}
	ring(m, vec.P{}, r, n)
	ring(m, vec.P{Z: h}, r, n)
	m.V = append(m.V, vec.P{Z: h})
	capDown(m, 0, 1, n)
	band(m, 1, 1+n, n)
	capUp(m, 2*n+1, 1+n, n)
	return m
}

// Tube returns the upright prism of n sides with a bore, corners at radii
// outer and inner, from z = 0 to z = h: genus 1.
func Tube(outer, inner, h float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	ring(m, vec.P{}, outer, n)
	ring(m, vec.P{Z: h}, outer, n)
	ring(m, vec.P{Z: h}, inner, n)
	ring(m, vec.P{}, inner, n)
	for j := range 4 {
		band(m, j*n, (j+1)%4*n, n)
	}
	return m
}

// Torus returns the ring about z with n corners round the axis and k round the
// tube, corners on the torus of radii major and minor.
func Torus(major, minor float64, n, k int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for j := range k {
		s, c := math.Sincos(2 * math.Pi * float64(j) / float64(k))
		ring(m, vec.P{Z: minor * s}, major+minor*c, n)
	}
	for j := range k {
		band(m, j*n, (j+1)%k*n, n)
	}
	return m
}

// ring adds n corners on a circle about z, counter-clockwise from +x.
func ring(m *mesh.Mesh, at vec.P, r float64, n int) {
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		m.V = append(m.V, at.Add(vec.P{X: r * c, Y: r * s}))
	}
}

// band joins the ring of n corners from index a to the one from b, facing away
// from the axis where b lies above a.
func band(m *mesh.Mesh, a, b, n int) {
	for i := range n {
		j := (i + 1) % n
		p, q, r, s := uint32(a+i), uint32(a+j), uint32(b+j), uint32(b+i)
		m.T = append(m.T, [3]uint32{p, q, r}, [3]uint32{p, r, s})
	}
}

func capDown(m *mesh.Mesh, tip, a, n int) {
	for i := range n {
		m.T = append(m.T, [3]uint32{uint32(tip), uint32(a + (i+1)%n), uint32(a + i)})
	}
}

func capUp(m *mesh.Mesh, tip, a, n int) {
	for i := range n {
		m.T = append(m.T, [3]uint32{uint32(tip), uint32(a + i), uint32(a + (i+1)%n)})
	}
}

// Join returns all the meshes as one, sharing no vertices.
func Join(ms ...*mesh.Mesh) *mesh.Mesh {
	r := &mesh.Mesh{}
	for _, m := range ms {
		r.Append(m)
	}
	return r
}

// Moved returns m moved by x, y, z.
func Moved(m *mesh.Mesh, x, y, z float64) *mesh.Mesh {
	return m.Transform(vec.Shift(vec.P{X: x, Y: y, Z: z}))
}
