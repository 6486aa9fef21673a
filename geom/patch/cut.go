package patch

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Surfaces that close on themselves may have no place where they can be opened
// to be laid out. A cut is a plane that halves such a surface: their curve is a
// crease with the same face on both sides. Cuts are numbered after the code's
// surfaces and are in no program. A slit is a cut that ends: see mitre.go.

// cut returns the number of the plane that cuts a surface.
func (b *builder) cut(id int32) (plane int32, ok bool) {
	plane, ok = b.cuts[id]
	return plane, ok
}

// foreign reports whether a pair can have no crease: of a cut and a surface that
// it does not cut, of a seam and what is not upright there, of the two faces of
// a seam, which meet nowhere else.
func (b *builder) foreign(x, y int32) bool {
	if x > y {
		x, y = y, x
	}
	if !b.real(y) {
		return b.surf[y].of != x
	}
	if b.faced.Seam(int(y)) {
		_, ok := b.beyond[pair{x, y}]
		return !ok
	}
	return b.twins(x, y)
}

// twins reports whether two faces run smoothly into each other at a seam.
func (b *builder) twins(x, y int32) bool {
	return b.twin[pair{min(x, y), max(x, y)}]
}

// strange reports whether three faces can have no corner that is not one of two
// of them and another.
func (b *builder) strange(c *cell, x, y, z int32) bool {
	if b.mitreEnd(x, y, z) {
		return false
	}
	n := 0
	for _, p := range [3]pair{{x, y}, {y, z}, {x, z}} {
		if b.twins(p.a, p.b) {
			return true
		}
		if b.foreign(p.a, p.b) {
			n++
		}
	}
	return n > 1 || b.coaxial(c.at, c.half, x, y, z)
}

// real reports whether a surface is one of the code's.
func (b *builder) real(id int32) bool { return int(id) < b.faced.Surfaces() }

// face reports whether a surface is neither cut nor seam.
func (b *builder) face(id int32) bool { return b.real(id) && !b.faced.Seam(int(id)) }

// creased reports whether a pair with this table is a crease: of a cut or seam,
// where the surface is the solid's at all.
func (b *builder) creased(pr pair, t table) bool {
	if b.face(pr.b) {
		return t.n > 0 || t.crease()
	}
	return t.two>>1&5 != t.two&5
}

// half returns on which side of its cut a point of a surface lies, 0 where it
// has none.
func (b *builder) half(id int32, p vec.P) int8 {
	if c, ok := b.cut(id); ok && b.value(c, p) < 0 {
		return 1
	}
	return 0
}

// addCut cuts a surface by a plane in an odd direction.
func (b *builder) addCut(id int32) {
	s := &b.surf[id]
	o, n := s.O, vec.P{X: 0.4713, Y: 0.6151, Z: 0.6317}.Unit()
	switch s.Form {
	case sdf.FormTorus:
		sin, cos := math.Sincos(0.3171)
		n = s.X.Mul(cos).Add(s.Y.Mul(sin))
	case sdf.FormCapsule:
		o, n = s.O.Add(s.U.Mul(s.A*0.4871)), s.U
	}
	b.addCutAt(id, o, n)
}

// addCutAt cuts a surface by the plane square to n through o.
func (b *builder) addCutAt(id int32, o, n vec.P) {
	b.cuts[id] = int32(len(b.surf))
	x := n.Square()
	b.surf = append(b.surf, sheet{of: id, Chart: sdf.Chart{Form: sdf.FormPlane, O: o, U: n, X: x, Y: n.Cross(x), A: n.Dot(o)}})
}

// uncut is the error of surfaces that have to be cut.
type uncut struct{ ids []int32 }

func (*uncut) Error() string { return "patch: surfaces must be cut" }

// whole lists the surfaces that are the solid's all round, without a crease.
func (b *builder) whole() (ids []int32) {
	seen := make([]bool, len(b.surf))
	for i := range b.arcs {
		seen[b.arcs[i].a], seen[b.arcs[i].b] = true, true
	}
	for i := range b.cells {
		c := &b.cells[i]
		for k, id := range c.ids {
			if seen[id] || !b.face(id) {
				continue
			}
			switch b.surf[id].Form {
			case sdf.FormSphere, sdf.FormTorus, sdf.FormCapsule:
			default:
				continue
			}
			q, ok := b.meet(c.ids[k:k+1], c.at)
			if _, has := b.cut(id); ok && !has && c.holds(q, 1) && !b.bare(q) {
				ids = append(ids, id)
				seen[id] = true
			}
		}
	}
	return ids
}
