package patch

import (
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// assemble gathers the triangles of all faces.
func (b *builder) assemble(list []*face) (*mesh.Mesh, error) {
	type part struct {
		tri [][3]int32 // points, those of the face alone below 0
		tag []uint32
	}
	parts := make([]part, len(list))
	err := b.each(len(list), func(_, i int) error {
		f, p := list[i], &parts[i]
		for _, t := range f.tri.Inside() {
			x, y, z := t.V[0], t.V[1], t.V[2]
			if f.mirror {
				y, z = z, y
			}
			tag := b.surf[f.id].tag
			if b.surf[f.id].tags {
				tag = b.ownerAt(b.at(f, x).Add(b.at(f, y)).Add(b.at(f, z)).Mul(1.0 / 3))
			}
			p.tri = append(p.tri, [3]int32{f.verts[x], f.verts[y], f.verts[z]})
			p.tag = append(p.tag, tag)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	most, n := len(b.pts), 0
	for i, f := range list {
		most += len(f.own)
		n += len(parts[i].tri)
	}
	m := &mesh.Mesh{V: make([]vec.P, 0, most), T: make([][3]uint32, 0, n), Tag: make([]uint32, 0, n)}
	b.owner = make([]int32, 0, n)
	index := make([]int32, len(b.pts))
	for i := range index {
		index[i] = -1
	}
	for i, f := range list {
		from := uint32(len(m.V))
		m.V = append(m.V, f.own...)
		for _, t := range parts[i].tri {
			var at [3]uint32
			for c, k := range t {
				switch {
				case k < 0:
					at[c] = from + uint32(^k)
				case index[k] < 0:
					index[k] = int32(len(m.V))
					m.V = append(m.V, b.pts[k])
					fallthrough
				default:
					at[c] = uint32(index[k])
				}
			}
			m.T = append(m.T, at)
			b.owner = append(b.owner, f.id)
		}
		m.Tag = append(m.Tag, parts[i].tag...)
	}
	return m, nil
}
