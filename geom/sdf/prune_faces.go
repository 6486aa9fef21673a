package sdf

import (
	"math"
	"slices"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// PruneFaces is Prune for one cell of a code that Faces made: what was taken
// apart is named by its faces. A surface that stays as it was has too many
// corners in the cell: smaller ones may do.
func (l *Local) PruneFaces(dst *Local, c vec.P, h float64) Sign {
	return (&pruner{src: l, dst: dst, at: c, half: h, faces: true}).run()
}

// taken appends the faces of a surface that was taken apart, at least one of
// which passes the cell as far as its value says.
func (z *pruner) taken(w int32, lf *leaf, s *surface) Sign {
	a := z.src.code.apart[lf.surf]
	whole := func() Sign {
		z.dst.prog = append(z.dst.prog, z.keep(w, lf))
		return Mixed
	}
	if s.kind == revolve {
		q, t := s.across(z.at)
		if sign, ok := z.alongRuns(w, a, s.part(lf), vec.P2{X: q.Len(), Y: t}); ok {
			return sign
		}
		return whole()
	}
	q, t := s.flat(z.at)
	reach := float64(s.reach * z.half)
	passing := -1
	for k, r := range a.rims {
		over := s.edge.z0 + s.edge.bottom - t
		if r.up {
			over = t - (s.edge.z1 - s.edge.top)
		}
		switch {
		case over > reach:
			return z.one(r.face ^ w&1)
		case over > -reach:
			if passing >= 0 {
				return whole()
			}
			passing = k
		}
	}
	if passing < 0 {
		if sign, ok := z.alongRuns(w, a, s.part(lf), q); ok {
			return sign
		}
		return whole()
	}
	// The solid beyond the seam is that of the rounded face, else that of the
	// upright ones.
	r := a.rims[passing]
	seam, min, max := r.seam, opMin, opMax
	if w&1 != 0 {
		min, max = max, min
		seam ^= 1
	}
	d := z.dst
	open := func(op int32) int {
		d.prog = append(d.prog, op, 2, 0, -1)
		return len(d.prog) - headLen
	}
	shut := func(at int) { d.prog[at+2] = int32(len(d.prog) - at) }
	all := open(min)
	outer := open(max)
	d.prog = append(d.prog, seam^1, r.face^w&1)
	shut(outer)
	inner := open(max)
	d.prog = append(d.prog, seam)
	sign, ok := z.alongRuns(w, a, s.part(lf), q)
	if !ok {
		d.prog = d.prog[:all]
		return whole()
	}
	// A negated surface swaps inside and outside, as min and max do.
	inside := AllInside
	if w&1 != 0 {
		inside = AllOutside
	}
	switch sign {
	case Mixed:
		shut(inner)
	case inside: // only the seam is left of it
		d.prog = append(d.prog[:inner], seam)
	default:
		d.prog = append(d.prog[:all], d.prog[outer:inner]...)
		return Mixed
	}
	shut(all)
	return Mixed
}

// across appends the faces of two runs that meet smoothly at a joint: beyond the
// seam the solid is that of the second, else that of the first. ok is false where
// they meet elsewhere.
func (z *pruner) across(w int32, a *dissected, first, last int32) (sign Sign, ok bool) {
	k := slices.IndexFunc(a.joints, func(j joint) bool { return j.before == first && j.after == last })
	if k < 0 {
		return Mixed, false
	}
	seam, before, after := a.joints[k].seam, a.faces[first]^w&1, a.faces[last]^w&1
	if before == after { // as of a circle drawn in two arcs
		return z.one(after), true
	}
	lf := z.src.leafOf(seam)
	plane := &z.src.code.surf[lf.surf]
	switch over, reach := plane.value(z.at, lf), float64(plane.reach*z.half)+pruneSlack; {
	case over > reach:
		return z.one(after), true
	case over < -reach:
		return z.one(before), true
	}
	min, max := opMin, opMax
	if w&1 != 0 {
		min, max = max, min
		seam ^= 1
	}
	z.dst.prog = append(z.dst.prog,
		min, 2, 3*headLen+4, -1,
		max, 2, headLen+2, -1, seam^1, after,
		max, 2, headLen+2, -1, seam, before)
	return Mixed, true
}

// one appends a face, unless it does not pass the cell.
func (z *pruner) one(w int32) Sign {
	lf := z.src.leafOf(w)
	s := &z.src.code.surf[lf.surf]
	if t := sided(s.value(z.at, lf), float64(s.reach*z.half)+pruneSlack, w); t != Mixed {
		return t
	}
	z.dst.prog = append(z.dst.prog, w)
	return Mixed
}

// alongRuns appends the faces of the runs of an outline that come near q, joined
// as their corners say; ok is false where no single operation joins them.
func (z *pruner) alongRuns(w int32, a *dissected, part outline.Part, q vec.P2) (sign Sign, ok bool) {
	reach := math.Sqrt(3)*z.half + pruneSlack
	list := part.Within(nil, q, reach)
	if len(list) == 0 {
		return sided(part.Dist(q), 0, w), true
	}
	from := len(z.dst.spans)
	runs, op := split(part.Of(list), false, outline.Smooth, &z.dst.spans)
	defer func() { z.dst.spans = z.dst.spans[:from] }()
	if op == 0 {
		return Mixed, false
	}
	d := z.dst
	for _, r := range runs {
		for _, i := range r {
			if a.ends[a.run[i]].stray(q, reach) {
				return Mixed, false
			}
		}
	}
	for _, r := range runs {
		if first, last := a.run[r[0]], a.run[r[len(r)-1]]; first != last {
			// All must hang together here: the seam parts what is before the joint
			// from what is beyond it only nearby.
			spans := part.Of(r).Spans()
			apart := slices.ContainsFunc(spans[1:], func(s outline.Span) bool { return s.A.Sub(q).Len() > reach })
			if len(runs) > 1 || apart {
				return Mixed, false
			}
			return z.across(w, a, first, last)
		}
	}
	face := func(k int) int32 { return a.faces[a.run[runs[k][0]]] ^ w&1 }
	for k := range runs {
		for i := range k {
			if face(i) == face(k) { // both ends of one run
				return Mixed, false
			}
		}
	}
	if len(runs) == 1 {
		d.prog = append(d.prog, face(0))
		return Mixed, true
	}
	if w&1 != 0 {
		op = opMin + opMax - op
	}
	d.prog = append(d.prog, op, int32(len(runs)), int32(len(runs)+headLen), -1)
	for k := range runs {
		d.prog = append(d.prog, face(k))
	}
	return Mixed, true
}
