package sdf

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Blended is the union of A and B with a fillet of radius R along the edge at
// which they meet; Blend makes it. The solid is exactly A, B and one strip in
// which the two differ by less than R. Where two faces meet squarely the fillet
// is the rolling ball's: a quarter circle of radius R, tangent to both. Faces
// that meet at another angle get its oblique image, tangent to both at R / sin
// of the angle from the edge.
//
// The slope: with s = a - b the value is (a + b)/2 - g(s), g(s) = R -
// sqrt(2 R^2 - s^2)/2 for |s| < R, |s|/2 beyond. g is convex with slopes from
// -1/2 to 1/2, so both weights lie between 0 and 1 and add up to 1: the
// gradient is a mean of two gradients, each at most 1 long, at any angle. (The
// rolling ball's own formula R - |(R-a, R-b)| has a slope up to 1.41 where
// faces meet at a blunt angle; compact support after I. Quilez, Smooth minimum,
// from memory.)
//
// a and b are the values of the operands' faces, so a fillet runs round a sharp
// edge of an operand in a mitre, round an outline's corner in an arc.
//
// Two faces that lie in one plane, or nearly, and on top of each other, swell
// by up to 0.3 R: let an operand start inside the other, not flush with it.
type Blended struct {
	A, B Field
	R    float64

	faces *[2]*Code // the operands' faces, without boxes
}

// Blend returns the union of a and b with a fillet of radius r in mm. It fails
// when r is not positive, when an operand does not compile, when the faces of
// both make more than mostPairs pairs, or when a field of unknown kind among
// them is not exact outside, so that nobody knows how far the fillet reaches.
func Blend(a, b Field, r float64) (Blended, error) {
	f := Blended{A: a, B: b, R: r}
	if err := positive("blend radius", r); err != nil {
		return f, err
	}
	var faces [2]*Code
	for i, of := range [2]Field{a, b} {
		c, err := facesOf(of)
		if err != nil {
			return f, fmt.Errorf("blend: %w", err)
		}
		faces[i] = c
	}
	if n, m := len(faces[0].leaf), len(faces[1].leaf); n*m > mostPairs {
		return f, fmt.Errorf("blend: %d and %d faces make more than %d pairs", n, m, mostPairs)
	}
	f.faces = &faces
	_, err := f.fillet()
	return f, err
}

// mostPairs is the most pairs of faces that one blend may have: two parts of 64
// faces. Every pair is a surface of the compiled field.
const mostPairs = 4096

// facesOf compiles f without boxes, so that its values are those of its faces
// everywhere; empty space has no code's program.
func facesOf(f Field) (*Code, error) {
	c := &Code{}
	c.all.code = c
	w := &lowering{code: c, faces: map[int64][]int32{}}
	n, err := w.field(f, frame{by: vec.Here})
	if err != nil || n == nil {
		return c, err
	}
	n.unbox()
	w.emit(w.grouped(n))
	return c, nil
}

// unbox takes the boxes off a tree: outside them a boxed value is not that of
// the faces.
func (n *node) unbox() {
	n.boxed = false
	for _, k := range n.kids {
		k.unbox()
	}
}

// smooth is the least of a and b, with a fillet of radius r.
func smooth(a, b, r float64) float64 {
	s := a - b
	if !(math.Abs(s) < r) {
		return min(a, b)
	}
	return (a+b)/2 - r + math.Sqrt(2*float64(r*r)-float64(s*s))/2
}

// share returns the weight of a's gradient in that of smooth; b has the rest.
func share(a, b, r float64) float64 {
	s := a - b
	switch {
	case s >= r:
		return 0
	case s <= -r:
		return 1
	}
	return 0.5 - s/(2*math.Sqrt(2*float64(r*r)-float64(s*s)))
}

// Dist is the smooth minimum of the values of the operands' faces. A Blended
// that Blend did not make answers slowly, +Inf where it is faulty.
func (f Blended) Dist(p vec.P) float64 {
	if f.faces == nil {
		g, err := Blend(f.A, f.B, f.R)
		if err != nil {
			return math.Inf(1)
		}
		f = g
	}
	return smooth(f.faces[0].Dist(p), f.faces[1].Dist(p), f.R)
}

// Bounds is the box around both operands and what the fillet can reach.
func (f Blended) Bounds() vec.Box {
	b := f.A.Bounds().Union(f.B.Bounds())
	if fillet, err := f.fillet(); err == nil && !fillet.IsEmpty() {
		b = b.Union(fillet)
	}
	return b
}

// fillet returns a box that holds all points where both operands' faces have
// values below R: beyond, the blend is the union.
func (f Blended) fillet() (vec.Box, error) {
	a, err := facesWithin(f.A, f.R)
	if err != nil {
		return vec.Empty(), err
	}
	b, err := facesWithin(f.B, f.R)
	return a.Intersect(b), err
}

// Exact is neither side.
func (f Blended) Exact() Exact { return 0 }

// Check reports what Blend does.
func (f Blended) Check() error {
	if f.faces != nil {
		return nil
	}
	_, err := Blend(f.A, f.B, f.R)
	return err
}

// facesWithin returns a box that holds all points at which the value of f's
// faces is below r. That is more than f grown by r: outside a sharp edge the
// faces' planes go on.
func facesWithin(f Field, r float64) (vec.Box, error) {
	all := func(fs []Field, start vec.Box, join func(a, b vec.Box) vec.Box) (vec.Box, error) {
		for _, g := range fs {
			b, err := facesWithin(g, r)
			if err != nil {
				return start, err
			}
			start = join(start, b)
		}
		return start, nil
	}
	switch f := f.(type) {
	case nil:
		return vec.Empty(), errors.New("blend: an operand is missing")
	case Tagged:
		return facesWithin(f.Of, r)
	case Placed:
		b, err := facesWithin(f.Of, r)
		if err != nil || b.IsEmpty() {
			return b, err
		}
		return f.By.Box(b), nil
	case Union:
		return all(f, vec.Empty(), vec.Box.Union)
	case Intersection:
		return all(f, vec.Everywhere(), vec.Box.Intersect)
	case Difference:
		return facesWithin(f.From, r)
	case Blended: // its value is at least the union's, less 0.3 R
		a, err := facesWithin(f.A, r+0.3*f.R)
		if err != nil {
			return a, err
		}
		b, err := facesWithin(f.B, r+0.3*f.R)
		return a.Union(b), err
	case HalfSpace:
		return HalfSpace{f.N, f.D + r}.Bounds(), nil
	case Facets:
		g := Facets{make([]HalfSpace, len(f.Planes))}
		for i, h := range f.Planes {
			g.Planes[i] = HalfSpace{h.N, h.D + r}
		}
		return g.Bounds(), nil
	case Cone:
		slant := math.Hypot(f.R1-f.R0, f.Z1-f.Z0)
		out := r * (slant + math.Abs(f.R1-f.R0)) / (f.Z1 - f.Z0) // at an end moved by r
		b := f.Bounds()
		return roundBox(b.Max.X+out, f.Z0-r, f.Z1+r), nil
	case Taper:
		sin, cos := math.Sincos(math.Abs(f.Lean))
		out := r * (1 + sin) / cos
		b := f.Bounds().Grow(out)
		b.Min.Z, b.Max.Z = f.Z0-r, f.Z1+r
		return b, nil
	case Box, Cylinder, Prism, Dome:
		// their walls are upright and their ends level: moving all out by r moves
		// the sides of the box by r
		return f.Bounds().Grow(r), nil
	}
	if b := f.Bounds(); f.Exact()&Outside != 0 || b.IsEmpty() {
		return b.Grow(r), nil // one face, or a value that is the distance
	}
	return vec.Empty(), fmt.Errorf("blend: how far from %T its values reach is not known", f)
}

// pairing is two operand surfaces of a blend, either way round.
type pairing struct {
	words [2]int32 // their leaves in the code
	surf  [2]surface
	leaf  [2]leaf
}

// value returns the value of operand k at p.
func (t *pairing) value(k int, p vec.P) float64 {
	v := t.surf[k].value(p, &t.leaf[k])
	if t.words[k]&1 != 0 {
		return -v
	}
	return v
}

func (t *pairing) values(p vec.P) (a, b float64) { return t.value(0, p), t.value(1, p) }

// slope returns value and gradient of operand k at p.
func (t *pairing) slope(k int, p vec.P) (float64, vec.P) {
	v, g := t.surf[k].slope(p, &t.leaf[k])
	if t.words[k]&1 != 0 {
		return -v, g.Neg()
	}
	return v, g
}

// apart returns the operand that alone gives the value of a blend of radius r
// within half edge h of p, -1 where both may.
func (t *pairing) apart(p vec.P, h, r float64) int {
	a, b := t.values(p)
	slack := r + float64((t.surf[0].reach+t.surf[1].reach)*h) + 2*pruneSlack
	switch {
	case a-b > slack:
		return 1
	case b-a > slack:
		return 0
	}
	return -1
}

func (s *surface) blendSlope(p vec.P) (float64, vec.P) {
	a, ga := s.pair.slope(0, p)
	b, gb := s.pair.slope(1, p)
	t := share(a, b, s.a)
	return smooth(a, b, s.a), ga.Mul(t).Add(gb.Mul(1 - t))
}

// sharpestBlend is the least radius, as a share of the fillet's, that a blend is
// taken to bend with: faces that meet at 150 degrees between their normals.
const sharpestBlend = 0.1

// blendBend returns the radius of curvature of a fillet: in the middle of the
// strip, where the normals of the faces part by the angle w, the second
// derivative of g, 1 / (sqrt 8 R), times the square of the normals' difference,
// 2 sin(w/2), over the length of the gradient, cos(w/2). At the borders it is
// at most 1/R.
func (s *surface) blendBend(p vec.P, r float64) float64 {
	_, ga := s.pair.slope(0, p)
	_, gb := s.pair.slope(1, p)
	half2 := (1 - ga.Dot(gb)) / 2 // squared sine of w/2
	bend := s.a
	if half2 > 0.5 {
		bend *= max(sharpestBlend, math.Sqrt(max(0, 1-half2))/(math.Sqrt2*half2))
	}
	for k := range s.pair.surf {
		bend = min(bend, s.pair.surf[k].bend(p, r, &s.pair.leaf[k]))
	}
	return bend
}

// blended lowers a blend. As smooth rises with both its operands it can be
// taken into their minima and maxima: the blend is A's tree with B's tree in
// place of every leaf, and a pair of faces in place of every leaf of that.
func (w *lowering) blended(f Blended, at frame) (*node, error) {
	upright := at
	upright.negated = false
	a, err := w.field(f.A, upright)
	if err != nil {
		return nil, err
	}
	b, err := w.field(f.B, upright)
	if err != nil {
		return nil, err
	}
	switch {
	case a == nil && b == nil:
		return nil, nil
	case a == nil:
		return w.field(f.B, at)
	case b == nil:
		return w.field(f.A, at)
	}
	return a.graft(at.negated, func(one int32) *node {
		return b.graft(at.negated, func(other int32) *node {
			return w.pairOf(one, other, f.R, at)
		})
	}), nil
}

// graft returns a copy of the tree, without boxes, in which another tree stands
// for every leaf.
func (n *node) graft(negated bool, leaf func(word int32) *node) *node {
	if n.op == 0 {
		return leaf(n.word)
	}
	m := &node{op: opOf(n.op, negated)}
	for _, k := range n.kids {
		m.kids = append(m.kids, k.graft(negated, leaf))
	}
	return m
}

// pairOf returns the leaf of two blended faces; it belongs to the first one's
// owner.
func (w *lowering) pairOf(one, other int32, r float64, at frame) *node {
	t := &pairing{words: [2]int32{one, other}}
	s := surface{kind: blended, a: r, pair: t}
	for k, word := range t.words {
		t.leaf[k] = w.code.leaf[word>>1]
		t.surf[k] = w.code.surf[t.leaf[k].surf]
		s.rough = s.rough || t.surf[k].rough || t.surf[k].cornered()
		s.tips = append(s.tips, t.surf[k].tips...)
	}
	at.tag = t.leaf[0].tag
	s.setReach()
	return w.own(s, at, false)
}

// cornered reports whether the surface's outline has corners.
func (s *surface) cornered() bool {
	if s.kind == wire || s.kind < wall || s.kind > wire {
		return false
	}
	return s.corners(outline.Convex) || s.corners(outline.Reflex)
}

var _ Field = Blended{}
