package patch

import (
	"math"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// onSurface in mm is how far from the surface a vertex may lie.
const onSurface = 2e-6

// accept refuses a mesh that is not beyond doubt, and measures the others.
func (b *builder) accept(m *mesh.Mesh) (reached float64, err error) {
	if len(m.T) == 0 {
		return 0, refuse("no surface was found", b.code.Bounds().Center())
	}
	for i, p := range m.V {
		if i&1023 == 0 && b.ctx.Err() != nil {
			return 0, b.ctx.Err()
		}
		if math.Abs(b.code.Dist(p)) > onSurface {
			return 0, refuse("a vertex off the surface", p)
		}
	}
	for t := range m.T {
		if t&1023 == 0 && b.ctx.Err() != nil {
			return 0, b.ctx.Err()
		}
		x, y, z := m.Corners(t)
		for _, p := range [4]vec.P{x.Add(y).Add(z).Mul(1.0 / 3), x.Lerp(y, 0.5), y.Lerp(z, 0.5), z.Lerp(x, 0.5)} {
			d := math.Abs(b.code.Dist(p))
			reached = max(reached, d)
			if d > b.tol {
				return 0, refuse("a triangle that leaves the tolerance", p)
			}
		}
	}
	r, err := manifold.JudgeCtx(b.ctx, m, manifold.Options{Keep: 1})
	if err != nil {
		return 0, err
	}
	if !r.OK() {
		if len(r.Defects) > 0 {
			for _, d := range r.Defects {
				if d.Kind != manifold.Touch {
					return 0, refuse("the judge finds a defect: "+d.Kind.String(), d.At)
				}
			}
		}
		return 0, refuse("the judge finds it unsound", m.V[0])
	}
	return reached, b.covers(m)
}

// covers refuses a mesh that is missing where the surface is: in every cell the
// points of its surfaces nearest to the middle are looked at.
func (b *builder) covers(m *mesh.Mesh) error {
	tree := mesh.NewTree(m)
	for i := range b.cells {
		c := &b.cells[i]
		for k := range c.ids {
			q, ok := b.meet(c.ids[k:k+1], c.at)
			if !ok || !c.holds(q, 1) || math.Abs(b.code.Dist(q)) > snap {
				continue
			}
			if _, ok := tree.Near(q, 1.5*b.tol); !ok {
				return refuse("surface that the mesh does not reach", q)
			}
		}
	}
	return nil
}
