package outline

import (
	"math"

	"waxwright/geom/vec"
)

// Span is a Seg with both its ends, prepared for geometry: a straight line or
// a circular arc from A to B. Inside lies to its left, so distances are
// positive on its right.
//
// Lines and arcs share one form: the curve leaves A along T0 and bends with the
// signed curvature K (positive to the left, 0 for a line). Nothing divides by
// K, so that the flattest arc is as exact as a line.
type Span struct {
	A, B   vec.P2
	T0, T1 vec.P2  // unit tangents at A and at B
	K      float64 // signed curvature, 1/mm
	Sweep  float64 // signed angle from T0 to T1, radians, within (-2 pi, 2 pi)
	Len    float64 // length along the curve, mm
	Bulge  float64 // tan(Sweep/4), as in Seg
}

// flatBulge is the bulge below which a Seg counts as a straight line: over a
// chord of 100 mm it rises 5e-11 mm, less than anything here resolves.
const flatBulge = 1e-12

// NewSpan prepares the line or arc from a to b. The ends need to differ.
func NewSpan(a, b vec.P2, bulge float64) Span {
	chord := b.Sub(a)
	l := chord.Len()
	e := chord.Unit()
	if math.Abs(bulge) < flatBulge {
		return Span{A: a, B: b, T0: e, T1: e, Len: l}
	}
	// half the sweep is 2 atan(bulge)
	q := 1 + float64(bulge*bulge)
	cos, sin := (1-float64(bulge*bulge))/q, 2*bulge/q
	up, left := e.Mul(cos), e.Left().Mul(sin)
	turn := math.Atan(bulge)
	return Span{
		A: a, B: b,
		T0: up.Sub(left), T1: up.Add(left),
		K:     4 * bulge / (l * q),
		Sweep: 4 * turn,
		Len:   l * q * (turn / bulge),
		Bulge: bulge,
	}
}

// Span returns piece i of the loop with both its ends.
func (l Loop) Span(i int) Span {
	return NewSpan(l[i].At, l[(i+1)%len(l)].At, l[i].Bulge)
}

// Spans returns all pieces of the loop in order.
func (l Loop) Spans() []Span {
	s := make([]Span, len(l))
	for i := range l {
		s[i] = l.Span(i)
	}
	return s
}

// Line reports whether s is straight.
func (s Span) Line() bool { return s.K == 0 }

// Radius returns the radius of an arc in mm, +Inf for a line.
func (s Span) Radius() float64 { return 1 / math.Abs(s.K) }

// Centre returns the centre of an arc. A line has none; its result is not
// finite.
func (s Span) Centre() vec.P2 {
	// (A+B)/2 + left of the chord * chord (1-b^2)/(4b): exact for half circles
	chord := s.B.Sub(s.A)
	h := (1 - float64(s.Bulge*s.Bulge)) / (4 * s.Bulge)
	return s.A.Lerp(s.B, 0.5).Add(chord.Left().Mul(h))
}

// Point returns the point at the share t (0 at A, 1 at B) of the length.
func (s Span) Point(t float64) vec.P2 {
	switch {
	case t <= 0:
		return s.A
	case t >= 1:
		return s.B
	case s.K == 0:
		return s.A.Lerp(s.B, t)
	}
	half := s.Sweep * t / 2
	sin, cos := math.Sincos(half)
	chord := s.Len * t * (sin / half)
	return s.A.Add(s.T0.Mul(chord * cos)).Add(s.T0.Left().Mul(chord * sin))
}

// Tangent returns the unit tangent at the share t of the length.
func (s Span) Tangent(t float64) vec.P2 {
	switch {
	case t <= 0 || s.K == 0:
		return s.T0
	case t >= 1:
		return s.T1
	}
	sin, cos := math.Sincos(s.Sweep * t)
	return s.T0.Mul(cos).Add(s.T0.Left().Mul(sin))
}

// Normal returns the outward unit normal (to the right) at the share t.
func (s Span) Normal(t float64) vec.P2 { return s.Tangent(t).Left().Neg() }

// Reverse returns s run from B to A.
func (s Span) Reverse() Span {
	return Span{
		A: s.B, B: s.A, T0: s.T1.Neg(), T1: s.T0.Neg(),
		K: -s.K, Sweep: -s.Sweep, Len: s.Len, Bulge: -s.Bulge,
	}
}

// Bounds returns the smallest box that holds s.
func (s Span) Bounds() vec.Box2 {
	b := vec.Empty2().With(s.A).With(s.B)
	if s.K == 0 {
		return b
	}
	if r := s.Radius(); r < roundRadius {
		c := s.Centre()
		for _, q := range [4]vec.P2{{X: c.X + r, Y: c.Y}, {X: c.X, Y: c.Y + r}, {X: c.X - r, Y: c.Y}, {X: c.X, Y: c.Y - r}} {
			if s.faces(q) {
				b = b.With(q)
			}
		}
		return b
	}
	for _, e := range [4]vec.P2{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} { // tangents along the axes
		a := math.Atan2(s.T0.Cross(e), s.T0.Dot(e))
		if a*s.Sweep < 0 {
			a += math.Copysign(2*math.Pi, s.Sweep)
		}
		if t := a / s.Sweep; t > 0 && t < 1 {
			b = b.With(s.Point(t))
		}
	}
	return b
}

// roundRadius is the radius in mm up to which an arc's extreme points are taken
// from its centre, which is exact for most circles: at 10 m centres round to
// 2e-12. Flatter arcs are asked where their tangent lies along an axis.
const roundRadius = 1e4

// full returns the signed distance from p to the whole line or circle that s
// lies on, and its gradient, a unit vector.
//
// With w = p - A and u the left normal at A the centre is A + u/K, and
// |p - centre| - 1/|K| = (K w.w - 2 w.u) / (1 + |K w - u|) up to the sign.
func (s *Span) full(p vec.P2) (d float64, n vec.P2) {
	w := p.Sub(s.A)
	u := s.T0.Left()
	if s.K == 0 {
		return -w.Dot(u), u.Neg()
	}
	g := w.Mul(s.K).Sub(u)
	l := g.Len()
	if l == 0 {
		return -1 / s.K, u.Neg() // the centre: every direction is as good
	}
	d = (float64(s.K*w.Dot(w)) - 2*w.Dot(u)) / (1 + l)
	return d, vec.P2{X: g.X / l, Y: g.Y / l}
}

// level returns the value of full without the gradient.
func (s *Span) level(p vec.P2) float64 {
	w := p.Sub(s.A)
	h := float64(w.X*-s.T0.Y) + float64(w.Y*s.T0.X)
	if s.K == 0 {
		return -h
	}
	gx, gy := float64(s.K*w.X)+s.T0.Y, float64(s.K*w.Y)-s.T0.X
	l := math.Sqrt(float64(gx*gx) + float64(gy*gy))
	return (float64(s.K*w.Dot(w)) - 2*h) / (1 + l)
}

// faces reports whether the nearest point of the whole line or circle to p
// lies on s: p is not before the start or past the end.
func (s *Span) faces(p vec.P2) bool {
	after := p.Sub(s.A).Dot(s.T0) >= 0
	before := p.Sub(s.B).Dot(s.T1) <= 0
	if math.Abs(s.Sweep) > math.Pi {
		return after || before
	}
	return after && before
}

// Foot is the nearest point of a span to some point p.
type Foot struct {
	At   vec.P2
	T    float64 // share of the length, 0 at A, 1 at B
	Dist float64 // distance from p to At, not negative
}

// Near returns the nearest point of s to p.
func (s Span) Near(p vec.P2) Foot {
	if s.faces(p) {
		d, n := s.full(p)
		return Foot{p.Sub(n.Mul(d)), s.share(p), math.Abs(d)}
	}
	da, db := p.Sub(s.A).Len(), p.Sub(s.B).Len()
	if da <= db {
		return Foot{s.A, 0, da}
	}
	return Foot{s.B, 1, db}
}

// share returns the share of the length at which s faces p, within [0, 1].
func (s *Span) share(p vec.P2) float64 {
	w := p.Sub(s.A)
	along := w.Dot(s.T0)
	if s.K == 0 {
		return min(max(along/s.Len, 0), 1)
	}
	a := math.Atan2(float64(s.K*along), 1-float64(s.K*w.Dot(s.T0.Left())))
	// an arc of more than half a turn needs the angle beyond pi, too
	if math.Signbit(a) != math.Signbit(s.Sweep) {
		other := a + math.Copysign(2*math.Pi, s.Sweep)
		if excess(other, s.Sweep) < excess(a, s.Sweep) {
			a = other
		}
	}
	return min(max(a/s.Sweep, 0), 1)
}

// excess returns how far the angle a lies outside the way from 0 to sweep.
func excess(a, sweep float64) float64 {
	return max(0, min(sweep, 0)-a, a-max(sweep, 0))
}

// Dist returns the signed distance from p to s extended at both ends by its
// tangents without end.
func (s Span) Dist(p vec.P2) float64 {
	d, _ := s.DistNormal(p)
	return d
}

// DistNormal returns the signed distance from p to s extended at both ends by
// its tangents without end, and the distance's gradient, a unit vector.
func (s Span) DistNormal(p vec.P2) (float64, vec.P2) {
	if s.K == 0 {
		return s.full(p)
	}
	best, normal := math.Inf(1), vec.P2{}
	take := func(d float64, n vec.P2) {
		if math.Abs(d) < math.Abs(best) {
			best, normal = d, n
		}
	}
	if s.faces(p) {
		take(s.full(p))
	}
	if w := p.Sub(s.A); w.Dot(s.T0) < 0 {
		n := s.T0.Left().Neg()
		take(w.Dot(n), n)
	}
	if w := p.Sub(s.B); w.Dot(s.T1) > 0 {
		n := s.T1.Left().Neg()
		take(w.Dot(n), n)
	}
	return best, normal
}
