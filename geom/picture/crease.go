package picture

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// creaseAngle is how far two faces at a vertex may turn against each other and
// still be shaded as one smooth surface. Meshes to a tolerance of 0.005 mm turn
// by 2 acos(1 - 0.005/r) from face to face: 25.7 degrees at r = 0.2 mm. The
// angles that makers mean as edges start at some 35 degrees (the flanks of a
// shallow groove).
const creaseAngle = 32 * math.Pi / 180

// creaseNormals returns the normal of every corner of every triangle: the mean,
// weighted by area, of the faces round the vertex that turn by less than
// creaseAngle against the corner's own face. Corners of triangles without area
// have a zero normal.
func creaseNormals(m *mesh.Mesh, workers int) [][3]vec.P {
	face := make([]vec.P, len(m.T)) // twice the area, outward
	unit := make([]vec.P, len(m.T))
	first := make([]int32, len(m.V)+1) // incidence: triangles of vertex v are at[first[v]:first[v+1]]
	for i, t := range m.T {
		a := m.V[t[0]]
		face[i] = m.V[t[1]].Sub(a).Cross(m.V[t[2]].Sub(a))
		unit[i] = face[i].Unit()
		for _, v := range t {
			first[v+1]++
		}
	}
	for v := range m.V {
		first[v+1] += first[v]
	}
	at := make([]int32, 3*len(m.T))
	next := append([]int32(nil), first...)
	for i, t := range m.T {
		for _, v := range t {
			at[next[v]] = int32(i)
			next[v]++
		}
	}
	least := math.Cos(creaseAngle)
	normals := make([][3]vec.P, len(m.T))
	each(workers, len(m.T), func(i int) {
		for k, v := range m.T[i] {
			around := at[first[v]:first[v+1]]
			if len(around) > fanLimit {
				normals[i][k] = unit[i]
				continue
			}
			var sum vec.P
			for _, j := range around {
				if unit[i].Dot(unit[j]) > least {
					sum = sum.Add(face[j])
				}
			}
			normals[i][k] = sum.Unit()
		}
	})
	return normals
}

// A triangle of a flat face may end a little way down the rounding beside it,
// within the tolerance of the mesh. The true normal there is spread over the
// whole triangle, as a streak on what is flat. Such a corner, or two of them, has a
// normal that leans away by more than stray, and strayRatio times as far as that of
// the corner that leans least: on a round all corners of a triangle lean away from
// it, the farthest at most twice as far as the nearest. Both chosen by eye.
const (
	stray      = 6 * math.Pi / 180
	strayRatio = 4
)

// evened returns true normals, but at corners that stray the triangle's own.
func evened(m *mesh.Mesh, normals [][3]vec.P) [][3]vec.P {
	out := make([][3]vec.P, len(normals))
	for i, n := range normals {
		out[i] = n
		a, b, c := m.Corners(i)
		own := b.Sub(a).Cross(c.Sub(a)).Unit()
		var lean [3]float64
		for k := range n {
			lean[k] = own.Sub(n[k]).Len() // of small angles the angle; of no normal 1
		}
		for k := range n {
			if lean[k] > stray && lean[k] > strayRatio*min(lean[(k+1)%3], lean[(k+2)%3]) && n[k] != (vec.P{}) {
				out[i][k] = own
			}
		}
	}
	return out
}

// fanLimit bounds the work at one vertex (it grows with the square of the
// number of triangles there): the hub of a fan of more triangles is flat or
// the tip of a cone, and shows no difference.
const fanLimit = 256
