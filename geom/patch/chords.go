package patch

import (
	"math"
	"slices"

	"waxwright/geom/vec"
)

const (
	// creaseShare is the share of the tolerance for the chords of creases.
	creaseShare = 0.8
	// lengthWeight in chords a mm is what straight pieces count for: next to nothing,
	// but so that each place of them has a number of its own.
	lengthWeight = 1e-7
	// spareChord is how much of a chord is not worth another one.
	spareChord = 1e-3
	// chordTurn in radians is by how much a crease turns along a chord at most: 69
	// degrees.
	chordTurn = 1.2
	// leastLoop is how many chords a closed crease has at least.
	leastLoop = 6
)

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
		sum[i+1] = sum[i] + math.Sqrt(l.Len()*w/(8*b.tol*creaseShare)) + lengthWeight*l.Len()
	}
	k := int(math.Ceil(max(sum[n]-spareChord, turn/chordTurn, 1)))
	if loop {
		k = max(k, leastLoop)
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

const (
	// mostHalvings ends the halving of a chord.
	mostHalvings = 20
	// lostMiddle is how far from the middle of a chord, as a share of its length, its
	// curve is not any more: that is another part of it.
	lostMiddle = 0.25
	// quarterGain is how much farther off than the middle a quarter is at which a chord
	// is divided in its place.
	quarterGain = 1.2
)

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
		!ok || depth == mostHalvings || far > lostMiddle*from.Sub(next).Len() {
		return append(to, next)
	}
	for _, t := range [2]float64{0.25, 0.75} {
		if p, d, ok := off(t); ok && d > quarterGain*far {
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
