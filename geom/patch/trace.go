package patch

import (
	"math"
	"slices"

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
	longestStep  = 2.0
	shortestStep = 1e-6
	turnStep     = 0.3 // of the radius
	creaseShare  = 0.8 // of the tolerance, for the chords of creases
)

// step returns the unit tangent of the pair's curve at p along d and how far a
// step may go.
func (b *builder) step(pr pair, p, d vec.P) (t vec.P, h float64) {
	_, na := b.slope(pr.a, p)
	_, nb := b.slope(pr.b, p)
	t = na.Cross(nb)
	sin := t.Len()
	if sin < 1e-5 {
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
	for n := 0; n < 20_000; n++ {
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
			if s < 1e-7 || s > max(1.3*h, 4*probe) || k == from && n == 0 {
				continue
			}
			if lat := w.Sub(t.Mul(s)).Len(); lat > 0.35*s+1e-6 || s > bs {
				continue
			}
			q := b.corners[k].at
			if m, ok := b.meet([]int32{pr.a, pr.b}, p.Lerp(q, 0.5)); !ok || m.Sub(p.Lerp(q, 0.5)).Len() > 0.12*s+1e-7 {
				continue
			}
			best, bs = k, s
		}
		if best >= 0 {
			k := &b.corners[best]
			back := p.Sub(k.at).Unit()
			dot := 0.8
			for i := range k.branches {
				x := &k.branches[i]
				if x.pair == pr && x.dir.Dot(back) > dot && x.truth == truth && !x.used {
					br, dot = x, x.dir.Dot(back)
				}
			}
			switch {
			case br != nil:
				return append(pts, k.at), best, br, nil
			case bs < 4*probe && bs <= 1.3*h:
				return nil, -1, nil, refuse("a crease without an end", k.at)
			}
			h = min(h, bs/2) // it turns before it is there, or passes
		}
		var q vec.P
		for {
			g := b.ahead(pr, p, t, h)
			var ok bool
			q, ok = b.meet([]int32{pr.a, pr.b}, g)
			if ok && q.Sub(g).Len() < 0.25*h {
				u, _ := b.step(pr, q, t)
				if u.Dot(t) > 0.85 && u.Dot(q.Sub(p)) > 0.9*q.Sub(p).Len() {
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
			if s > 0 && s <= 1.1*q.Sub(p).Len() && w.Sub(t.Mul(s)).Len() < 0.35*s+1e-6 {
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
			if far < 0.07*l+1e-6 {
				return true
			}
			if far < 0.25*l { // beside a chord of a sharp turn, or of another crease
				if m, ok := b.meet([]int32{pr.a, pr.b}, on); ok && q.Sub(m).Len() < 0.07*l+1e-6 {
					return true
				}
			}
		}
	}
	return false
}

// resample lays points along a crease so that its chords keep the tolerance.
func (b *builder) resample(pr pair, pts []vec.P, loop bool) []vec.P {
	n := len(pts) - 1
	sum := make([]float64, n+1)
	turn := 0.0
	tan := make([]vec.P, n+1)
	for i := range tan {
		d := pts[min(i+1, n)].Sub(pts[max(i-1, 0)])
		tan[i] = d
		if t, h := b.step(pr, pts[i], d); h > 0 {
			tan[i] = t
		}
		tan[i] = tan[i].Unit()
	}
	for i := range n {
		l := pts[i+1].Sub(pts[i])
		w := 2 * math.Asin(min(1, tan[i].Sub(tan[i+1]).Len()/2))
		if e := 2 * math.Asin(min(1, tan[i].Sub(l.Unit()).Len()/2)); 2*e > w {
			w = 2 * e
		}
		turn += w
		sum[i+1] = sum[i] + math.Sqrt(l.Len()*w/(8*b.tol*creaseShare)) + 1e-7*l.Len()
	}
	k := int(math.Ceil(max(sum[n]-1e-3, turn/1.2, 1)))
	if loop {
		k = max(k, 6)
	}
	out := []vec.P{pts[0]}
	j := 0
	for i := 1; i <= k; i++ {
		next := pts[n]
		if i < k {
			w := sum[n] * float64(i) / float64(k)
			for sum[j+1] < w {
				j++
			}
			next, _ = b.meet([]int32{pr.a, pr.b}, pts[j].Lerp(pts[j+1], (w-sum[j])/(sum[j+1]-sum[j])))
		}
		out = b.chord(out, pr, out[len(out)-1], next, 0)
	}
	return out
}

// point adds a point.
func (b *builder) point(p vec.P) int32 {
	b.pts = append(b.pts, p)
	return int32(len(b.pts) - 1)
}

// mostHalvings ends the halving of a chord.
const mostHalvings = 20

// chord appends the way from one point to the next, with points between where it
// is off: in the middle, or at the quarter that is farther off, as where an arc
// follows a straight line.
func (b *builder) chord(to []vec.P, pr pair, from, next vec.P, depth int) []vec.P {
	off := func(t float64) (vec.P, float64, bool) {
		m := from.Lerp(next, t)
		q, ok := b.meet([]int32{pr.a, pr.b}, m)
		return q, q.Sub(m).Len(), ok
	}
	q, far, ok := off(0.5)
	limit := fillShare * b.tol
	if far <= limit && max(b.sag(pr.a, from, next), b.sag(pr.b, from, next)) <= limit &&
		(far <= limit/2 || max(b.from(pr, from.Lerp(next, 0.25)), b.from(pr, from.Lerp(next, 0.75))) <= limit) ||
		!ok || depth == mostHalvings || far > 0.25*from.Sub(next).Len() {
		return append(to, next)
	}
	for _, t := range [2]float64{0.25, 0.75} {
		if p, d, ok := off(t); ok && d > 1.2*far {
			q, far = p, d
		}
	}
	to = b.chord(to, pr, from, q, depth+1)
	return b.chord(to, pr, q, next, depth+1)
}

// from returns how far a point beside the curve of a pair is from it, to the first
// order.
func (b *builder) from(pr pair, p vec.P) float64 {
	f, m := b.slope(pr.a, p)
	g, n := b.slope(pr.b, p)
	c := m.Dot(n)
	k, l := m.Len2(), n.Len2()
	det := k*l - c*c
	if det <= 0 {
		return 0
	}
	return m.Mul((f*l - g*c) / det).Add(n.Mul((g*k - f*c) / det)).Len()
}

// part gives the more bent of two creases a point between two points that both
// have next to each other: their chords would be one.
func (b *builder) part() {
	seen := map[[2]int32]int{}
	for i := range b.arcs {
		pts := b.arcs[i].pts
		for k := 1; k < len(pts); k++ {
			key := [2]int32{min(pts[k-1], pts[k]), max(pts[k-1], pts[k])}
			j, twice := seen[key]
			if !twice {
				seen[key] = i
				continue
			}
			if b.bulge(j, key).far > b.bulge(i, key).far {
				b.bow(j, key)
				seen[key] = i
			} else {
				b.bow(i, key)
				pts = b.arcs[i].pts
			}
		}
	}
}

// bulge is the point of a crease over the middle of a chord.
type bulge struct {
	at  vec.P
	far float64 // from the middle
}

func (b *builder) bulge(arc int, chord [2]int32) bulge {
	m := b.pts[chord[0]].Lerp(b.pts[chord[1]], 0.5)
	q, _ := b.meet([]int32{b.arcs[arc].a, b.arcs[arc].b}, m)
	return bulge{q, q.Sub(m).Len()}
}

// bow halves a chord of an arc.
func (b *builder) bow(arc int, chord [2]int32) {
	a := &b.arcs[arc]
	for k := 1; k < len(a.pts); k++ {
		if p, q := a.pts[k-1], a.pts[k]; min(p, q) == chord[0] && max(p, q) == chord[1] {
			a.pts = slices.Insert(a.pts, k, b.point(b.bulge(arc, chord).at))
			return
		}
	}
}
