package wall

import (
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// fan lists the triangles round each vertex, and the normals of all.
type fan struct {
	start  []uint32 // of each vertex in list, and the end
	list   []uint32 // triangles, ascending for each vertex
	normal []vec.P  // unit, of each triangle; zero for one without area
}

func newFan(m *mesh.Mesh) *fan {
	f := &fan{
		start:  make([]uint32, len(m.V)+2),
		list:   make([]uint32, 3*len(m.T)),
		normal: make([]vec.P, len(m.T)),
	}
	// Counted two places up and filled one place up, the starts end in place.
	for _, t := range m.T {
		for _, v := range t {
			f.start[v+2]++
		}
	}
	for i := 2; i < len(f.start); i++ {
		f.start[i] += f.start[i-1]
	}
	for i, t := range m.T {
		for _, v := range t {
			f.list[f.start[v+1]] = uint32(i)
			f.start[v+1]++
		}
		f.normal[i] = facing(m, uint32(i))
	}
	return f
}

// of returns the triangles round vertex v.
func (f *fan) of(v uint32) []uint32 { return f.list[f.start[v]:f.start[v+1]] }

// across returns the triangle on the other side of the edge from vertex a to
// vertex b of triangle t, if there is just one that runs it the other way.
func (f *fan) across(m *mesh.Mesh, t, a, b uint32) (u uint32, ok bool) {
	for _, s := range f.of(a) {
		if s == t {
			continue
		}
		i := m.T[s]
		if i[0] == b && i[1] == a || i[1] == b && i[2] == a || i[2] == b && i[0] == a {
			if ok {
				return 0, false
			}
			u, ok = s, true
		}
	}
	return u, ok
}

// borders is the share of a triangle's height within which a point counts as on
// its border: nearest points on it are, but for rounding.
const borders = 1e-6

// facingAt returns a vector that tells the outside from the inside about a hit:
// every point to which the hit is the nearest of the surface lies outside if it
// lies on its side. It is the normal of the triangle, of both at an edge, and
// of all at a corner weighted by their angles (J. A. Baerentzen, H. Aanaes,
// "Signed distance computation using the angle weighted pseudonormal", IEEE
// TVCG 11, 2005).
func (v *survey) facingAt(h mesh.Hit) vec.P {
	i := v.m.T[h.T]
	a, b, c := v.m.Corners(int(h.T))
	w := shares(h.P, a, b, c)
	for k := range 3 {
		if w[k] > 1-borders {
			n, _ := v.mean(i[k], func(t uint32) vec.P { return v.fan.normal[t] })
			return n
		}
	}
	n := v.fan.normal[h.T]
	for k := range 3 {
		if w[k] < borders {
			if t, ok := v.fan.across(v.m, h.T, i[(k+1)%3], i[(k+2)%3]); ok {
				n = n.Add(v.fan.normal[t])
			}
		}
	}
	return n
}
