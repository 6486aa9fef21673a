package patch

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// arc is a crease between two corners, or a closed one, as points.
type arc struct {
	pair
	truth table
	loop  bool
	pts   []int32 // the first and last of a loop are the same
}

const (
	// longestStep and shortestStep in mm bound the steps along a crease.
	longestStep  = 2.0
	shortestStep = 1e-6
	// mostSteps ends a crease that does not.
	mostSteps = 20_000
	// turnStep is a step as a share of the radius: the angle by which a crease turns in
	// it, nearly.
	turnStep = 0.3
	// leastCross is the sine of the angle below which two surfaces are taken to touch.
	leastCross = 1e-5
)

// What follows goes by what a step that turns by turnStep shows, and twice that at
// most: a step ends half of its turn, 0.15 of its length, beside its tangent.
const (
	// offAhead is how far beside its start's tangent, as a share of the step, a step
	// ends.
	offAhead = 0.25
	// turnAhead is the cosine of the angle by which a step turns: 32 degrees.
	turnAhead = 0.85
	// chordAhead is the cosine of the angle between a step's chord and its end's
	// tangent.
	chordAhead = 0.9
	// farAhead is how many steps ahead a corner is looked for, seeAhead as far in mm at
	// least; besideAhead is how far beside the tangent it lies, as a share of the way
	// there, besides merge.
	farAhead    = 1.3
	seeAhead    = 4 * probe
	besideAhead = 0.35
	// bowAhead is how far from the chord to a corner, as a share of its length, the
	// crease is in its middle: an eighth of its turn on a circle. atAhead in mm comes
	// on top, and is how far ahead a corner lies at least.
	bowAhead = 0.12
	atAhead  = 1e-7
	// endAhead is the cosine of the angle between that chord and the direction in which
	// the crease leaves the corner: 37 degrees.
	endAhead = 0.8
	// onChord is how far from a step's chord, as a share of its length, its crease is
	// at most, besides merge, and nearChord how far what may be that is looked at.
	onChord   = 0.07
	nearChord = 0.25
)

// step returns the unit tangent of the pair's curve at p along d and how far a
// step may go.
func (b *builder) step(pr pair, p, d vec.P) (t vec.P, h float64) {
	_, na := b.slope(pr.a, p)
	_, nb := b.slope(pr.b, p)
	t = na.Cross(nb)
	sin := t.Len()
	if sin < leastCross {
		return d, 0
	}
	t = t.Mul(1 / sin)
	if t.Dot(d) < 0 {
		t = t.Neg()
	}
	r := math.Inf(1)
	for _, id := range [2]int32{pr.a, pr.b} {
		switch b.surf[id].Form {
		case sdf.FormTurned:
			r = min(r, b.bendRound(id, p), b.bend(id, p, longestStep))
		case sdf.FormWall, sdf.FormRim: // which bend here and there
			r = min(r, b.bend(id, p, 0), b.bend(id, p, longestStep))
		default:
			r = min(r, b.bend(id, p, 0))
		}
	}
	return t, min(longestStep, turnStep*r*sin)
}

// bendRound returns the radius of curvature of a turned surface about its axis, +Inf
// where it lies square to that, as at a pole.
func (b *builder) bendRound(id int32, p vec.P) float64 {
	s := &b.surf[id]
	_, n := b.slope(id, p)
	if out := n.Cross(s.U).Len(); out > sameTilt {
		return p.Sub(s.O).Cross(s.U).Len() / out
	}
	return math.Inf(1)
}

// trace follows a crease from p along d to a corner, or back to p where from
// is -1. It returns the points and the corner's branch.
func (b *builder) trace(pr pair, truth table, p, d vec.P, from int32) (pts []vec.P, end int32, br *branch, err error) {
	pts = append(pts, p)
	start := p
	t := d
	for n := 0; n < mostSteps; n++ {
		tt, h := b.step(pr, p, t)
		if n == 0 {
			tt = d
			h = max(h, probe)
		}
		if h < shortestStep {
			return nil, -1, nil, refuse("a crease can't be followed", p)
		}
		t = tt
		// a corner ahead?
		best, bs := int32(-1), math.Inf(1)
		for _, k := range b.ends[pr] {
			w := b.corners[k].at.Sub(p)
			s := w.Dot(t)
			if s < atAhead || s > max(farAhead*h, seeAhead) || k == from && n == 0 {
				continue
			}
			if lat := w.Sub(t.Mul(s)).Len(); lat > besideAhead*s+merge || s > bs {
				continue
			}
			q := b.corners[k].at
			if m, ok := b.meet([]int32{pr.a, pr.b}, p.Lerp(q, 0.5)); !ok || m.Sub(p.Lerp(q, 0.5)).Len() > bowAhead*s+atAhead {
				continue
			}
			best, bs = k, s
		}
		if best >= 0 {
			k := &b.corners[best]
			back := p.Sub(k.at).Unit()
			dot := endAhead
			for i := range k.branches {
				x := &k.branches[i]
				if x.pair == pr && x.dir.Dot(back) > dot && x.truth == truth && !x.used {
					br, dot = x, x.dir.Dot(back)
				}
			}
			switch {
			case br != nil:
				return append(pts, k.at), best, br, nil
			case bs < seeAhead && bs <= farAhead*h:
				return nil, -1, nil, refuse("a crease without an end", k.at)
			}
			h = min(h, bs/2) // it turns before it is there, or passes
		}
		var q vec.P
		for {
			g := b.ahead(pr, p, t, h)
			var ok bool
			q, ok = b.meet([]int32{pr.a, pr.b}, g)
			if ok && q.Sub(g).Len() < offAhead*h {
				u, _ := b.step(pr, q, t)
				if u.Dot(t) > turnAhead && u.Dot(q.Sub(p)) > chordAhead*q.Sub(p).Len() {
					break
				}
			}
			if h /= 2; h < shortestStep {
				return nil, -1, nil, refuse("a crease turns too sharply", p)
			}
		}
		if from < 0 && n > 1 { // round?
			w := start.Sub(p)
			s := w.Dot(t)
			if s > 0 && s <= 1.1*q.Sub(p).Len() && w.Sub(t.Mul(s)).Len() < besideAhead*s+merge {
				return append(pts, start), -1, nil, nil
			}
		}
		p = q
		pts = append(pts, p)
	}
	return nil, -1, nil, refuse("a crease without end", start)
}

// curve is the pair of two surfaces on its way to arcs: what one goroutine works
// on.
type curve struct {
	pair
	starts []start
	cells  []int32 // which both surfaces pass
	dense  [][]vec.P
	laid   []laid
}

// start is a branch of a corner.
type start struct{ corner, branch int32 }

// laid is a crease with its points laid out. Its ends are corners, -1 of a loop.
type laid struct {
	truth    table
	from, to int32
	pts      []vec.P // the ends among them
}

// traceAll follows every crease from its corners, then those that are closed.
func (b *builder) traceAll() error {
	known := map[pair]*curve{}
	var curves []*curve
	of := func(pr pair) *curve {
		c := known[pr]
		if c == nil {
			c = &curve{pair: pr}
			known[pr] = c
			curves = append(curves, c)
		}
		return c
	}
	b.ends = map[pair][]int32{}
	for i := range b.corners {
		for j, br := range b.corners[i].branches {
			l := b.ends[br.pair]
			if len(l) == 0 || l[len(l)-1] != int32(i) {
				b.ends[br.pair] = append(l, int32(i))
			}
			c := of(br.pair)
			c.starts = append(c.starts, start{int32(i), int32(j)})
		}
		b.pts = append(b.pts, b.corners[i].at)
	}
	for i := range b.cells {
		ids := b.cells[i].ids
		for j, x := range ids {
			for _, y := range ids[:j] {
				if !b.foreign(x, y) {
					c := of(pair{min(x, y), max(x, y)})
					c.cells = append(c.cells, int32(i))
				}
			}
		}
	}
	if err := b.each(len(curves), func(_, i int) error { return b.follow(curves[i]) }); err != nil {
		return err
	}
	for _, c := range curves {
		for _, l := range c.laid {
			b.arcs = append(b.arcs, b.arc(c.pair, l))
		}
	}
	return nil
}

// follow traces all creases of a pair.
func (b *builder) follow(c *curve) error {
	for _, s := range c.starts {
		if err := b.ctx.Err(); err != nil {
			return err
		}
		br := &b.corners[s.corner].branches[s.branch]
		if br.used {
			continue
		}
		br.used = true
		pts, end, other, err := b.trace(c.pair, br.truth, b.corners[s.corner].at, br.dir, s.corner)
		if err != nil {
			return err
		}
		other.used = true
		c.dense = append(c.dense, pts)
		c.laid = append(c.laid, laid{br.truth, s.corner, end, b.resample(c.pair, pts, false)})
	}
	for _, i := range c.cells {
		cell := &b.cells[i]
		q, ok := b.meet([]int32{c.a, c.b}, cell.at)
		if !ok || !cell.holds(q, 1.001) || b.covered(c.pair, c.dense, q) {
			continue
		}
		if _, h := b.step(c.pair, q, vec.P{X: 1}); h < shortestStep {
			continue // they touch
		}
		t, err := b.truth(cell, c.pair, q, vec.P{})
		if err != nil || !b.creased(c.pair, t) {
			continue // or not to be told here: what is missing does not close
		}
		if t.crossed() {
			return refuse("two bodies touch along an edge", q)
		}
		_, na := b.slope(c.a, q)
		_, nb := b.slope(c.b, q)
		pts, end, _, err := b.trace(c.pair, t, q, na.Cross(nb).Unit(), -1)
		if err != nil {
			return err
		}
		if end >= 0 {
			return refuse("a crease that was not seen from its end", q)
		}
		c.dense = append(c.dense, pts)
		c.laid = append(c.laid, laid{t, -1, -1, b.resample(c.pair, pts, true)})
	}
	return nil
}

// arc numbers the points of a crease.
func (b *builder) arc(pr pair, l laid) arc {
	a := arc{pair: pr, truth: l.truth, loop: l.from < 0}
	n := len(l.pts) - 1
	from, to := l.from, l.to
	if a.loop {
		from = b.point(l.pts[0])
		to = from
	}
	a.pts = append(a.pts, from)
	for _, p := range l.pts[1:n] {
		a.pts = append(a.pts, b.point(p))
	}
	a.pts = append(a.pts, to)
	return a
}

// covered reports whether q, on the pair's curve, lies along one of the creases
// traced on it.
func (b *builder) covered(pr pair, list [][]vec.P, q vec.P) bool {
	for _, pts := range list {
		for i := 1; i < len(pts); i++ {
			a, d := pts[i-1], pts[i].Sub(pts[i-1])
			l := d.Len()
			on := a.Add(d.Mul(min(max(q.Sub(a).Dot(d)/(l*l), 0), 1)))
			far := q.Sub(on).Len()
			if far < onChord*l+merge {
				return true
			}
			if far < nearChord*l { // beside a chord of a sharp turn, or of another crease
				if m, ok := b.meet([]int32{pr.a, pr.b}, on); ok && q.Sub(m).Len() < onChord*l+merge {
					return true
				}
			}
		}
	}
	return false
}
