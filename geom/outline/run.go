package outline

import (
	"math"

	"waxwright/geom/vec"
)

// Corner says how two spans meet.
type Corner uint8

// The ways in which two spans meet.
const (
	Smooth Corner = iota // with one tangent
	Convex               // the outline turns left: inside is less than half a turn
	Reflex               // the outline turns right: inside is more than half a turn
)

// String names the corner.
func (c Corner) String() string {
	return [...]string{"smooth", "convex", "reflex"}[c]
}

// smoothTurn is the turn in radians below which a joint counts as smooth: over
// the 10 mm of a piece of jewellery the two tangents part by 10 nm. Joints that
// are smooth by construction turn by less than 1e-9.
const smoothTurn = 1e-6

// CornerOf tells how span s runs into span t, which starts where s ends.
func CornerOf(s, t Span) Corner {
	cross, dot := s.T1.Cross(t.T0), s.T1.Dot(t.T0)
	switch {
	case cross > smoothTurn:
		return Convex
	case cross < -smoothTurn:
		return Reflex
	case dot > 0:
		return Smooth
	case s.K+t.K < 0: // a cusp: inside lies between the two ways back
		return Convex
	}
	return Reflex
}

// Run is a smooth part of a loop: spans that meet with common tangents.
type Run struct {
	Spans      []Span
	First      int    // number of Spans[0] in its loop
	Closed     bool   // the whole loop is smooth: the last span meets the first
	Start, End Corner // how it meets the runs before and after; Smooth if Closed
}

// Runs splits the loop at its corners into smooth runs, in order. A loop
// without a corner gives one closed run.
func (l Loop) Runs() []Run {
	spans := l.Spans()
	n := len(spans)
	corner := func(i int) Corner { return CornerOf(spans[(i+n-1)%n], spans[i%n]) }
	first := -1
	for i := range spans {
		if corner(i) != Smooth {
			first = i
			break
		}
	}
	if first < 0 {
		return []Run{{Spans: spans, Closed: true}}
	}
	var runs []Run
	for i := first; i < first+n; {
		r := Run{First: i % n, Start: corner(i)}
		for {
			r.Spans = append(r.Spans, spans[i%n])
			i++
			if r.End = corner(i); r.End != Smooth || i == first+n {
				break
			}
		}
		runs = append(runs, r)
	}
	return runs
}

// Circle returns the centre and radius of a loop that is one whole circle.
func (l Loop) Circle() (c vec.P2, r float64, ok bool) {
	if len(l) < 2 || l[0].Bulge == 0 {
		return
	}
	s := l.Span(0)
	c, r = s.Centre(), s.Radius()
	sweep := 0.0
	for i := range l {
		t := l.Span(i)
		if t.Line() || t.Centre().Sub(c).Len() > circleSlack*r || math.Abs(t.Radius()-r) > circleSlack*r {
			return vec.P2{}, 0, false
		}
		sweep += t.Sweep
	}
	return c, r, math.Abs(math.Abs(sweep)-2*math.Pi) < circleSlack
}

// circleSlack is how far, as a share of the radius, arcs may lie apart and
// count as one circle: some hundred roundings.
const circleSlack = 1e-13

// Dist returns the signed distance from p to the run. An open run is extended
// at both ends by its tangents without end, so that its surface splits the
// plane near it. Where extended tangents cross, or beyond half a turn, the
// sign is that of the nearest part.
func (r Run) Dist(p vec.P2) float64 {
	d, _ := r.DistNormal(p)
	return d
}

// DistNormal returns Run.Dist at p and its gradient, a unit vector.
func (r Run) DistNormal(p vec.P2) (float64, vec.P2) {
	best, normal := math.Inf(1), vec.P2{}
	last := len(r.Spans) - 1
	for i := range r.Spans {
		s := &r.Spans[i]
		if s.faces(p) {
			if d, n := s.full(p); math.Abs(d) < math.Abs(best) {
				best, normal = d, n
			}
		}
		if i == last && !r.Closed {
			break
		}
		// a smooth joint is nearest only in the sliver that roundings leave
		if w := p.Sub(s.B); w.Dot(w) < float64(best*best) {
			best, normal = signed(w, s.T1.Left().Neg())
		}
	}
	if r.Closed {
		return best, normal
	}
	if s := &r.Spans[0]; p.Sub(s.A).Dot(s.T0) < 0 {
		n := s.T0.Left().Neg()
		if d := p.Sub(s.A).Dot(n); math.Abs(d) < math.Abs(best) {
			best, normal = d, n
		}
	}
	if s := &r.Spans[last]; p.Sub(s.B).Dot(s.T1) > 0 {
		n := s.T1.Left().Neg()
		if d := p.Sub(s.B).Dot(n); math.Abs(d) < math.Abs(best) {
			best, normal = d, n
		}
	}
	return best, normal
}

// atJoint is the distance in mm from a joint within which roundings of
// coordinates up to a metre (1e-13) spoil a direction by more than a tenth of a
// milliradian.
const atJoint = 1e-9

// signed returns the length of w, negative where w points against the outward
// normal n, and the direction in which that value grows.
func signed(w, n vec.P2) (float64, vec.P2) {
	l := w.Len()
	switch {
	case l < atJoint && w.Dot(n) < 0: // so near, w's direction is roundings
		return -l, n
	case l < atJoint:
		return l, n
	case w.Dot(n) < 0:
		return -l, w.Mul(-1 / l)
	}
	return l, w.Mul(1 / l)
}
