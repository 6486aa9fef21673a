package patch

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// What was snapped is compared with the field that was given, of which nothing is
// known here but its values: neither may the mesh be off it, nor the mesh lack a
// piece of its surface. That is how sheets and gaps show that are so thin that
// they are gone.

// lostParts is into how many parts each way the root cube is divided in which
// points of the given surface are looked for.
const lostParts = 128

// thinnest in mm is how near to a surface matter is looked for: no thinner sheet or
// gap is seen.
const thinnest = 1e-8

// faithful refuses a mesh of snapped surfaces that is not one of the given field.
func (b *builder) faithful(m *mesh.Mesh, tree *mesh.Tree) error {
	far := b.tol + b.moved
	off := func(p vec.P) error {
		if b.given.code.Distance(p) > far {
			return refuse("snapped surfaces that leave the tolerance", p)
		}
		return nil
	}
	err := b.each(len(m.V), func(_, i int) error { return off(m.V[i]) })
	if err != nil {
		return err
	}
	err = b.each(len(m.T), func(_, t int) error {
		x, y, z := m.Corners(t)
		return off(x.Add(y).Add(z).Mul(1.0 / 3))
	})
	if err != nil {
		return err
	}
	const parts = 4 // each way, one at a time
	half := b.root.half / parts
	return b.each(parts*parts*parts, func(_, i int) error {
		k := vec.P{X: float64(i%parts)*2 + 1 - parts, Y: float64(i/parts%parts)*2 + 1 - parts, Z: float64(i/parts/parts)*2 + 1 - parts}
		return b.reaches(tree, b.given.code.Whole(), b.root.at.Add(k.Mul(half)), half)
	})
}

// reaches refuses a mesh that is farther than the tolerance from a point of the
// given surface in the cube about c.
func (b *builder) reaches(tree *mesh.Tree, l *sdf.Local, c vec.P, half float64) error {
	local := &sdf.Local{}
	if l.Prune(local, c, half) != sdf.Mixed {
		return nil
	}
	if half > b.root.half/lostParts {
		q := half / 2
		for i := range 8 {
			k := vec.P{X: float64(i&1)*2 - 1, Y: float64(i&2) - 1, Z: float64(i&4)/2 - 1}
			if err := b.reaches(tree, local, c.Add(k.Mul(q)), q); err != nil {
				return err
			}
		}
		return nil
	}
	for _, w := range local.Words(nil) {
		q := c
		var n vec.P
		for range 8 {
			var v float64
			v, n = local.Slope(w, q)
			q = q.Sub(n.Mul(v / n.Len2()))
		}
		if d := q.Sub(c); !(max(math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)) <= half) {
			continue
		}
		in, _ := local.At(q.Sub(n.Mul(thinnest)))
		out, _ := local.At(q.Add(n.Mul(thinnest)))
		if in < 0 == (out < 0) {
			continue // not of the solid, or a film without thickness
		}
		if _, ok := tree.Near(q, 1.5*(b.tol+b.moved)); !ok && !b.drawnFrom(q) {
			return refuse("a sheet or gap thinner than what is snapped", q)
		}
	}
	return nil
}

// drawnFrom reports whether a point lies in matter, or a gap, between surfaces that
// touched, so thin there that it may be gone since they were parted.
func (b *builder) drawnFrom(p vec.P) bool {
	for _, d := range b.drawn {
		if max(math.Abs(b.value(d.a, p)), math.Abs(b.value(d.b, p))) <= 3*b.moved {
			return true
		}
	}
	return false
}
