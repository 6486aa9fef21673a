package draft

import (
	"waxwright/geom/vec"
)

// plan is a drawing, or a part of one, while it is laid out. It keeps the box
// of every text and the lines that texts must keep clear of, so that the next
// text can be put where there is room.
type plan struct {
	marks []mark
	texts []vec.Box2
	lines []segment // of what has been laid out: dimensions, leaders
	under []segment // of the views themselves
	box   vec.Box2  // of all that is drawn
}

type segment struct{ a, b vec.P2 }

func newPlan() *plan { return &plan{box: vec.Empty2()} }

// add draws a mark that texts need not keep clear of: what lies under
// everything, or within a box that is blocked as a whole.
func (p *plan) add(m mark) { p.marks = append(p.marks, m) }

// line draws a line that texts keep clear of.
func (p *plan) line(pen pen, ps ...vec.P2) {
	p.add(stroke{points: ps, pen: pen})
	for i, q := range ps {
		p.box = p.box.With(q)
		if i > 0 {
			p.lines = append(p.lines, segment{ps[i-1], q})
		}
	}
}

// lie keeps texts off the lines of a view, which others may cross.
func (p *plan) lie(ps []vec.P2, closed bool) {
	for i, q := range ps {
		p.box = p.box.With(q)
		if i > 0 {
			p.under = append(p.under, segment{ps[i-1], q})
		} else if closed {
			p.under = append(p.under, segment{ps[len(ps)-1], q})
		}
	}
}

// text writes a label and keeps its box.
func (p *plan) text(l label) {
	p.add(l)
	b := l.box()
	p.texts = append(p.texts, b)
	p.box = p.box.Union(b)
}

// arrow draws a filled head of an arrow that points at tip, coming from from
// (ISO 129-1: narrow, closed and filled).
func (p *plan) arrow(tip, from vec.P2) {
	d := from.Sub(tip).Unit()
	n := d.Left()
	q := tip.Add(d.Mul(arrowLong))
	p.add(area{loops: [][]vec.P2{{tip, q.Add(n.Mul(arrowHalf)), q.Sub(n.Mul(arrowHalf))}}, fill: ink})
}

// The head of an arrow: 15 degrees between its sides (ISO 129-1 draws 15 or
// more).
const (
	arrowLong = 1.6
	arrowHalf = 0.21
)

// clear is the air between texts, and between a text and a line, mm.
const clear = 0.3

// room says whether a text would overlap neither text nor line.
func (p *plan) room(b vec.Box2) bool {
	b = grown(b, clear)
	for _, t := range p.texts {
		if overlap(b, t) {
			return false
		}
	}
	for _, lines := range [2][]segment{p.lines, p.under} {
		for _, s := range lines {
			if s.meets(b) {
				return false
			}
		}
	}
	return true
}

// passes says whether a line would run through no text.
func (p *plan) passes(s segment) bool {
	for _, t := range p.texts {
		if s.meets(grown(t, clear)) {
			return false
		}
	}
	return true
}

// merge takes over all of q, moved by d.
func (p *plan) merge(q *plan, d vec.P2) {
	for _, m := range q.marks {
		p.add(m.moved(d))
	}
	for _, t := range q.texts {
		p.texts = append(p.texts, vec.Box2{Min: t.Min.Add(d), Max: t.Max.Add(d)})
	}
	for _, s := range q.lines {
		p.lines = append(p.lines, segment{s.a.Add(d), s.b.Add(d)})
	}
	for _, s := range q.under {
		p.under = append(p.under, segment{s.a.Add(d), s.b.Add(d)})
	}
	p.box = p.box.Union(vec.Box2{Min: q.box.Min.Add(d), Max: q.box.Max.Add(d)})
}

// drawing moves the plan so that its box begins at the origin.
func (p *plan) drawing(scale float64) *Drawing {
	whole := newPlan()
	whole.merge(p, p.box.Min.Neg())
	size := p.box.Size()
	return &Drawing{W: size.X, H: size.Y, Scale: scale, marks: whole.marks, texts: whole.texts, lines: append(whole.lines, whole.under...)}
}

func grown(b vec.Box2, d float64) vec.Box2 {
	g := vec.P2{X: d, Y: d}
	return vec.Box2{Min: b.Min.Sub(g), Max: b.Max.Add(g)}
}

func overlap(a, b vec.Box2) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// meets says whether the segment runs through a box (Liang, Barsky, 1984).
func (s segment) meets(b vec.Box2) bool {
	t0, t1 := 0.0, 1.0
	d := s.b.Sub(s.a)
	for _, c := range [4][2]float64{
		{-d.X, s.a.X - b.Min.X}, {d.X, b.Max.X - s.a.X},
		{-d.Y, s.a.Y - b.Min.Y}, {d.Y, b.Max.Y - s.a.Y},
	} {
		p, q := c[0], c[1]
		switch {
		case p == 0:
			if q <= 0 {
				return false
			}
		case p < 0:
			t0 = max(t0, q/p)
		default:
			t1 = min(t1, q/p)
		}
	}
	return t0 < t1
}

// cross says whether two segments cross: not if they only touch, or lie along
// each other.
func (s segment) cross(r segment) bool {
	d, e, w := s.b.Sub(s.a), r.b.Sub(r.a), r.a.Sub(s.a)
	den := d.Cross(e)
	if den == 0 {
		return false
	}
	t, u := w.Cross(e)/den, w.Cross(d)/den
	return t > 0 && t < 1 && u > 0 && u < 1
}

// along says whether two segments share a stretch.
func (s segment) along(r segment) bool {
	d, e, w := s.b.Sub(s.a), r.b.Sub(r.a), r.a.Sub(s.a)
	l := d.Dot(d)
	if l == 0 || d.Cross(e) != 0 || d.Cross(w) != 0 {
		return false
	}
	u, v := w.Dot(d)/l, w.Add(e).Dot(d)/l
	return max(u, v) > 0 && min(u, v) < 1
}
