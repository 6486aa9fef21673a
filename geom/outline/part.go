package outline

import (
	"math"
	"slices"

	"waxwright/geom/vec"
)

// Part is some of an outline's spans, asked as if it were the whole: what a
// mesher keeps of an outline for one small place. A Part made by Near answers
// Dist exactly as the whole outline does within the disc that it was made for.
// The zero Part answers +Inf.
type Part struct {
	x    *index
	list []int32 // ascending numbers of spans; nil is all of them
}

// Whole returns the part that is all of o.
func (o Outline) Whole() Part { return Part{x: o.ready()} }

// WholeMeridian returns all of o but the straight edges on x = 0; see
// MeridianDist.
func (o Outline) WholeMeridian() Part { return Part{x: o.ready().meridian()} }

// PathPart returns a path of lines and arcs as a part. It may cross itself and
// bounds nothing: ask it Away. An open path ends at the last Seg's At.
func PathPart(path []Seg, closed bool) Part {
	n := len(path)
	if !closed {
		n--
	}
	x := &index{}
	for i := range n {
		x.spans = append(x.spans, NewSpan(path[i].At, path[(i+1)%len(path)].At, path[i].Bulge))
		x.place = append(x.place, place{0, int32(i), int32(i), int32(i + 1)})
	}
	for i, s := range x.spans {
		prev := x.spans[(i+n-1)%n]
		if i == 0 && !closed {
			prev = s
		}
		x.joints = append(x.joints, meet(prev, s))
	}
	if closed {
		x.place[n-1].end = 0
	} else {
		last := x.spans[n-1]
		x.joints = append(x.joints, joint{last.B, Smooth, last.Normal(1)})
	}
	if n > treeFrom {
		x.grow()
	}
	return Part{x: x}
}

// Of returns the part that keeps the listed spans of the outline that t is
// part of; the list is ascending and is not copied.
func (t Part) Of(list []int32) Part { return Part{t.x, list} }

// List returns the numbers of the part's spans, nil when it is the whole.
func (t Part) List() []int32 { return t.list }

// Span returns span i of the outline that t is part of.
func (t Part) Span(i int32) *Span { return &t.x.spans[i] }

// each calls f with the number of each span of the part.
func (t Part) each(f func(i int32)) {
	if t.list == nil {
		for i := range t.x.spans {
			f(int32(i))
		}
		return
	}
	for _, i := range t.list {
		f(i)
	}
}

// nearest finds the nearest span of the part.
func (t Part) nearest(p vec.P2) (found, bool) {
	if t.x == nil {
		return found{}, false
	}
	if t.list == nil {
		return t.x.nearest(p, math.Inf(1))
	}
	f := found{dist: math.Inf(1), span: -1}
	for _, i := range t.list {
		t.x.look(i, p, &f)
	}
	return f, f.span >= 0
}

// Dist returns the signed distance from p to the part.
func (t Part) Dist(p vec.P2) float64 {
	f, ok := t.nearest(p)
	if !ok {
		return math.Inf(1)
	}
	return t.x.sign(p, f)
}

// DistNormal returns the signed distance and its gradient, a unit vector.
func (t Part) DistNormal(p vec.P2) (float64, vec.P2) {
	f, ok := t.nearest(p)
	if !ok {
		return math.Inf(1), vec.P2{}
	}
	if f.part == within {
		return t.x.spans[f.span].full(p)
	}
	s := t.x.spot(p, f)
	return s.Dist, s.Normal
}

// Away returns the distance from p to the part's curves, not negative, and the
// unit vector along which it grows; on the curve that is the outward normal.
func (t Part) Away(p vec.P2) (float64, vec.P2) {
	d, n := t.DistNormal(p)
	if d < 0 {
		return -d, n.Neg()
	}
	return d, n
}

// Near appends to list the spans that can be nearest to some point within r of
// c, given the signed distance d of c: all those within |d| + 2r.
func (t Part) Near(list []int32, c vec.P2, d, r float64) []int32 {
	return t.Within(list, c, math.Abs(d)+2*r)
}

// Within appends to list the spans that come within r of c.
func (t Part) Within(list []int32, c vec.P2, r float64) []int32 {
	from := len(list)
	keep := func(i int32) {
		f := found{dist: math.Inf(1)}
		if t.x.look(i, c, &f); f.dist <= r {
			list = append(list, i)
		}
	}
	if t.list != nil || len(t.x.nodes) == 0 {
		t.each(keep)
		return list
	}
	t.x.around(0, c, r, keep)
	slices.Sort(list[from:])
	return list
}

// around calls f with the spans of the tree under node n whose leaves' boxes
// come within r of c.
func (x *index) around(n int32, c vec.P2, r float64, f func(int32)) {
	d := &x.nodes[n]
	if boxDist(&d.box, c) > r {
		return
	}
	if d.left > 0 {
		x.around(d.left, c, r, f)
		x.around(d.right, c, r, f)
		return
	}
	for _, i := range x.order[-d.left:d.right] {
		f(i)
	}
}

// Join says how span i runs into span j: ok is false where j does not start at
// i's end.
func (t Part) Join(i, j int32) (c Corner, ok bool) {
	if t.x.place[i].loop != t.x.place[j].loop || t.x.spans[i].B != t.x.spans[j].A {
		return Smooth, false
	}
	return t.x.joints[t.x.place[i].end].corner, true
}

// RunDist returns the signed distance from p to the part taken as one smooth
// run: spans that follow each other, given in that order. An open run is
// extended at both ends by its tangents without end, as in Run.Dist.
func (t Part) RunDist(p vec.P2) (float64, vec.P2) {
	if len(t.list) == 1 {
		return t.x.spans[t.list[0]].DistNormal(p)
	}
	best, normal := math.Inf(1), vec.P2{}
	take := func(d float64, n vec.P2) {
		if math.Abs(d) < math.Abs(best) {
			best, normal = d, n
		}
	}
	last := len(t.list) - 1
	_, closed := t.Join(t.list[last], t.list[0])
	for k, i := range t.list {
		s := &t.x.spans[i]
		if s.faces(p) {
			take(s.full(p))
		}
		if k == last && !closed {
			break
		}
		// a smooth joint is nearest only in the sliver that roundings leave
		if w := p.Sub(s.B); w.Dot(w) < float64(best*best) {
			best, normal = signed(w, s.T1.Left().Neg())
		}
	}
	if closed {
		return best, normal
	}
	if s := &t.x.spans[t.list[0]]; p.Sub(s.A).Dot(s.T0) < 0 {
		n := s.T0.Left().Neg()
		take(p.Sub(s.A).Dot(n), n)
	}
	if s := &t.x.spans[t.list[last]]; p.Sub(s.B).Dot(s.T1) > 0 {
		n := s.T1.Left().Neg()
		take(p.Sub(s.B).Dot(n), n)
	}
	return best, normal
}

// Spans returns the part's spans in order.
func (t Part) Spans() []Span {
	if t.x == nil {
		return nil
	}
	var s []Span
	t.each(func(i int32) { s = append(s, t.x.spans[i]) })
	return s
}
