package contour

import (
	"context"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// aside is how far from its corner, as a share of the way to the middle of its
// triangle, a normal is asked for: on the triangle's own side of a crease.
const aside = 0.05

// leastLike is the cosine between a triangle's normal and that of the surface at
// a corner below which the two have nothing to do with each other.
const leastLike = 0.3

// normals returns the surface's unit normals at the corners of the triangles,
// each that of the face on which its triangle lies; zero where none looks the
// triangle's way.
func (m *mesher) normals(ctx context.Context, out *mesh.Mesh) ([][3]vec.P, error) {
	const chunk = 1024
	ns := make([][3]vec.P, len(out.T))
	err := m.parallel(ctx, (len(out.T)+chunk-1)/chunk, func(_ *worker, i int) {
		s := sounder{m: m}
		for t := i * chunk; t < min((i+1)*chunk, len(out.T)); t++ {
			a, b, c := out.Corners(t)
			mid := a.Add(b).Add(c).Mul(1.0 / 3)
			flat := b.Sub(a).Cross(c.Sub(a)).Unit()
			for k, p := range [3]vec.P{a, b, c} {
				p = p.Lerp(mid, aside)
				l := s.beside(p, p.Sub(mid).Len())
				if l == nil {
					continue
				}
				_, w := l.At(p)
				_, n := l.Slope(w, p)
				if n = n.Unit(); n.Dot(flat) > leastLike {
					ns[t][k] = n
				}
			}
		}
	})
	return ns, err
}
