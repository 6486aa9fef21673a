package sdf

import (
	"math"
	"slices"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Faces returns a code of the same solid in which every drawn or turned outline
// with corners, and every prism with a rounded edge, is known as the smooth
// faces that it consists of: PruneFaces names these, each by one word wherever
// it passes, so that a mesher can follow a face from place to place. A straight
// or circular piece of an outline is the plane, cylinder, cone, ball or ring
// that it draws, and one with every other such face of the same numbers.
//
// The new code has the values, bounds and digest of c.
func (c *Code) Faces() *Code {
	d := &Code{bounds: c.bounds, digest: c.digest, boxes: c.boxes}
	d.surf = slices.Clone(c.surf)
	d.leaf = slices.Clone(c.leaf)
	d.all = Local{code: d, prog: c.all.prog}
	d.apart = make([]*dissected, len(c.surf))
	w := &lowering{code: d, faces: map[int64][]int32{}}
	for i := range c.surf {
		if s := &c.surf[i]; s.kind < wall {
			key := s.bucket()
			w.faces[key] = append(w.faces[key], int32(i))
		}
	}
	for _, l := range c.leaf {
		if d.apart[l.surf] == nil {
			d.apart[l.surf] = w.takeApart(l)
		}
	}
	d.seams = len(d.surf)
	for i, a := range d.apart {
		if a == nil {
			continue
		}
		for k := range a.rims {
			s := &d.surf[i]
			seam := surface{kind: plane, u: s.u, a: s.u.Dot(s.o) + s.edge.z1 - s.edge.top}
			if !a.rims[k].up {
				seam = surface{kind: plane, u: s.u.Neg(), a: -s.u.Dot(s.o) - s.edge.z0 - s.edge.bottom}
			}
			seam.setReach()
			a.rims[k].seam = w.own(seam, frame{}, false).word
		}
		for k := range a.joints {
			j := &a.joints[k]
			seam := surface{kind: plane, u: j.along, a: j.along.Dot(j.at)}
			seam.setReach()
			j.seam = w.own(seam, frame{}, false).word
		}
	}
	return d
}

// dissected is a surface taken apart into smooth faces. Words are those of faces
// the way round of the surface.
type dissected struct {
	faces []int32 // words of the outline's runs
	ends  []ends  // of the outline's runs
	run   []int32 // the numbers of the runs by the outline's spans
	rims  []rim   // of a rounded prism
	// joints are where runs go on smoothly that were parted, so that none has both
	// its ends at one corner.
	joints []joint
}

// joint is where one run goes on as another: the numbers of both, and the plane
// across the outline there, its outside towards the second.
type joint struct {
	before, after int32
	at, along     vec.P
	seam          int32
}

// rim is a rounded end of a prism: the rounded face, and the plane, its outside
// towards that end, in which it runs smoothly into the upright faces.
type rim struct {
	face, seam int32
	up         bool // the end at which z is greatest
}

// takeApart returns the faces of a leaf's surface, nil where it is one face or
// can't be taken apart.
func (w *lowering) takeApart(l leaf) *dissected {
	s := w.code.surf[l.surf]
	a := &dissected{}
	switch s.kind {
	case revolve:
	case wall:
		if smoothAll(s.shape) {
			return nil
		}
	case rounded:
		if s.edge.z1-s.edge.top-(s.edge.z0+s.edge.bottom) < mergeSlack {
			return nil // no upright face is left between the rounded ones
		}
		for _, up := range [2]bool{true, false} {
			end := s
			if up {
				end.edge.bottom = 0
			} else {
				end.edge.top = 0
			}
			if end.edge.top > 0 || end.edge.bottom > 0 {
				a.rims = append(a.rims, rim{face: w.own(end, frame{tag: l.tag}, false).word, up: up})
			}
		}
		s.kind = wall
	default:
		return nil
	}
	a.run = make([]int32, len(s.shape.Spans()))
	for _, list := range runsOf(s.shape) {
		parts := [][]int32{list}
		if s.kind == wall {
			parts = parted(s.shape, list)
		}
		for n, part := range parts {
			if n > 0 {
				q := s.shape.Of(part).Spans()[0]
				a.joints = append(a.joints, joint{
					before: int32(len(a.faces)) - 1, after: int32(len(a.faces)),
					at: s.world(q.A, 0), along: s.x.Mul(q.T0.X).Add(s.y.Mul(q.T0.Y)),
				})
			}
			for _, i := range part {
				a.run[i] = int32(len(a.faces))
			}
			a.faces = append(a.faces, w.runFace(s, s.shape.Of(part), l.tag))
			a.ends = append(a.ends, endsOf(s.shape.Of(part).Spans()))
		}
	}
	return a
}

// ends says how the face of a run goes on beyond the run: round a circle, or
// straight on at both ends.
type ends struct {
	a, b   outline.Span // the first and the last
	centre vec.P2
	radius float64 // 0 where it goes straight on
	closed bool    // there is nothing beyond: the run goes on smoothly as itself
}

func endsOf(run []outline.Span) ends {
	e := ends{a: run[0], b: run[len(run)-1]}
	e.closed = e.a.A == e.b.B && e.a.T0.Sub(e.b.T1).Len() < levelSlack
	if c, r, ok := circleOf(run); ok {
		e.centre, e.radius = c, r
	}
	return e
}

// stray reports whether what lies beyond a run's ends passes within r of q while
// the end itself is farther off: there the face stands for something that is not.
func (e *ends) stray(q vec.P2, r float64) bool {
	if e.closed {
		return false
	}
	if e.radius > 0 {
		// the point of the circle next to q, if it is not the run's
		out := q.Sub(e.centre)
		if math.Abs(out.Len()-e.radius) > r || e.a.A.Sub(q).Len() <= r || e.b.B.Sub(q).Len() <= r {
			return e.radius < 2*r // the other side of so small a circle may be near, too
		}
		return e.a.Near(q).Dist > r && e.b.Near(q).Dist > r
	}
	beyond := func(end, along vec.P2) bool {
		d := q.Sub(end)
		t := d.Dot(along)
		return t > 0 && d.Len() > r && d.Sub(along.Mul(t)).Len() <= r
	}
	return beyond(e.a.A, e.a.T0.Mul(-1)) || beyond(e.b.B, e.b.T1)
}

// parted divides a run that starts and ends at one corner into three, where it
// has so many spans: then no two of them meet both smoothly and at the corner.
func parted(shape outline.Part, list []int32) [][]int32 {
	n := len(list)
	if n < 3 {
		return [][]int32{list}
	}
	if c, ok := shape.Join(list[n-1], list[0]); !ok || c == outline.Smooth {
		return [][]int32{list}
	}
	return [][]int32{list[:n/3], list[n/3 : n-n/3], list[n-n/3:]}
}

// runsOf lists the spans of each smooth run of a shape, in order.
func runsOf(shape outline.Part) (runs [][]int32) {
	n := int32(len(shape.Spans()))
	next, last := make([]int32, n), make([]int32, n)
	for i := range n {
		next[i], last[i] = -1, -1
	}
	for i := range n {
		for k := int32(1); k <= n; k++ {
			j := (i + k) % n
			if c, ok := shape.Join(i, j); ok {
				if c == outline.Smooth {
					next[i], last[j] = j, i
				}
				break
			}
		}
	}
	done := make([]bool, n)
	follow := func(i int32) {
		var list []int32
		for ; i >= 0 && !done[i]; i = next[i] {
			done[i] = true
			list = append(list, i)
		}
		runs = append(runs, list)
	}
	for i := range n {
		if last[i] < 0 {
			follow(i)
		}
	}
	for i := range n { // loops without a corner
		if !done[i] {
			follow(i)
		}
	}
	return runs
}

// runFace returns the word of the face that a smooth run of a wall's or a turned
// surface's outline draws.
func (w *lowering) runFace(s surface, run outline.Part, tag uint32) int32 {
	if f, inward, ok := s.plainFace(run.Spans()); ok {
		return w.leaf(f, frame{tag: tag, negated: inward}).word
	}
	s.shape = run
	s.setReach()
	n := w.own(s, frame{tag: tag}, false)
	w.code.leaf[n.word>>1].run = true
	return n.word
}

// plainFace returns the plane, cylinder, cone, ball or ring that a run draws,
// and whether the solid is outside of it.
func (s *surface) plainFace(run []outline.Span) (f surface, inward, ok bool) {
	if one := run[0]; len(run) == 1 && one.Line() {
		if s.kind == wall {
			n := s.x.Mul(one.T0.Y).Sub(s.y.Mul(one.T0.X))
			return surface{kind: plane, u: n, a: n.Dot(s.world(one.A, 0))}, false, true
		}
		return s.turnedLine(one), one.T0.Y < -levelSlack, true
	}
	c, r, ok := circleOf(run)
	if !ok {
		return f, false, false
	}
	f = surface{kind: cylinder, u: s.u, a: r}
	switch {
	case s.kind == wall:
		f.o = s.world(c, 0)
	case math.Abs(c.X) < mergeSlack:
		f.kind, f.o, f.u = sphere, s.o.Add(s.u.Mul(c.Y)), vec.P{Z: 1}
	case c.X > r:
		f.kind, f.o, f.a, f.b = torus, s.o.Add(s.u.Mul(c.Y)), c.X, r
	default:
		return f, false, false
	}
	return f, run[0].K < 0, true
}

// world returns the point of an outline's frame at a height.
func (s *surface) world(q vec.P2, z float64) vec.P {
	return s.o.Add(s.x.Mul(q.X)).Add(s.y.Mul(q.Y)).Add(s.u.Mul(z))
}

// turnedLine returns the face that a straight line draws when it is turned.
func (s *surface) turnedLine(l outline.Span) surface {
	out, up := l.T0.X, l.T0.Y
	switch {
	case math.Abs(up) <= levelSlack:
		n := s.u.Mul(-math.Copysign(1, out))
		return surface{kind: plane, u: n, a: n.Dot(s.o.Add(s.u.Mul(l.A.Y)))}
	case math.Abs(out) <= levelSlack:
		return surface{kind: cylinder, o: s.o, u: s.u, a: l.A.X}
	}
	f := surface{kind: cone, o: s.o.Add(s.u.Mul(l.A.Y - l.A.X*up/out)), u: s.u, a: math.Abs(out), b: math.Abs(up)}
	if out*up < 0 {
		f.u = s.u.Neg()
	}
	return f
}

// circleOf returns the circle that all spans of a run lie on.
func circleOf(run []outline.Span) (c vec.P2, r float64, ok bool) {
	if run[0].Line() {
		return c, r, false
	}
	c, r = run[0].Centre(), run[0].Radius()
	for _, s := range run[1:] {
		if s.Line() || s.K*run[0].K < 0 || s.Centre().Sub(c).Len() > mergeSlack || math.Abs(s.Radius()-r) > mergeSlack {
			return c, r, false
		}
	}
	return c, r, true
}

// Seam reports whether a surface of a code that Faces made is no face but a
// plane in which one face runs smoothly into another.
func (c *Code) Seam(surface int) bool { return c.apart != nil && surface >= c.seams }

// Seams calls f for every seam with its surface, the word of the face on its outer
// side, which is the rounded one at the end of a prism, and those of the faces on
// its inner side, all the way round of the solid that they are faces of.
func (c *Code) Seams(f func(seam int, outer Word, inner []Word)) {
	of := func(word int32) int { return int(c.leaf[word>>1].surf) }
	for _, a := range c.apart {
		if a == nil {
			continue
		}
		for _, r := range a.rims {
			var up []Word
			for _, w := range a.faces {
				up = append(up, Word(w))
			}
			f(of(r.seam), Word(r.face), up)
		}
		for _, j := range a.joints {
			if a.faces[j.before] == a.faces[j.after] {
				continue
			}
			f(of(j.seam), Word(a.faces[j.after]), []Word{Word(a.faces[j.before])})
		}
	}
}

// Uses returns one word for every use of a surface, the way round of the surface.
func (c *Code) Uses() []Word {
	words := make([]Word, len(c.leaf))
	for i := range words {
		words[i] = Word(i << 1)
	}
	return words
}

// Faced returns one word for every surface of a code that Faces made, -1 for
// those that were taken apart.
func (c *Code) Faced() []Word {
	words := make([]Word, len(c.surf))
	for i := range words {
		words[i] = -1
	}
	for i, l := range c.leaf {
		if k := l.surf; words[k] < 0 && (int(k) >= len(c.apart) || c.apart[k] == nil) {
			words[k] = Word(i << 1)
		}
	}
	return words
}
