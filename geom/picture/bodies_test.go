package picture

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// revolve turns a profile of (radius, height) about the z axis. A closed
// profile makes a ring, an open one from axis to axis a solid. Profiles run
// counter-clockwise with the radius to the right and the height up.
func revolve(profile []vec.P2, closed bool, steps int) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := len(profile)
	for s := range steps {
		sin, cos := math.Sincos(2 * math.Pi * float64(s) / float64(steps))
		for _, p := range profile {
			m.V = append(m.V, vec.P{X: p.X * cos, Y: p.X * sin, Z: p.Y})
		}
	}
	last := n - 1
	if closed {
		last = n
	}
	for s := range steps {
		for i := range last {
			a, b := uint32(s*n+i), uint32(s*n+(i+1)%n)
			c, d := uint32((s+1)%steps*n+i), uint32((s+1)%steps*n+(i+1)%n)
			if closed || profile[i].X > 0 {
				m.T = append(m.T, [3]uint32{a, c, b})
			}
			if closed || profile[(i+1)%n].X > 0 {
				m.T = append(m.T, [3]uint32{b, c, d})
			}
		}
	}
	if !closed { // one vertex at each pole
		for i := range m.T {
			for k, v := range m.T[i] {
				if r := int(v) % n; profile[r].X == 0 {
					m.T[i][k] = uint32(r)
				}
			}
		}
	}
	return m
}

func torus(major, minor float64, steps int) *mesh.Mesh {
	var p []vec.P2
	for i := range steps {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(steps))
		p = append(p, vec.P2{X: major + minor*c, Y: minor * s})
	}
	return revolve(p, true, 2*steps)
}

func sphere(r float64, steps int) *mesh.Mesh {
	var p []vec.P2
	for i := 0; i <= steps; i++ {
		s, c := math.Sincos(math.Pi * float64(i) / float64(steps))
		p = append(p, vec.P2{X: r * s, Y: -r * c})
	}
	p[0].X, p[steps].X = 0, 0
	return revolve(p, false, 2*steps)
}

// pin is a rod along z from z0 to z1 with a round head.
func pin(r, z0, z1 float64, steps int) *mesh.Mesh {
	p := []vec.P2{{X: 0, Y: z0}, {X: r, Y: z0}}
	for i := 0; i <= steps; i++ {
		s, c := math.Sincos(math.Pi / 2 * float64(i) / float64(steps))
		p = append(p, vec.P2{X: r * c, Y: z1 - r + r*s})
	}
	p[len(p)-1].X = 0
	return revolve(p, false, 4*steps)
}

func box(b vec.Box) *mesh.Mesh {
	c := b.Corners()
	return &mesh.Mesh{V: c[:], T: [][3]uint32{
		{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
		{2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5},
	}}
}

// hull makes the mesh of a convex solid from its planes.
func hull(planes []Plane) *mesh.Mesh {
	m := &mesh.Mesh{}
	vertex := func(p vec.P) uint32 {
		for i, q := range m.V {
			if p.Sub(q).Len() < 1e-9 {
				return uint32(i)
			}
		}
		m.V = append(m.V, p)
		return uint32(len(m.V) - 1)
	}
	for i, f := range planes {
		u := f.Normal.Cross(vec.P{X: 0.3, Y: 0.5, Z: 0.8}).Unit()
		v := f.Normal.Cross(u)
		o := f.Normal.Mul(f.Offset)
		poly := []vec.P{}
		for _, c := range [][2]float64{{-100, -100}, {100, -100}, {100, 100}, {-100, 100}} {
			poly = append(poly, o.Add(u.Mul(c[0])).Add(v.Mul(c[1])))
		}
		for j, g := range planes {
			if j == i {
				continue
			}
			var cut []vec.P
			for k, a := range poly {
				b := poly[(k+1)%len(poly)]
				fa, fb := g.beyond(a), g.beyond(b)
				if fa <= 1e-10 {
					cut = append(cut, a)
				}
				if (fa < -1e-10 && fb > 1e-10) || (fa > 1e-10 && fb < -1e-10) {
					cut = append(cut, a.Lerp(b, fa/(fa-fb)))
				}
			}
			poly = cut
		}
		var ids []uint32
		for _, p := range poly {
			id := vertex(p)
			if len(ids) == 0 || ids[len(ids)-1] != id && ids[0] != id {
				ids = append(ids, id)
			}
		}
		for k := 2; k < len(ids); k++ {
			m.T = append(m.T, [3]uint32{ids[0], ids[k-1], ids[k]})
		}
	}
	return m
}

// brilliant is a round brilliant of diameter 1, its girdle at z = 0, cut to
// usual angles: table 57 %, crown 34.5 and pavilion 40.75 degrees.
func brilliant() *mesh.Mesh {
	const table, girdle = 0.57, 0.015
	var p []Plane
	facet := func(count int, turn, slope, r, z float64) {
		for i := range count {
			b := vec.Bearing(1, turn+2*math.Pi*float64(i)/float64(count))
			s, c := math.Sincos(math.Abs(slope))
			n := vec.P{X: b.X * s, Y: b.Y * s, Z: math.Copysign(c, slope)}
			at := vec.P{X: b.X * r, Y: b.Y * r, Z: z}
			p = append(p, Plane{n, n.Dot(at)})
		}
	}
	deg := math.Pi / 180
	h := (1 - table) / 2 * math.Tan(34.5*deg)
	p = append(p, Plane{vec.P{Z: 1}, girdle + h})
	facet(8, 0, 34.5*deg, 0.5, girdle)            // kites
	facet(16, math.Pi/16, 41*deg, 0.4985, girdle) // upper halves
	facet(8, math.Pi/8, 20*deg, table/2*0.965, girdle+h)
	facet(8, 0, -40.75*deg, 0.5, -girdle)
	facet(16, math.Pi/16, -42.1*deg, 0.4985, -girdle)
	facet(32, math.Pi/32, 89.999*deg, 0.4985, 0)
	return hull(p)
}
