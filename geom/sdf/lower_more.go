package sdf

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Lowering of tapers, domes and shifted fields.

// compound lowers the fields that are more than a primitive and less than an
// operation; ok is false for any other.
func (w *lowering) compound(f Field, at frame) (n *node, ok bool, err error) {
	switch f := f.(type) {
	case Taper:
		n = w.taper(f, at)
	case Dome:
		n = w.dome(f, at)
	case Shifted:
		n, err = w.opaque(f, at)
		if n != nil {
			w.code.surf[len(w.code.surf)-1].b = min(opaqueBend, math.Abs(f.By))
		}
	case Blended:
		n, err = w.blended(f, at)
	default:
		return nil, false, nil
	}
	return n, true, err
}

// taper lowers a prism, a frustum, or the leaning wall of any other outline
// between its ends.
func (w *lowering) taper(f Taper, at frame) *node {
	if f.Lean == 0 {
		return w.prism(Prism{Outline: f.Outline, Z0: f.Z0, Z1: f.Z1}, at)
	}
	if c, r, ok := discOf(f.Outline); ok {
		at.by = at.by.After(vec.Shift(c.At(0)))
		side := Cone{R0: r, Z0: f.Z0, R1: r - f.inset(), Z1: f.Z1}
		if side.R1 < 0 {
			side.R1, side.Z1 = 0, f.Z0+r/math.Tan(f.Lean)
		}
		return w.cone(side, at)
	}
	sin, cos := math.Sincos(f.Lean)
	s := surface{
		kind: leaning, o: vec.P{Z: f.Z0}, x: vec.P{X: 1}, y: vec.P{Y: 1}, u: vec.P{Z: 1},
		a: sin, b: cos, shape: f.Outline.Whole(),
	}
	s.rough = tight(f.Outline, f.inset())
	return common(at, append(w.slab(f.Z0, f.Z1, at), w.plain(s, at))...)
}

// tight reports whether an outline moved inwards by d (outwards where d is
// negative) loses an arc.
func tight(o outline.Outline, d float64) bool {
	for _, l := range o.Loops {
		for _, s := range l.Spans() {
			if s.K*d >= 1 {
				return true
			}
		}
	}
	return false
}

// clearOf is how far in mm beyond a dome those of its surfaces end that stand
// for endless ones.
const clearOf = 1.0

// dome lowers rim, face and back.
func (w *lowering) dome(f Dome, at frame) *node {
	rim := surface{kind: wall, x: vec.P{X: 1}, y: vec.P{Y: 1}, u: vec.P{Z: 1}, shape: f.Outline.Whole()}
	if c, r, ok := discOf(f.Outline); ok {
		rim = about(cylinder, c.At(0), r, 0)
	}
	b := f.Bounds()
	low, high := b.Min.Z-clearOf, b.Max.Z+clearOf
	kids := []*node{w.plain(rim, at)}
	if f.Rise > 0 {
		kids = append(kids, w.bullet(f.face(), low, high, at))
	} else {
		kids = append(kids, w.planeOf(vec.P{Z: 1}, f.Z1, at))
	}
	switch {
	case f.BackRise > 0:
		kids = append(kids, w.bullet(f.back(), low, high, at))
	case f.BackRise < 0:
		hollow := at
		hollow.negated = !at.negated
		kids = append(kids, w.bullet(f.back(), low, high, hollow), w.planeOf(vec.P{Z: -1}, -low, at))
	default:
		kids = append(kids, w.planeOf(vec.P{Z: -1}, -f.Z0, at))
	}
	return common(at, kids...)
}

// bullet lowers a bullet to what is one between the heights low and high: the
// ball where it starts beyond them, else a capsule that ends beyond them.
func (w *lowering) bullet(b bullet, low, high float64, at frame) *node {
	end := low
	if b.side > 0 {
		end = high
	}
	length := (end - b.o.Z) * b.side
	if length <= 0 {
		return w.plain(about(sphere, b.o, b.r, 0), at)
	}
	return w.plain(surface{kind: capsule, o: b.o, u: vec.P{Z: b.side}, a: length, b: b.r}, at)
}

// leanDist returns the signed distance from p to the leaf's part of the
// outline and its gradient. An open run is extended at both ends by its
// tangents; corners inside a run are those that the offset rounds.
func leanDist(t outline.Part, l *leaf, p vec.P2) (float64, vec.P2) {
	list := t.List()
	if l.run && len(list) == 1 {
		return t.RunDist(p)
	}
	d, n := t.DistNormal(p)
	if !l.run || len(list) == 0 {
		return d, n
	}
	if math.Abs(d) < onSurface { // so near a corner, the way there has no direction
		least := math.Inf(1)
		for _, i := range list {
			if f := t.Span(i).Near(p); f.Dist < least {
				least, n = f.Dist, t.Span(i).Normal(f.T)
			}
		}
	}
	first, last := list[0], list[len(list)-1]
	if _, closed := t.Join(last, first); closed && len(list) > 1 {
		return d, n
	}
	// Square to the end of a run, its tangent is no nearer than the end, but
	// alone knows the side: the end's own is that of a corner.
	take := func(w, along vec.P2) {
		out := along.Left().Neg()
		if e := p.Sub(w).Dot(out); math.Abs(e) < math.Abs(d)+onSurface {
			d, n = e, out
		}
	}
	if s := t.Span(first); p.Sub(s.A).Dot(s.T0) < onSurface {
		take(s.A, s.T0)
	}
	if s := t.Span(last); p.Sub(s.B).Dot(s.T1) > -onSurface {
		take(s.B, s.T1)
	}
	return d, n
}

// leaning answers value and slope of the leaning wall.
func (s *surface) leaning(p vec.P, l *leaf) (float64, vec.P) {
	q, z := s.flat(p)
	d, n := leanDist(s.part(l), l, q)
	side := s.x.Mul(n.X).Add(s.y.Mul(n.Y))
	return float64(d*s.b) + float64(z*s.a), side.Mul(s.b).Add(s.u.Mul(s.a))
}

// leanBend returns the least radius of curvature of the leaning wall within r
// of p: that of the section, offset by what the height says, over the cosine.
func (s *surface) leanBend(p vec.P, r float64, l *leaf) float64 {
	q, z := s.flat(p)
	part := s.part(l)
	in := z * s.a / s.b // how far the section has moved inwards
	least := math.Inf(1)
	reach := math.Abs(part.Dist(q)) + 2*r
	list := part.Within(nil, q, reach)
	for _, i := range list {
		k := part.Span(i).K
		if k != 0 {
			least = min(least, max(math.Abs(1/k-in), r))
		}
		for _, j := range list { // corners that the offset rounds
			if c, ok := part.Join(i, j); ok && c == s.softCorner() {
				least = min(least, max(math.Abs(in), r))
			}
		}
	}
	return least / s.b
}

// unsettled reports whether a cell reaches the foot of a leaning wall at a
// corner that the sections above round off: the corner's arc starts with the
// radius 0 there, and on the other side of the foot the function has an edge.
func (s *surface) unsettled(part outline.Part, c vec.P, half float64) bool {
	if s.kind != leaning {
		return false
	}
	if _, z := s.flat(c); math.Abs(z) > float64(s.reach*half) {
		return false
	}
	list := part.List()
	for _, i := range list {
		for _, j := range list {
			if k, ok := part.Join(i, j); ok && k == s.softCorner() {
				return true
			}
		}
	}
	return false
}

// softCorner returns the corners that the sections of a leaning wall round off;
// Smooth for other surfaces, which keep all.
func (s *surface) softCorner() outline.Corner {
	switch {
	case s.kind != leaning:
		return outline.Smooth
	case s.a > 0:
		return outline.Reflex
	}
	return outline.Convex
}
