package patch

import (
	"math"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// The rounded end of a prism whose outline has corners that point outwards has an
// edge inwards from each: its mitre, upright seen from the side. On a mitre the face
// has two slopes, whose parts along the mitre are the same. So the face is slit
// there: a slit is a crease with the same face on both sides, of that and of a
// surface numbered like a cut.

// mitred reports whether a surface has an edge.
func (s *sheet) mitred() bool { return len(s.Mitres) > 0 }

// slitMitres slits the surfaces that have edges.
func (b *builder) slitMitres() {
	for id := range int32(b.faced.Surfaces()) {
		for i := range b.surf[id].Mitres {
			m := &b.surf[id].Mitres[i]
			b.slits[id] = append(b.slits[id], int32(len(b.surf)))
			b.surf = append(b.surf, sheet{of: id, slit: m, Chart: sdf.Chart{O: m.Start}})
		}
	}
}

const (
	// besideMitre is how far in mm from its edge the slope of a face is asked.
	besideMitre = 1e-7
	// beyondSlit is how far in mm along it is asked whether a slit goes on.
	beyondSlit = 1e-6
)

// slitNear reports whether a slit comes within r of p, as far as is easily told.
func (b *builder) slitNear(k int32, p vec.P, r float64) bool {
	m := b.surf[k].slit
	if p.Sub(m.Start).Dot(m.Inwards) < -r || p.Sub(m.End).Dot(m.Onwards) > r {
		return false
	}
	v, n := m.Slope(p)
	return math.Abs(v) < r*n.Len()
}

// slitsOn reports whether a slit on which p is goes on there, or, where d is not
// zero, just beyond p in that direction. Before its start the face is not.
func (s *sheet) slitsOn(p, d vec.P) bool {
	p = p.Add(d.Mul(beyondSlit))
	return p.Sub(s.slit.Start).Dot(s.slit.Inwards) > -2*beyondSlit && p.Sub(s.slit.End).Dot(s.slit.Onwards) < 0
}

// slitAt returns the normal of the slit of a surface that p is on.
func (b *builder) slitAt(id int32, p vec.P) (n vec.P, ok bool) {
	for _, k := range b.slits[id] {
		if b.slitNear(k, p, besideMitre) {
			_, n = b.slope(k, p)
			return n.Unit(), true
		}
	}
	return n, false
}

// slopeTo returns the gradient of a surface at p as it is found in the direction d.
func (b *builder) slopeTo(id int32, p, d vec.P) vec.P {
	if n, ok := b.slitAt(id, p); ok {
		p = p.Add(n.Mul(math.Copysign(2*besideMitre, d.Dot(n))))
	}
	_, g := b.slope(id, p)
	return g
}

// leavingEdge returns the directions in which the curve of a pair leaves p; ok is
// false where neither surface has an edge there that the curve crosses or is.
func (b *builder) leavingEdge(pr pair, p vec.P) (dirs []vec.P, ok bool) {
	if m := b.surf[pr.b].slit; m != nil { // at its start the face has all slopes
		_, n := b.slope(pr.b, p)
		n = n.Unit()
		_, g := b.slope(pr.a, p.Add(m.Inwards.Mul(besideMitre)).Add(n.Mul(besideMitre*sdf.LeastMitre/2)))
		t := g.Cross(n).Unit()
		return []vec.P{t, t.Neg()}, true
	}
	for _, id := range [2]int32{pr.a, pr.b} {
		n, on := b.slitAt(id, p)
		if !on {
			continue
		}
		for _, to := range [2]vec.P{n, n.Neg()} {
			t := b.slopeTo(pr.a, p, to).Cross(b.slopeTo(pr.b, p, to))
			if t.Len() < leastAngle || math.Abs(t.Dot(to)) < leastAngle*t.Len() {
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

// ahead returns the place that lies by h in the direction d from p on the curve of a
// pair, nearly: at the start of a slit, above which the face has all slopes, a little
// inwards, where it has those of its sides.
func (b *builder) ahead(pr pair, p, d vec.P, h float64) vec.P {
	to := p.Add(d.Mul(h))
	if m := b.surf[pr.b].slit; m != nil && p.Sub(m.Start).Len() < merge {
		// by no more than a circle as wide as the rounding has turned away
		to = to.Add(m.Inwards.Mul(h * h / (2 * b.surf[pr.a].B)))
	}
	return to
}

// mitreEnd reports whether three surfaces are a face with an edge, the slit there,
// and a seam at which the face ends: there its creases end.
func (b *builder) mitreEnd(of ...int32) bool {
	for _, k := range of {
		if b.surf[k].slit == nil || !slices.Contains(of, b.surf[k].of) {
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
		if m := b.surf[k].slit; m != nil && c.holds(m.End, wallGrow) {
			found = append(found, m.End)
		}
	}
	return found
}
