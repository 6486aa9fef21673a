package sdf

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Compile lowers a field to smooth surfaces: placements are baked into world
// coordinates, differences become intersections with negated leaves, surfaces
// that are the same (either way round, within a nanometre) become one, and
// large sets get a hierarchy of boxes. A Field that this package does not know
// becomes one opaque surface.
//
// It fails when a primitive's numbers are faulty (the error names them), or
// when the field has no solid at all. An unbounded field compiles; its Bounds
// are not finite.
func Compile(f Field) (*Code, error) {
	if f == nil {
		return nil, errors.New("compile: no field")
	}
	c := &Code{}
	c.all.code = c
	w := &lowering{code: c, faces: map[int64][]int32{}}
	n, err := w.field(f, frame{by: vec.Here})
	if err != nil {
		return nil, fmt.Errorf("compile: %w", err)
	}
	c.bounds = f.Bounds()
	if n == nil {
		return nil, errors.New("compile: the field is empty")
	}
	w.emit(w.grouped(n))
	c.digest = c.hash()
	return c, nil
}

// checker is a primitive that can tell whether its numbers are sound.
type checker interface{ Check() error }

// frame is what a field is lowered under.
type frame struct {
	by      vec.Place
	negated bool
	tag     uint32
	depth   int
}

// deepest is how far fields may be nested: Go's stack takes far more, but no
// drawn solid comes near.
const deepest = 10_000

// node is a tree on the way to the flat program.
type node struct {
	op    int32 // 0 for a leaf
	word  int32
	kids  []*node
	box   vec.Box // in the world; of the solid, or of what it is the outside of
	boxed bool

	negated bool // the outside of the solid in the box
}

type lowering struct {
	code  *Code
	faces map[int64][]int32 // surfaces by a rounded mix of their numbers
}

// field lowers f; a nil node is empty space (or, negated, all of it).
func (w *lowering) field(f Field, at frame) (*node, error) {
	if at.depth++; at.depth > deepest {
		return nil, fmt.Errorf("fields are nested more than %d deep", deepest)
	}
	if c, ok := f.(checker); ok {
		if err := c.Check(); err != nil {
			return nil, err
		}
	}
	switch f := f.(type) {
	case nil:
		return nil, errors.New("a field is missing")
	case Tagged:
		at.tag = f.Tag
		return w.field(f.Of, at)
	case Placed:
		if !f.By.O.Finite() || !f.By.X.Finite() || !f.By.Y.Finite() || !f.By.Z.Finite() {
			return nil, errors.New("a placement is not finite")
		}
		at.by = at.by.After(f.By)
		return w.field(f.Of, at)
	case Union:
		return w.join(opMin, f, f, at)
	case Intersection:
		return w.join(opMax, f, f, at)
	case Difference:
		return w.difference(f, at)
	}
	n, ok, err := w.compound(f, at)
	if !ok {
		n, err = w.primitive(f, at)
	}
	if err != nil || n == nil {
		return nil, err
	}
	w.bound(n, f.Bounds(), at)
	return n, nil
}

// opOf returns the operation as it stands under a negation.
func opOf(op int32, negated bool) int32 {
	if negated {
		return opMin + opMax - op
	}
	return op
}

// bound gives a node its box in the world, where there is one.
func (w *lowering) bound(n *node, b vec.Box, at frame) {
	b = at.by.Box(b)
	n.box, n.boxed, n.negated = b, b.Finite() && !b.IsEmpty(), at.negated
}

// join lowers a union or an intersection.
func (w *lowering) join(op int32, whole Field, parts []Field, at frame) (*node, error) {
	n := &node{op: opOf(op, at.negated)}
	for _, p := range parts {
		k, err := w.field(p, at)
		if err != nil {
			return nil, err
		}
		if k != nil {
			n.kids = append(n.kids, k)
		} else if op == opMax {
			return nil, nil // nothing is common with empty space
		}
	}
	if len(n.kids) == 0 {
		if op == opMax {
			return nil, errors.New("an intersection of nothing is all of space")
		}
		return nil, nil
	}
	w.bound(n, whole.Bounds(), at)
	return n, nil
}

// difference lowers From and the outsides of all cuts.
func (w *lowering) difference(d Difference, at frame) (*node, error) {
	from, err := w.field(d.From, at)
	if err != nil || from == nil {
		return nil, err
	}
	cut, err := w.join(opMin, Union(d.Cut), d.Cut, frame{at.by, !at.negated, at.tag, at.depth})
	if err != nil {
		return nil, err
	}
	if cut == nil {
		return from, nil
	}
	n := &node{op: opOf(opMax, at.negated), kids: []*node{from, cut}}
	w.bound(n, d.Bounds(), at)
	return n, nil
}

// plain returns the leaf of a surface given in local coordinates.
func (w *lowering) plain(s surface, at frame) *node {
	s.o = at.by.Point(s.o)
	s.u, s.x, s.y = at.by.Dir(s.u), at.by.Dir(s.x), at.by.Dir(s.y)
	return w.leaf(s, at)
}

// planeOf returns the leaf of the half-space n.p <= d.
func (w *lowering) planeOf(n vec.P, d float64, at frame) *node {
	o := at.by.Point(n.Mul(d))
	u := at.by.Dir(n)
	return w.leaf(surface{kind: plane, u: u, a: u.Dot(o)}, at)
}

// round returns the frame of a surface about the local z axis.
func about(k kind, o vec.P, a, b float64) surface {
	return surface{kind: k, o: o, u: vec.P{Z: 1}, a: a, b: b}
}

// common returns the intersection of leaves, in the frame.
func common(at frame, kids ...*node) *node {
	if len(kids) == 1 {
		return kids[0]
	}
	return &node{op: opOf(opMax, at.negated), kids: kids}
}

// slab returns the planes z = z0 and z = z1 with the inside between them.
func (w *lowering) slab(z0, z1 float64, at frame) []*node {
	return []*node{w.planeOf(vec.P{Z: -1}, -z0, at), w.planeOf(vec.P{Z: 1}, z1, at)}
}

// primitive lowers a field without children.
func (w *lowering) primitive(f Field, at frame) (*node, error) {
	switch f := f.(type) {
	case HalfSpace:
		return w.planeOf(f.N, f.D, at), nil
	case Box:
		var kids []*node
		for _, n := range [3]vec.P{{X: 1}, {Y: 1}, {Z: 1}} {
			h := n.Dot(f.Half)
			kids = append(kids, w.planeOf(n.Neg(), h, at), w.planeOf(n, h, at))
		}
		return common(at, kids...), nil
	case Facets:
		var kids []*node
		for _, h := range f.Planes {
			kids = append(kids, w.planeOf(h.N, h.D, at))
		}
		return common(at, kids...), nil
	case Sphere:
		return w.plain(about(sphere, vec.P{}, f.R, 0), at), nil
	case Cylinder:
		side := w.plain(about(cylinder, vec.P{}, f.R, 0), at)
		return common(at, append(w.slab(f.Z0, f.Z1, at), side)...), nil
	case Cone:
		return w.cone(f, at), nil
	case Torus:
		return w.plain(about(torus, vec.P{}, f.Major, f.Minor), at), nil
	case Capsule:
		l := f.B.Sub(f.A)
		if l.Len() == 0 {
			return w.plain(about(sphere, f.A, f.R, 0), at), nil
		}
		return w.plain(surface{kind: capsule, o: f.A, u: l.Unit(), a: l.Len(), b: f.R}, at), nil
	case Prism:
		return w.prism(f, at), nil
	case Revolve:
		return w.revolve(f, at), nil
	case Wire:
		return w.plain(surface{kind: wire, x: vec.P{X: 1}, y: vec.P{Y: 1}, u: vec.P{Z: 1}, a: f.R, shape: outline.PathPart(f.Path, f.Closed)}, at), nil
	}
	return w.opaque(f, at)
}

// cone lowers a frustum: its side is a whole cone, or a cylinder.
func (w *lowering) cone(f Cone, at frame) *node {
	dr, dz := f.R1-f.R0, f.Z1-f.Z0
	l := math.Hypot(dr, dz)
	if math.Abs(dr) < slimCone*dz {
		return w.cylinderLike(f, at)
	}
	side := about(cone, vec.P{Z: f.Z0 - float64(f.R0*dz/dr)}, math.Abs(dr)/l, dz/l)
	if dr < 0 {
		side.u = vec.P{Z: -1}
	}
	ends := w.slab(f.Z0, f.Z1, at)
	switch { // an end at the tip is no face
	case f.R0 == 0:
		ends = ends[1:]
	case f.R1 == 0:
		ends = ends[:1]
	}
	return common(at, append(ends, w.plain(side, at))...)
}

// slimCone is the least tangent of a cone's half angle: below it the apex is
// so far away that its distances lose more digits than the taper is worth.
const slimCone = 1e-9

func (w *lowering) cylinderLike(f Cone, at frame) *node {
	side := w.plain(about(cylinder, vec.P{}, (f.R0+f.R1)/2, 0), at)
	return common(at, append(w.slab(f.Z0, f.Z1, at), side)...)
}

// prism lowers an outline's wall and the planes at its sharp ends.
func (w *lowering) prism(f Prism, at frame) *node {
	s := surface{
		kind: wall, x: vec.P{X: 1}, y: vec.P{Y: 1}, u: vec.P{Z: 1},
		shape: f.Outline.Whole(),
	}
	if c, r, ok := discOf(f.Outline); ok && f.RoundTop == 0 && f.RoundBottom == 0 {
		s = about(cylinder, c.At(0), r, 0)
	}
	if f.RoundTop > 0 || f.RoundBottom > 0 {
		s.kind = rounded
		s.edge = section{f.Z0, f.Z1, f.RoundBottom, f.RoundTop}
	}
	kids := []*node{w.plain(s, at)}
	ends := w.slab(f.Z0, f.Z1, at)
	if f.RoundBottom == 0 {
		kids = append(kids, ends[0])
	}
	if f.RoundTop == 0 {
		kids = append(kids, ends[1])
	}
	return common(at, kids...)
}

// revolve lowers a turned outline.
func (w *lowering) revolve(f Revolve, at frame) *node {
	s := surface{kind: revolve, u: vec.P{Z: 1}, shape: f.Outline.WholeMeridian()}
	s.tips = tipsOf(s.shape, func(z float64) vec.P { return at.by.Point(vec.P{Z: z}) })
	return w.plain(s, at)
}

// tipsOf lists where a turned outline meets its axis aslant.
func tipsOf(shape outline.Part, at func(z float64) vec.P) (tips []vec.P) {
	for _, span := range shape.Spans() {
		if span.A.X <= axisSlack && math.Abs(span.T0.Y) > levelSlack {
			tips = append(tips, at(span.A.Y))
		}
		if span.B.X <= axisSlack && math.Abs(span.T1.Y) > levelSlack {
			tips = append(tips, at(span.B.Y))
		}
	}
	return tips
}

// levelSlack is the slope up to which an outline that meets its axis counts as
// square to it: over a millimetre that is a nanometre.
const levelSlack = 1e-6

// discOf returns the circle that an outline is, if it is one.
func discOf(o outline.Outline) (c vec.P2, r float64, ok bool) {
	if len(o.Loops) != 1 {
		return
	}
	return o.Loops[0].Circle()
}

// opaque lowers a field of unknown kind.
func (w *lowering) opaque(f Field, at frame) (*node, error) {
	b := f.Bounds()
	if b.IsEmpty() {
		return nil, nil
	}
	if d := f.Dist(b.Center()); b.Finite() && math.IsNaN(d) {
		return nil, fmt.Errorf("field %T is not a number at (%g, %g, %g)", f, b.Center().X, b.Center().Y, b.Center().Z)
	}
	s := surface{kind: opaque, field: f, by: at.by, b: opaqueBend}
	s.setReach()
	return w.own(s, at, false), nil
}

// opaqueBend is the radius in mm that an opaque surface is taken to bend with.
const opaqueBend = 0.5
