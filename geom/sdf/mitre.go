package sdf

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Mitre is an edge of a FormRim, from a corner of the outline that points outwards
// inwards, in the plane N.p = At. From, in the seam, and To, in the flat end, are
// its ends.
type Mitre struct {
	N        vec.P
	At       float64
	From, To vec.P
}

// rimChart fills in the chart of a prism's one rounded end. Where the outline has
// a corner that points outwards, or an arc narrower than the rounding, the end has
// an edge. There is no chart where one does not lie in a plane, or where two meet.
func (s *surface) rimChart(c Chart) Chart {
	if s.edge.top > 0 && s.edge.bottom > 0 {
		return c
	}
	c.X, c.Y, c.A, c.B = s.x, s.y, s.edge.z1, s.edge.top
	if s.edge.bottom > 0 {
		c.U, c.A, c.B = s.u.Neg(), -s.edge.z0, s.edge.bottom
	}
	for _, t := range tips(s.shape, c.B) {
		long, ok := t.inwards(s.shape, c.B)
		if !ok {
			return Chart{O: s.o, U: s.u}
		}
		across := t.along.Left()
		m := Mitre{N: s.x.Mul(across.X).Add(s.y.Mul(across.Y))}
		seam, end := c.A-c.B, c.A
		if s.edge.bottom > 0 {
			seam, end = -seam, -end
		}
		m.From, m.To = s.world(t.at, seam), s.world(t.at.Add(t.along.Mul(long)), end)
		m.At = m.N.Dot(m.From)
		c.Mitres = append(c.Mitres, m)
	}
	c.Form = FormRim
	return c
}

// tip is a place of an outline from which an edge goes inwards where the outline
// is rounded: a corner that points outwards, or the middle of a narrow arc.
type tip struct {
	before, after *outline.Span // beside it
	arc           *outline.Span // nil at a corner
	at, along     vec.P2        // and which way inwards
}

// tips lists the corners of a shape that point outwards and its arcs whose radius
// is less than r.
func tips(shape outline.Part, r float64) (list []tip) {
	spans := shape.Spans()
	n := int32(len(spans))
	before, after := make([]int32, n), make([]int32, n)
	for i := range n {
		for j := range n {
			k, ok := shape.Join(i, j)
			if !ok || i == j && n > 1 {
				continue
			}
			after[i], before[j] = j, i
			if k == outline.Convex {
				list = append(list, tip{before: &spans[i], after: &spans[j], at: spans[j].A, along: spans[j].T0.Sub(spans[i].T1).Unit()})
			}
		}
	}
	for i := range spans {
		a := &spans[i]
		if a.Line() || a.K < 0 || a.Radius() >= r*(1-levelSlack) {
			continue
		}
		at := a.Point(0.5)
		list = append(list, tip{&spans[before[i]], &spans[after[i]], a, at, a.Centre().Sub(at).Unit()})
	}
	return list
}

// inwards returns how far inwards from a tip the shape is r deep; ok is false where
// that is not on one straight line, both of whose sides are alike, or where other
// parts of the outline are nearer.
func (t *tip) inwards(shape outline.Part, r float64) (long float64, ok bool) {
	cos := t.along.Dot(t.after.T0)
	if math.Abs(t.before.K-t.after.K) > levelSlack || math.Abs(cos+t.along.Dot(t.before.T1)) > levelSlack ||
		cos < LeastMitre || cos > 1-LeastMitre*LeastMitre/2 {
		return 0, false
	}
	lo, hi := 0.0, 2*r/LeastMitre // no edge is longer
	for range 64 {
		long = (lo + hi) / 2
		if at := t.at.Add(t.along.Mul(long)); t.deep(at) < r {
			lo = long
		} else {
			hi = long
		}
	}
	const samples = 16
	for k := range samples {
		at := t.at.Add(t.along.Mul(long * float64(k+1) / samples))
		if deep := t.deep(at); math.Abs(shape.Dist(at)+deep) > levelSlack || k == samples-1 && math.Abs(deep-r) > levelSlack {
			return 0, false
		}
	}
	return long, true
}

// deep returns how far a point is from what the tip consists of.
func (t *tip) deep(p vec.P2) float64 {
	d := min(t.before.Near(p).Dist, t.after.Near(p).Dist)
	if t.arc != nil {
		d = min(d, t.arc.Near(p).Dist)
	}
	return d
}

// LeastMitre is the cosine, and the sine, of half the angle of corners with a
// mitre, at least.
const LeastMitre = 0.1
