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
	creaseShare  = 0.7 // of the tolerance, for the chords of creases
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
		r = min(r, b.bend(id, p, 0))
		switch b.surf[id].Form {
		case sdf.FormWall, sdf.FormTurned, sdf.FormRim: // which bend here and there
			r = min(r, b.bend(id, p, longestStep))
		}
	}
	return t, min(longestStep, turnStep*r*sin)
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
			if br == nil {
				return nil, -1, nil, refuse("a crease without an end", k.at)
			}
			return append(pts, k.at), best, br, nil
		}
		var q vec.P
		for {
			g := p.Add(t.Mul(h))
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

// traceAll follows every crease from its corners, then those that are closed.
func (b *builder) traceAll() error {
	b.ends = map[pair][]int32{}
	for i := range b.corners {
		for _, br := range b.corners[i].branches {
			l := b.ends[br.pair]
			if len(l) == 0 || l[len(l)-1] != int32(i) {
				b.ends[br.pair] = append(l, int32(i))
			}
		}
		b.pts = append(b.pts, b.corners[i].at)
	}
	dense := map[pair][][]vec.P{}
	for i := range b.corners {
		if err := b.ctx.Err(); err != nil {
			return err
		}
		for j := range b.corners[i].branches {
			br := &b.corners[i].branches[j]
			if br.used {
				continue
			}
			br.used = true
			pts, end, other, err := b.trace(br.pair, br.truth, b.corners[i].at, br.dir, int32(i))
			if err != nil {
				return err
			}
			other.used = true
			dense[br.pair] = append(dense[br.pair], pts)
			b.resample(arc{pair: br.pair, truth: br.truth}, pts, int32(i), end)
		}
	}
	for ci := range b.cells {
		c := &b.cells[ci]
		if len(c.ids) < 2 {
			continue
		}
		for i, x := range c.ids {
			for _, y := range c.ids[:i] {
				if b.foreign(x, y) {
					continue
				}
				pr := pair{min(x, y), max(x, y)}
				q, ok := b.meet([]int32{pr.a, pr.b}, c.at)
				if !ok || !c.holds(q, 1.001) || covered(dense[pr], q) {
					continue
				}
				if _, h := b.step(pr, q, vec.P{X: 1}); h < shortestStep {
					continue // they touch
				}
				t, err := b.truth(c, pr, q, vec.P{})
				if err != nil || !b.creased(pr, t) {
					continue // or not to be told here: what is missing does not close
				}
				if t.crossed() {
					return refuse("two bodies touch along an edge", q)
				}
				_, na := b.slope(x, q)
				_, nb := b.slope(y, q)
				pts, end, _, err := b.trace(pr, t, q, na.Cross(nb).Unit(), -1)
				if err != nil {
					return err
				}
				if end >= 0 {
					return refuse("a crease that was not seen from its end", q)
				}
				dense[pr] = append(dense[pr], pts)
				b.resample(arc{pair: pr, truth: t, loop: true}, pts, -1, -1)
			}
		}
	}
	return nil
}

// covered reports whether q lies along one of the traced creases.
func covered(list [][]vec.P, q vec.P) bool {
	for _, pts := range list {
		for i := 1; i < len(pts); i++ {
			a, d := pts[i-1], pts[i].Sub(pts[i-1])
			l := d.Len()
			t := min(max(q.Sub(a).Dot(d)/(l*l), 0), 1)
			if q.Sub(a.Add(d.Mul(t))).Len() < 0.07*l+1e-6 {
				return true
			}
		}
	}
	return false
}

// resample lays points along a crease so that its chords keep the tolerance.
func (b *builder) resample(a arc, pts []vec.P, from, to int32) {
	n := len(pts) - 1
	sum := make([]float64, n+1)
	turn := 0.0
	tan := make([]vec.P, n+1)
	for i := range tan {
		d := pts[min(i+1, n)].Sub(pts[max(i-1, 0)])
		tan[i] = d
		if t, h := b.step(a.pair, pts[i], d); h > 0 {
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
	if a.loop {
		k = max(k, 6)
	}
	at := from
	if a.loop {
		at = b.point(pts[0])
		to = at
	}
	a.pts = append(a.pts, at)
	j := 0
	for i := 1; i <= k; i++ {
		next := to
		if i < k {
			w := sum[n] * float64(i) / float64(k)
			for sum[j+1] < w {
				j++
			}
			q, _ := b.meet([]int32{a.a, a.b}, pts[j].Lerp(pts[j+1], (w-sum[j])/(sum[j+1]-sum[j])))
			next = b.point(q)
		}
		a.pts = b.chord(a.pts, a.pair, a.pts[len(a.pts)-1], next, 0)
	}
	b.arcs = append(b.arcs, a)
}

// point adds a point.
func (b *builder) point(p vec.P) int32 {
	b.pts = append(b.pts, p)
	return int32(len(b.pts) - 1)
}

// chord appends the way from one point to the next, halved where it is off.
func (b *builder) chord(to []int32, pr pair, from, next int32, depth int) []int32 {
	m := b.pts[from].Lerp(b.pts[next], 0.5)
	q, ok := b.meet([]int32{pr.a, pr.b}, m)
	if ok && depth < 6 && q.Sub(m).Len() > 0.95*b.tol && q.Sub(m).Len() < 0.5*b.pts[from].Sub(m).Len() {
		k := b.point(q)
		to = b.chord(to, pr, from, k, depth+1)
		return b.chord(to, pr, k, next, depth+1)
	}
	return append(to, next)
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
