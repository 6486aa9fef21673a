package contour

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// quilt is a mesh sewn from patches: vertices at the same place are one.
type quilt struct {
	mesh.Mesh
	at map[[3]int64]uint32
}

func (q *quilt) vertex(p vec.P) uint32 {
	const grain = 1e-7
	key := [3]int64{int64(math.Round(p.X / grain)), int64(math.Round(p.Y / grain)), int64(math.Round(p.Z / grain))}
	if q.at == nil {
		q.at = map[[3]int64]uint32{}
	}
	i, ok := q.at[key]
	if !ok {
		i = uint32(len(q.V))
		q.at[key] = i
		q.V = append(q.V, p)
	}
	return i
}

// patch sews on n by m quads: f takes the unit square to space, turning
// counter-clockwise seen from outside. Quads at which two corners are one
// become a triangle.
func (q *quilt) patch(n, m int, tag uint32, f func(u, v float64) vec.P) {
	for i := range n {
		for j := range m {
			var c [4]uint32
			for k, d := range [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
				c[k] = q.vertex(f(float64(i+d[0])/float64(n), float64(j+d[1])/float64(m)))
			}
			first := [3]uint32{c[0], c[1], c[2]}
			second := [3]uint32{c[0], c[2], c[3]}
			if (i+j)%2 == 1 {
				first, second = [3]uint32{c[0], c[1], c[3]}, [3]uint32{c[1], c[2], c[3]}
			}
			for _, t := range [2][3]uint32{first, second} {
				if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
					q.T = append(q.T, t)
					q.Tag = append(q.Tag, tag)
				}
			}
		}
	}
}

// classes counts the faces that each vertex lies on: f returns the distances
// from a point to each.
func (q *quilt) classes(f func(p vec.P) []float64) []uint8 {
	class := make([]uint8, len(q.V))
	for i, p := range q.V {
		n := 0
		for _, d := range f(p) {
			if math.Abs(d) < 1e-6 {
				n++
			}
		}
		class[i] = uint8(min(max(n-1, 0), 2))
	}
	return class
}

// specimen is a mesh whose vertices lie on a field's surface.
type specimen struct {
	name  string
	mesh  mesh.Mesh
	class []uint8
	field sdf.Field
	genus int
	parts int
	fold  int // the least factor of triangles that it must lose at 5 um
}

// specimens are solids meshed by hand in cells of about h.
func specimens(h float64) []specimen {
	return []specimen{boxOfCells(h), ball(h), ring(h), can(h), perforated(h, 2, 2), nested(h)}
}

func boxOfCells(h float64) specimen {
	half := vec.P{X: 2, Y: 1.5, Z: 1}
	n := func(l float64) int { return max(int(2*l/h), 1) }
	q := &quilt{}
	X, Y, Z := n(half.X), n(half.Y), n(half.Z)
	at := func(x, y, z float64) vec.P {
		return vec.P{X: (2*x - 1) * half.X, Y: (2*y - 1) * half.Y, Z: (2*z - 1) * half.Z}
	}
	q.patch(X, Y, 1, func(u, v float64) vec.P { return at(u, v, 1) })
	q.patch(Y, X, 1, func(u, v float64) vec.P { return at(v, u, 0) })
	q.patch(Y, Z, 1, func(u, v float64) vec.P { return at(1, u, v) })
	q.patch(Z, Y, 1, func(u, v float64) vec.P { return at(0, v, u) })
	q.patch(Z, X, 1, func(u, v float64) vec.P { return at(v, 1, u) })
	q.patch(X, Z, 1, func(u, v float64) vec.P { return at(u, 0, v) })
	class := q.classes(func(p vec.P) []float64 {
		return []float64{math.Abs(p.X) - half.X, math.Abs(p.Y) - half.Y, math.Abs(p.Z) - half.Z}
	})
	return specimen{"box", q.Mesh, class, sdf.Box{Half: half}, 0, 1, len(q.T) / 12}
}

func ball(h float64) specimen {
	const R = 1.5
	q := &quilt{}
	q.sphere(R, h, 7)
	return specimen{"ball", q.Mesh, make([]uint8, len(q.V)), sdf.Sphere{R: R}, 0, 1, 6}
}

// sphere sews on a cube blown up to a sphere, facing inwards if r is negative.
func (q *quilt) sphere(r, h float64, tag uint32) {
	n := max(int(2*math.Abs(r)/h), 2)
	for axis := range 3 {
		for _, sign := range [2]float64{1, -1} {
			q.patch(n, n, tag, func(u, v float64) vec.P {
				return blown(axis, sign, 2*u-1, 2*v-1).Mul(r)
			})
		}
	}
}

// blown returns the direction of a point of the cube's face, evenly spread.
func blown(axis int, sign, u, v float64) vec.P {
	a, b := math.Tan(u*math.Pi/4), math.Tan(v*math.Pi/4)
	c := [3]float64{}
	c[axis], c[(axis+1)%3], c[(axis+2)%3] = sign, a*sign, b
	return vec.P{X: c[0], Y: c[1], Z: c[2]}.Unit()
}

// nested is a ball in a hollow ball, 10 um apart: less than the tolerances
// that it is reduced to.
func nested(h float64) specimen {
	q := &quilt{}
	q.sphere(1, h, 1)
	q.sphere(-1.01, h, 2)
	q.sphere(1.3, h, 2)
	field := sdf.Union{
		sdf.Sphere{R: 1},
		sdf.Difference{From: sdf.Sphere{R: 1.3}, Cut: []sdf.Field{sdf.Sphere{R: 1.01}}},
	}
	return specimen{"nested", q.Mesh, make([]uint8, len(q.V)), field, 0, 2, 4}
}

func ring(h float64) specimen {
	const major, minor = 2, 0.5
	q := &quilt{}
	q.patch(int(2*math.Pi*major/h), max(int(2*math.Pi*minor/h), 3), 1, func(u, v float64) vec.P {
		s, c := math.Sincos(2 * math.Pi * v)
		return turned(major+minor*c, 2*math.Pi*u, minor*s)
	})
	return specimen{"ring", q.Mesh, make([]uint8, len(q.V)), sdf.Torus{Major: major, Minor: minor}, 1, 1, 3}
}

// turned returns the point at distance r from the z axis, angle a, height z.
func turned(r, a, z float64) vec.P {
	s, c := math.Sincos(a)
	return vec.P{X: r * c, Y: r * s, Z: z}
}

func can(h float64) specimen {
	const R, H = 1, 3
	q := &quilt{}
	n := max(int(2*math.Pi*R/h), 8) / 8 * 8
	q.patch(n, int(H/h), 1, func(u, v float64) vec.P { return turned(R, 2*math.Pi*u, H*v) })
	for _, z := range [2]float64{0, H} {
		q.patch(n/4, n/4, 2, func(u, v float64) vec.P { // a square bent into a disc
			if z == 0 {
				u, v = v, u
			}
			x, y := 2*u-1, 2*v-1
			r := max(math.Abs(x), math.Abs(y))
			if r == 0 {
				return vec.P{Z: z}
			}
			var a float64
			switch {
			case math.Abs(y) <= math.Abs(x) && x > 0:
				a = y / x * math.Pi / 4
			case math.Abs(y) <= math.Abs(x):
				a = math.Pi + y/x*math.Pi/4
			case y > 0:
				a = math.Pi/2 - x/y*math.Pi/4
			default:
				a = -math.Pi/2 - x/y*math.Pi/4
			}
			return turned(R*r, a, z)
		})
	}
	class := q.classes(func(p vec.P) []float64 {
		return []float64{p.XY().Len() - R, p.Z, p.Z - H}
	})
	return specimen{"can", q.Mesh, class, sdf.Cylinder{R: R, Z0: 0, Z1: H}, 0, 1, 12}
}

// perforated is a plate of nx by ny tiles, each with a hole.
func perforated(h float64, nx, ny int) specimen {
	const tile, R, H = 2, 0.6, 0.8
	q := &quilt{}
	n := max(int(tile/h), 2)
	low := vec.P2{X: -tile * float64(nx) / 2, Y: -tile * float64(ny) / 2}
	high := vec.P2{X: -low.X, Y: -low.Y}
	field := sdf.Difference{From: sdf.At(sdf.Box{Half: vec.P{X: high.X, Y: high.Y, Z: H / 2}}, vec.Shift(vec.P{Z: H / 2}))}
	var centres []vec.P2
	for ix := range nx {
		for iy := range ny {
			o := vec.P2{X: low.X + tile*(float64(ix)+0.5), Y: low.Y + tile*(float64(iy)+0.5)}
			centres = append(centres, o)
			field.Cut = append(field.Cut, sdf.At(sdf.Cylinder{R: R, Z0: -1, Z1: H + 1}, vec.Shift(o.At(0))))
			border := func(u float64) vec.P2 { // round the tile's square
				k, s := math.Modf(math.Min(u*4, 4-1e-12))
				if 4-u*4 < 1e-9 {
					k, s = 0, 0
				}
				p := vec.P2{X: tile / 2, Y: tile * (s - 0.5)}
				for range int(k) {
					p = p.Left()
				}
				return o.Add(p)
			}
			hole := func(u float64) vec.P2 { return o.Add(turned(R, 2*math.Pi*(u-0.125), 0).XY()) }
			q.patch(4*n, max(int((tile/2-R)/h), 1), 1, func(u, v float64) vec.P { return border(u).Lerp(hole(u), v).At(H) })
			q.patch(max(int((tile/2-R)/h), 1), 4*n, 1, func(v, u float64) vec.P { return border(u).Lerp(hole(u), v).At(0) })
			m := max(int(H/h), 1)
			q.patch(m, 4*n, 2, func(v, u float64) vec.P { return hole(u).At(H * v) })
			for k := range 4 {
				mid := border((float64(k) + 0.5) / 4)
				if math.Abs(mid.X) > high.X-1e-6 || math.Abs(mid.Y) > high.Y-1e-6 {
					q.patch(n, m, 1, func(u, v float64) vec.P { return border((float64(k) + u) / 4).At(H * v) })
				}
			}
		}
	}
	class := q.classes(func(p vec.P) []float64 {
		d := []float64{p.Z, p.Z - H, math.Abs(p.X) - high.X, math.Abs(p.Y) - high.Y}
		for _, o := range centres {
			d = append(d, p.XY().Sub(o).Len()-R)
		}
		return d
	})
	return specimen{"perforated", q.Mesh, class, field, nx * ny, 1, 20}
}
