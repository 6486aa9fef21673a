package sdf

import (
	"math"

	"waxwright/geom/vec"
)

// Surfaces of the same numbers become one.

// mergeSlack is how far in mm (or, for unit vectors, absolutely) the numbers
// of two surfaces may differ that count as the same: placements round to
// 1e-14, and nothing that can be cast is a nanometre apart.
const mergeSlack = 1e-9

// leaf returns the leaf of a surface in world coordinates, merging it with one
// of the same numbers.
func (w *lowering) leaf(s surface, at frame) *node {
	flip := s.canonical()
	s.setReach()
	if s.kind >= wall {
		return w.own(s, at, flip)
	}
	key := s.bucket()
	for k := key - 1; k <= key+1; k++ {
		for _, i := range w.faces[k] {
			if s.same(&w.code.surf[i]) {
				return w.use(i, at, flip)
			}
		}
	}
	if s.kind == cone {
		s.tips = []vec.P{s.o}
	}
	n := w.own(s, at, flip)
	w.faces[key] = append(w.faces[key], int32(len(w.code.surf)-1))
	return n
}

// own adds a surface.
func (w *lowering) own(s surface, at frame, flip bool) *node {
	w.code.surf = append(w.code.surf, s)
	return w.use(int32(len(w.code.surf)-1), at, flip)
}

// use returns a leaf of surface i.
func (w *lowering) use(i int32, at frame, flip bool) *node {
	word := int32(len(w.code.leaf)) << 1
	if at.negated != flip {
		word |= 1
	}
	w.code.leaf = append(w.code.leaf, leaf{surf: i, tag: at.tag})
	return &node{word: word}
}

// canonical makes the numbers of equal surfaces equal and reports whether the
// surface was turned inside out for it.
func (s *surface) canonical() (flip bool) {
	up := func() bool { // the first coordinate that is not nothing is positive
		for _, v := range [3]float64{s.u.X, s.u.Y, s.u.Z} {
			if math.Abs(v) > mergeSlack {
				return v > 0
			}
		}
		return true
	}
	switch s.kind {
	case plane:
		if !up() {
			s.u, s.a = s.u.Neg(), -s.a
			return true
		}
	case cylinder: // the axis's nearest point to the origin
		if !up() {
			s.u = s.u.Neg()
		}
		s.o = s.o.Sub(s.u.Mul(s.o.Dot(s.u)))
	case torus:
		if !up() {
			s.u = s.u.Neg()
		}
	case capsule:
		if !up() {
			s.o = s.o.Add(s.u.Mul(s.a))
			s.u = s.u.Neg()
		}
	}
	return false
}

// bucket is the number of a group of surfaces that a surface and all that are
// the same are in, or in the one beside it.
func (s *surface) bucket() int64 { return int64(math.Floor(s.mix() / (64 * mergeSlack))) }

// mix is a number that is nearly the same for nearly the same surfaces. Its
// weights are arbitrary, and their sum is below 64 / 2.
func (s *surface) mix() float64 {
	return float64(s.kind)*0.73 +
		s.o.Dot(vec.P{X: 1.37, Y: 2.11, Z: 0.91}) + s.u.Dot(vec.P{X: 3.19, Y: 4.57, Z: 2.83}) +
		s.a*1.73 + s.b*2.39
}

// same reports whether two surfaces are one.
func (s *surface) same(t *surface) bool {
	near := func(a, b vec.P) bool {
		return math.Abs(a.X-b.X) <= mergeSlack && math.Abs(a.Y-b.Y) <= mergeSlack && math.Abs(a.Z-b.Z) <= mergeSlack
	}
	return s.kind == t.kind && near(s.o, t.o) && near(s.u, t.u) &&
		math.Abs(s.a-t.a) <= mergeSlack && math.Abs(s.b-t.b) <= mergeSlack
}
