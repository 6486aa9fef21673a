package sdf

import (
	"math"
	"slices"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Mitre is an edge of a FormRim: it goes inwards from a corner of the outline that
// points outwards, or from the middle of an arc that is narrower than the rounding,
// as far from what comes before it as from what comes after. It starts in the seam,
// and ends where it is as deep as the rounding, in the flat.
type Mitre struct {
	Start, End       vec.P
	Inwards, Onwards vec.P   // its directions there, seen from above: unit vectors
	Bend             float64 // its least radius seen from above, at least; +Inf where it is straight

	frame         *surface
	before, after outline.Part // runs, in order
}

// Slope returns half of the difference of a point's distances from both sides, which
// vanishes along the mitre and above and below it, and its gradient.
func (m *Mitre) Slope(p vec.P) (float64, vec.P) {
	q, _ := m.frame.flat(p)
	v, g := m.slope(q)
	return v, m.frame.world(g, 0).Sub(m.frame.o)
}

func (m *Mitre) slope(q vec.P2) (float64, vec.P2) {
	a, na := m.before.RunDist(q)
	b, nb := m.after.RunDist(q)
	return (a - b) / 2, na.Sub(nb).Mul(0.5)
}

// rimChart fills in the chart of a prism's one rounded end. There is none where two
// edges meet, or other parts of the outline come so near that there are further ones.
func (s *surface) rimChart(c Chart) Chart {
	if s.edge.top > 0 && s.edge.bottom > 0 {
		return c
	}
	c.X, c.Y, c.A, c.B = s.x, s.y, s.edge.z1, s.edge.top
	seam, end := c.A-c.B, c.A
	if s.edge.bottom > 0 {
		c.U, c.A, c.B = s.u.Neg(), -s.edge.z0, s.edge.bottom
		seam, end = -(c.A - c.B), -c.A
	}
	side := func(q vec.P2) vec.P { return s.x.Mul(q.X).Add(s.y.Mul(q.Y)) }
	for _, t := range tips(s.shape, c.B) {
		e, ok := t.follow(s.shape, c.B)
		if !ok {
			return Chart{O: s.o, U: s.u}
		}
		c.Mitres = append(c.Mitres, Mitre{
			Start: s.world(t.at, seam), End: s.world(e.at, end),
			Inwards: side(t.along), Onwards: side(e.along), Bend: e.bend,
			frame: s, before: t.before, after: t.after,
		})
	}
	c.Form = FormRim
	return c
}

// tip is a place of an outline from which an edge goes inwards where the outline is
// rounded: a corner that points outwards, or the middle of the narrowest arc
// between wider ones.
type tip struct {
	before, after outline.Part // the runs beside it
	radius        float64      // of the arc; 0 at a corner
	at, along     vec.P2       // and which way inwards
}

// tips lists the places of a shape from which edges go inwards where it is rounded
// with the radius r.
func tips(shape outline.Part, r float64) (list []tip) {
	w := walkOf(shape)
	for _, c := range w.convex {
		j := &w.spans[c[1]]
		list = append(list, tip{shape.Of(w.back(c[0], r)), shape.Of(w.on(c[1], r)), 0, j.A, j.T0.Sub(w.spans[c[0]].T1).Unit()})
	}
	for i := range w.spans {
		first, a := int32(i), &w.spans[i]
		if a.K <= 0 || a.Radius() >= r*(1-levelSlack) {
			continue
		}
		last := first // of the spans of one circle that start here
		for k := w.after[last]; k >= 0 && k != first && sameBend(w.spans[k].K, a.K); k = w.after[k] {
			last = k
		}
		prev, next := w.before[first], w.after[last]
		if prev < 0 || next < 0 || w.spans[prev].K > a.K || sameBend(w.spans[prev].K, a.K) || w.spans[next].K > a.K {
			continue // at a corner there is the corner's edge, or none at all
		}
		along := a.T0.Left().Add(w.spans[last].T1.Left()).Unit() // inwards lies to the left
		at := a.Centre().Sub(along.Mul(a.Radius()))
		list = append(list, tip{shape.Of(w.back(prev, r)), shape.Of(w.on(next, r)), a.Radius(), at, along})
	}
	return list
}

// walk is an outline's spans by what they run into.
type walk struct {
	spans         []outline.Span
	before, after []int32    // that run smoothly on; -1 at corners
	convex        [][2]int32 // that meet at corners that point outwards
}

func walkOf(shape outline.Part) walk {
	w := walk{spans: shape.Spans()}
	n := int32(len(w.spans))
	for range n {
		w.before, w.after = append(w.before, -1), append(w.after, -1)
	}
	for i := range n {
		for j := range n {
			switch k, ok := shape.Join(i, j); {
			case !ok:
			case k == outline.Smooth:
				w.after[i], w.before[j] = j, i
			case k == outline.Convex:
				w.convex = append(w.convex, [2]int32{i, j})
			}
		}
	}
	return w
}

// on lists span i and those that run smoothly on from there, as far as they can be
// what an edge lies beside that is r deep: until they have turned by a right angle.
func (w *walk) on(i int32, r float64) []int32 {
	return w.along(i, r, w.after, func(s *outline.Span) vec.P2 { return s.T0 })
}

// back lists the same of what runs into the end of span i, in the order of the
// outline.
func (w *walk) back(i int32, r float64) []int32 {
	list := w.along(i, r, w.before, func(s *outline.Span) vec.P2 { return s.T1 })
	slices.Reverse(list)
	return list
}

// along lists span i and those that next leads to; heading is how a span goes at the
// end that is come to first.
func (w *walk) along(i int32, r float64, next []int32, heading func(*outline.Span) vec.P2) (list []int32) {
	from, long := heading(&w.spans[i]), 0.0
	for ; i >= 0 && long < 2*r/LeastMitre && heading(&w.spans[i]).Dot(from) > levelSlack && len(list) < len(w.spans); i = next[i] {
		list = append(list, i)
		long += w.spans[i].Len
	}
	return list
}

// sameBend reports whether two spans are of one circle, if they run on smoothly.
func sameBend(k, l float64) bool { return math.Abs(k-l) <= levelSlack*math.Abs(l) }

// edgeEnd is where an edge ends and which way it goes there.
type edgeEnd struct {
	at, along vec.P2
	bend      float64
}

// follow goes along the edge from a tip until it is r deep; ok is false where it
// meets others, or its sides are too steep, or nearly one line.
func (t *tip) follow(shape outline.Part, r float64) (e edgeEnd, ok bool) {
	const samples = 16
	e = edgeEnd{t.at, t.along, math.Inf(1)}
	for k := range samples {
		deep, last := r*float64(k+1)/samples, e
		if deep <= t.radius {
			e.at = t.at.Add(t.along.Mul(deep))
		} else if e, ok = t.deeper(e, deep); !ok {
			return e, false
		}
		if math.Abs(shape.Dist(e.at)+deep) > levelSlack {
			return e, false
		}
		if turn := e.along.Sub(last.along).Len(); turn > mergeSlack { // on an average; twice as much here and there
			e.bend = min(e.bend, e.at.Sub(last.at).Len()/(2*turn))
		}
	}
	return e, true
}

// onEdge in mm is the step with which a point of an edge is found: what roundings
// leave of one some mm from the origin.
const onEdge = 1e-13

// deeper takes a point of the edge to where it is so deep, by Newton's steps.
func (t *tip) deeper(e edgeEnd, deep float64) (edgeEnd, bool) {
	for range 30 {
		a, na := t.before.RunDist(e.at)
		b, nb := t.after.RunDist(e.at)
		in, across := na.Add(nb), na.Sub(nb) // square to each other
		if in.Len() < 2*LeastMitre || across.Len() < 2*LeastMitre {
			return e, false
		}
		d := in.Mul((a + b + 2*deep) / in.Dot(in)).Add(across.Mul((a - b) / across.Dot(across)))
		e.at, e.along = e.at.Sub(d), in.Unit().Mul(-1)
		if d.Len() < onEdge {
			return e, true
		}
	}
	return e, false
}

// LeastMitre is the sine of the least angle of an edge with its sides, and the
// cosine of the greatest.
const LeastMitre = 0.1
