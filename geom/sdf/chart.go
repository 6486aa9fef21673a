package sdf

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Form says how a surface can be laid out in the plane.
type Form uint8

// Forms of surfaces. NoForm is any that has none of the others.
const (
	NoForm       Form = iota
	FormPlane         // U.p = A
	FormCylinder      // axis O + t U, radius A
	FormCone          // apex O, opens along U; A, B are sine and cosine of the half angle
	FormSphere        // centre O, radius A
	FormTorus         // centre O, axis U, radii A and B
	FormCapsule       // from O by the length A along U, radius B
	FormWall          // a smooth run of an outline, in the frame O, X, Y, drawn along U
	FormTurned        // a smooth open run of an outline, turned about the axis O + t U
	FormRim           // the flat end of a prism at the height A from O along U, rounded with radius B
)

// Chart is the shape of one surface in world space. X, Y, U are a right-handed
// frame of unit vectors, a left-handed one of a FormRim whose U is turned down;
// lengths are mm.
type Chart struct {
	Form       Form
	O, X, Y, U vec.P
	A, B       float64
	Bend       float64        // of FormWall: the least radius of its arcs, +Inf where it has none
	Run        []outline.Span // of FormTurned: in (distance from the axis, height)
	Mitres     []Mitre        // of FormRim: its edges
}

// Surface returns the number of the word's surface, less than Code.Surfaces.
func (l *Local) Surface(w Word) int { return int(l.leafOf(int32(w)).surf) }

// Chart returns the shape of the word's surface.
func (l *Local) Chart(w Word) Chart {
	lf := l.leafOf(int32(w))
	s := &l.code.surf[lf.surf]
	c := Chart{O: s.o, U: s.u, A: s.a, B: s.b, Bend: math.Inf(1)}
	switch s.kind {
	case plane:
		c.Form = FormPlane
	case cylinder:
		c.Form = FormCylinder
	case cone:
		c.Form = FormCone
	case sphere:
		c.Form, c.U = FormSphere, vec.P{Z: 1}
	case torus:
		if s.a > s.b {
			c.Form = FormTorus
		}
	case capsule:
		c.Form = FormCapsule
	case wall:
		if !lf.run && !smoothAll(s.shape) || s.x.Cross(s.y).Dot(s.u) < 0 {
			return c
		}
		c.Form, c.X, c.Y = FormWall, s.x, s.y
		for _, span := range s.shape.Spans() {
			if !span.Line() {
				c.Bend = min(c.Bend, span.Radius())
			}
		}
		return c
	case rounded:
		return s.rimChart(c)
	case revolve:
		if c.Run = s.shape.Spans(); lf.run && c.Run[0].A != c.Run[len(c.Run)-1].B {
			c.Form = FormTurned
		}
	}
	if c.Form != NoForm {
		c.X = c.U.Square()
		c.Y = c.U.Cross(c.X)
	}
	return c
}

// corners reports whether the surface's outline has a corner of the kind.
func (s *surface) corners(kind outline.Corner) bool {
	n := int32(len(s.shape.Spans()))
	for i := range n {
		for j := range n {
			if c, ok := s.shape.Join(i, j); ok && i != j && c == kind {
				return true
			}
		}
	}
	return false
}

// smoothAll reports whether every span of the shape runs smoothly into another.
func smoothAll(p outline.Part) bool {
	n := int32(len(p.Spans()))
next:
	for i := range n {
		for k := int32(1); k <= n; k++ {
			if c, ok := p.Join(i, (i+k)%n); ok {
				if c != outline.Smooth {
					return false
				}
				continue next
			}
		}
		return false
	}
	return true
}

// Truth answers many questions at once: mask says of a word, taken the right
// way round, in which of 64 cases a point is inside of its surface; Truth
// returns in which of them the point is inside of what l stands for.
func (l *Local) Truth(mask func(surface int) uint64) uint64 {
	if l.Empty() {
		return 0
	}
	m, _ := l.truth(0, mask)
	return m
}

func (l *Local) truth(i int32, mask func(surface int) uint64) (m uint64, next int32) {
	op := l.prog[i]
	if op >= 0 {
		m = mask(int(l.leafOf(op).surf))
		if op&1 != 0 {
			m = ^m
		}
		return m, i + 1
	}
	n := l.prog[i+1]
	if op == opMax {
		m = ^uint64(0)
	}
	next = i + headLen
	for ; n > 0; n-- {
		var k uint64
		if k, next = l.truth(next, mask); op == opMin {
			m |= k
		} else {
			m &= k
		}
	}
	return m, next
}
