package patch

import (
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// aside is how far from its corner, as a share of the way to the middle of its
// triangle, a normal is asked for where the triangle's face is not known.
const aside = 0.05

// offEdge is the same of a face with an edge, which is smooth on either side of it.
const offEdge = 1e-4

// normals returns the unit normals of the triangles' faces at their corners.
func (b *builder) normals(m *mesh.Mesh) ([][3]vec.P, error) {
	ns := make([][3]vec.P, len(m.T))
	err := b.each(len(m.T), func(_, t int) error {
		x, y, z := m.Corners(t)
		out := y.Sub(x).Cross(z.Sub(x))
		for k, p := range [3]vec.P{x, y, z} {
			var n vec.P
			if b.owner != nil {
				if b.surf[b.owner[t]].mitred() {
					p = p.Lerp(x.Add(y).Add(z).Mul(1.0/3), offEdge)
				}
				_, n = b.slope(b.owner[t], p)
			} else {
				_, n, _ = b.code.Nearest(p.Lerp(x.Add(y).Add(z).Mul(1.0/3), aside))
			}
			if n = n.Unit(); n.Dot(out) < 0 {
				n = n.Neg()
			}
			ns[t][k] = n
		}
		return nil
	})
	return ns, err
}
