package draft

import (
	"cmp"
	"slices"

	"waxwright/geom/vec"
)

// dim is a length between two places of a view, measured across or, if
// upright, up. a and b are in mm of the model.
type dim struct {
	a, b    vec.P2
	upright bool
	text    string
}

// Dimension lines after the habits of ISO 129-1: the shortest nearest to the
// view, extension lines that begin a little off the outline and end a little
// beyond the dimension line, the figure above the line.
const (
	laneFirst  = 6.0 // from the outline to the first dimension line
	laneStep   = 5.0 // from one to the next
	extendFrom = 0.8
	extendPast = 1.2
	overLine   = 0.9 // from the line to the figure's baseline
	outer      = 3.4 // of the dimension line, outside of arrows that point inwards
)

// laid is a dimension laid out.
type laid struct {
	lines [3]segment // dimension line, extension lines
	tips  [2]segment // arrows, tip first
	text  vec.Box2
	base  vec.P2 // of the figure's baseline
}

// dimension puts dimensions round the box of a view at scale k: those across
// below it, upright ones to its left. They go into as few lanes as hold them
// without a text over a text or a line, and without crossings if that can be.
// What finds no room is returned.
func (p *plan) dimension(dims []dim, view vec.Box2, k float64) (left []dim) {
	slices.SortStableFunc(dims, func(a, b dim) int { return cmp.Compare(a.span(), b.span()) })
	for len(dims) > 0 {
		for _, crossing := range []bool{false, true} {
			for lanes := 1; lanes <= min(len(dims)+1, laneMost); lanes++ {
				if p.layAll(dims, view, k, lanes, crossing) {
					return left
				}
			}
		}
		left = append(left, dims[0]) // the shortest, which is nearest to its place in words
		dims = dims[1:]
	}
	return left
}

// laneMost bounds the search for room.
const laneMost = 4

func (d dim) span() float64 {
	if d.upright {
		return max(d.b.Y-d.a.Y, d.a.Y-d.b.Y)
	}
	return max(d.b.X-d.a.X, d.a.X-d.b.X)
}

// layAll lays out dimensions, the first nearest to the view, and goes back on
// a place that leaves no room for those that follow. Without success it leaves
// the plan as it was.
func (p *plan) layAll(dims []dim, view vec.Box2, k float64, lanes int, crossing bool) bool {
	if len(dims) == 0 {
		return true
	}
	d := dims[0]
	l := label{text: d.text, height: small, upright: d.upright, ink: ink}
	edge := view.Min.Y
	if d.upright {
		edge = view.Min.X
	}
	before := *p
	for lane := range lanes {
		for place := range 3 {
			m, ok := d.at(k, edge-laneFirst-float64(lane)*laneStep, l, place)
			if !ok || !p.fits(m, crossing) {
				continue
			}
			p.draw(m, l)
			if p.layAll(dims[1:], view, k, lanes, crossing) {
				return true
			}
			*p = before
		}
	}
	return false
}

// at lays the dimension out on the line y; the figure stands between the
// arrows (place 0), beyond the second one (1) or before the first (2).
func (d dim) at(k, y float64, l label, place int) (laid, bool) {
	turn := func(q vec.P2) vec.P2 { // to a frame where it runs along x
		if d.upright {
			return vec.P2{X: q.Y, Y: q.X}
		}
		return q
	}
	a, b := turn(d.a.Mul(k)), turn(d.b.Mul(k))
	if a.X > b.X {
		a, b = b, a
	}
	w, span := l.width(), b.X-a.X
	x0, x1 := a.X, b.X
	inside := span >= 2*arrowLong+1
	var m laid
	if inside {
		m.tips = [2]segment{{vec.P2{X: a.X, Y: y}, vec.P2{X: b.X, Y: y}}, {vec.P2{X: b.X, Y: y}, vec.P2{X: a.X, Y: y}}}
	} else {
		x0, x1 = a.X-outer, b.X+outer
		m.tips = [2]segment{{vec.P2{X: a.X, Y: y}, vec.P2{X: x0, Y: y}}, {vec.P2{X: b.X, Y: y}, vec.P2{X: x1, Y: y}}}
	}
	var at float64 // where the figure begins
	switch place {
	case 0:
		if span < w+1 {
			return m, false
		}
		at = a.X + (span-w)/2
	case 1:
		at = b.X + arrowLong + 0.8
		x1 = max(x1, at+w)
	case 2:
		at = a.X - arrowLong - 0.8 - w
		x0 = min(x0, at)
	}
	m.lines = [3]segment{
		{vec.P2{X: x0, Y: y}, vec.P2{X: x1, Y: y}},
		{vec.P2{X: a.X, Y: a.Y - extendFrom}, vec.P2{X: a.X, Y: y - extendPast}},
		{vec.P2{X: b.X, Y: b.Y - extendFrom}, vec.P2{X: b.X, Y: y - extendPast}},
	}
	m.base = vec.P2{X: at, Y: y + overLine}
	if d.upright { // back, and the figure to the left of the line, read from the right
		for i, s := range m.lines {
			m.lines[i] = segment{turn(s.a), turn(s.b)}
		}
		for i, s := range m.tips {
			m.tips[i] = segment{turn(s.a), turn(s.b)}
		}
		m.base = vec.P2{X: y - overLine, Y: at}
	}
	l.at = m.base
	m.text = l.box()
	return m, true
}

// fits says whether a dimension laid out so keeps clear of texts, its figure
// of lines, and, unless it may, its lines of others.
func (p *plan) fits(m laid, crossing bool) bool {
	if !p.room(m.text) {
		return false
	}
	for i, s := range m.lines {
		if !p.passes(s) || i > 0 && s.meets(grown(m.text, clear)) {
			return false
		}
		for _, o := range p.lines {
			if i == 0 && s.along(o) || !crossing && s.cross(o) {
				return false
			}
		}
	}
	return true
}

func (p *plan) draw(m laid, l label) {
	for _, s := range m.lines {
		p.line(narrow, s.a, s.b)
	}
	for _, s := range m.tips {
		p.arrow(s.a, s.b)
	}
	l.at = m.base
	p.text(l)
}
