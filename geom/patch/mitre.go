package patch

import (
	"math"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// The rounded end of a prism whose outline has corners that point outwards has an
// edge inwards from each, in a plane: its mitre. On a mitre the face has two slopes,
// whose parts along the mitre are the same. So the face is slit there: a slit is a
// crease with the same face on both sides, from the seam to where the edge runs out
// in the flat of the end.

// slit says of a plane how far it is one.
type slit struct {
	from, to vec.P // where it begins, in the seam, and ends
	along    vec.P // from the one to the other, seen from above; square to the plane's normal
	long     float64
}

// mitred reports whether a surface has an edge.
func (s *sheet) mitred() bool { return len(s.Mitres) > 0 }

// slitMitres slits the surfaces that have edges.
func (b *builder) slitMitres() {
	for id := range int32(b.faced.Surfaces()) {
		for _, m := range b.surf[id].Mitres {
			k := b.addPlane(id, m.N, m.At)
			along := m.N.Cross(b.surf[id].U)
			long := m.To.Sub(m.From).Dot(along)
			if long < 0 {
				along, long = along.Neg(), -long
			}
			b.surf[k].end = &slit{from: m.From, to: m.To, along: along, long: long}
			b.slits[id] = append(b.slits[id], k)
		}
	}
}

const (
	// besideMitre is how far in mm from its edge the slope of a face is asked.
	besideMitre = 1e-7
	// beyondSlit is how far in mm along it is asked whether a slit goes on.
	beyondSlit = 1e-6
)

// near reports whether a slit comes within r of p along it.
func (s *slit) near(p vec.P, r float64) bool {
	t := p.Sub(s.from).Dot(s.along)
	return t > -r && t < s.long+r
}

// goesOn reports whether a slit, in whose plane p is, is there, or, where d is not
// zero, just beyond p in that direction. Before the seam the face is not.
func (s *slit) goesOn(p, d vec.P) bool {
	t := p.Add(d.Mul(beyondSlit)).Sub(s.from).Dot(s.along)
	return t > -2*beyondSlit && t < s.long
}

// slitAt returns the slit of a surface that p is on.
func (b *builder) slitAt(id int32, p vec.P) (cut int32, ok bool) {
	for _, k := range b.slits[id] {
		if math.Abs(b.value(k, p)) < besideMitre && b.surf[k].end.near(p, besideMitre) {
			return k, true
		}
	}
	return -1, false
}

// slopeTo returns the gradient of a surface at p as it is found in the direction d.
func (b *builder) slopeTo(id int32, p, d vec.P) vec.P {
	if k, ok := b.slitAt(id, p); ok {
		n := b.surf[k].U
		p = p.Add(n.Mul(math.Copysign(2*besideMitre, d.Dot(n))))
	}
	_, g := b.slope(id, p)
	return g
}

// leavingEdge returns the directions in which the curve of a pair leaves p; ok is
// false where neither surface has an edge there that the curve crosses or is.
func (b *builder) leavingEdge(pr pair, p vec.P) (dirs []vec.P, ok bool) {
	if s := b.surf[pr.b].end; s != nil { // at its start the face has all slopes
		n := b.surf[pr.b].U
		_, g := b.slope(pr.a, p.Add(s.along.Mul(besideMitre)).Add(n.Mul(besideMitre*sdf.LeastMitre/2)))
		t := g.Cross(n).Unit()
		return []vec.P{t, t.Neg()}, true
	}
	for _, id := range [2]int32{pr.a, pr.b} {
		k, on := b.slitAt(id, p)
		if !on {
			continue
		}
		n := b.surf[k].U
		for _, to := range [2]vec.P{n, n.Neg()} {
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
	for _, k := range of {
		if b.surf[k].end == nil || !slices.Contains(of, b.surf[k].of) {
			continue
		}
		for _, seam := range of {
			if b.seams[pair{b.surf[k].of, seam}] {
				return true
			}
		}
	}
	return false
}

// slitEnds returns where slits of a cell's surfaces end in it.
func (b *builder) slitEnds(c *cell) (found []vec.P) {
	for _, k := range c.ids {
		if s := b.surf[k].end; s != nil && c.holds(s.to, 1.0001) {
			found = append(found, s.to)
		}
	}
	return found
}
