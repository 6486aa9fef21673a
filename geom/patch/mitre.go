package patch

import (
	"math"
	"slices"

	"waxwright/geom/vec"
)

// The rounded end of a prism whose outline has a corner that points outwards has
// an edge inwards from there, in a plane that cuts the face in two: its mitre. On
// the mitre the face has two slopes, whose parts along the mitre are the same.

// mitred reports whether a surface has an edge.
func (s *sheet) mitred() bool { return s.Mitre != vec.P{} }

// cutMitres cuts the surfaces that have an edge there.
func (b *builder) cutMitres() {
	for id := range b.faced.Surfaces() {
		if s := &b.surf[id]; s.mitred() {
			b.addCutAt(int32(id), s.Mitre.Mul(s.MitreAt), s.Mitre)
		}
	}
}

// besideMitre is how far in mm from its edge the slope of a face is asked.
const besideMitre = 1e-7

// slopeTo returns the gradient of a surface at p as it is found in the direction d.
func (b *builder) slopeTo(id int32, p, d vec.P) vec.P {
	if s := &b.surf[id]; s.mitred() && math.Abs(s.Mitre.Dot(p)-s.MitreAt) < besideMitre {
		p = p.Add(s.Mitre.Mul(math.Copysign(2*besideMitre, d.Dot(s.Mitre))))
	}
	_, g := b.slope(id, p)
	return g
}

// leavingEdge returns the directions in which the curve of a pair leaves p; ok is
// false where neither surface has an edge there that the curve crosses.
func (b *builder) leavingEdge(pr pair, p vec.P) (dirs []vec.P, ok bool) {
	for _, id := range [2]int32{pr.a, pr.b} {
		s := &b.surf[id]
		cut, _ := b.cut(id)
		if !s.mitred() || pr.b == cut || math.Abs(s.Mitre.Dot(p)-s.MitreAt) >= besideMitre {
			continue
		}
		for _, to := range [2]vec.P{s.Mitre, s.Mitre.Neg()} {
			t := b.slopeTo(pr.a, p, to).Cross(b.slopeTo(pr.b, p, to))
			if t.Len() < 1e-4 || math.Abs(t.Dot(to)) < 1e-4*t.Len() {
				continue
			}
			if t = t.Unit(); t.Dot(to) < 0 {
				t = t.Neg()
			}
			dirs = append(dirs, t)
		}
		return dirs, true
	}
	return nil, false
}

// mitreEnd reports whether three surfaces are a face with an edge, the plane of
// that, and a seam at which the face ends: there its creases end.
func (b *builder) mitreEnd(of ...int32) bool {
	for _, id := range of {
		cut, ok := b.cut(id)
		if !ok || !b.surf[id].mitred() || !slices.Contains(of, cut) {
			continue
		}
		for _, seam := range of {
			if b.seams[pair{id, seam}] {
				return true
			}
		}
	}
	return false
}
