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
