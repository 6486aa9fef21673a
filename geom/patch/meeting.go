package patch

import (
	"cmp"
	"math"
	"slices"

	"waxwright/geom/vec"
)

// meeting is several surfaces that pass through one place, or nearly.
type meeting struct {
	ids   [4]int32 // in order; the last -1 where there are fewer
	n     int
	at    vec.P
	parts [4]float64 // of each surface's value there: their sum vanishes where all meet
	off   float64    // that sum; parts are such that it is the length by which one is off
	apart float64    // of two that touch and are to be parted: what the sum is to be
}

// leastMeeting is the least that normals of several surfaces tell of how they meet:
// the products of their sines. With less, what shifts them is roundings.
const leastMeeting = 1e-6

// meetingOf returns how surfaces, two to four, meet near p; ok is false where
// their normals do not say, and where one is farther off than slack.
func (b *builder) meetingOf(p vec.P, slack float64, ids ...int32) (m meeting, ok bool) {
	m = meeting{ids: [4]int32{-1, -1, -1, -1}, n: len(ids), at: p}
	copy(m.ids[:], ids)
	slices.Sort(m.ids[:m.n])
	var f [4]float64
	var n [4]vec.P
	for k, id := range m.ids[:m.n] {
		f[k], n[k] = b.slope(id, p)
	}
	switch m.n { // the combination of the normals that vanishes
	case 2:
		m.parts = [4]float64{1, -math.Copysign(1, n[0].Dot(n[1]))}
	case 3:
		t := n[0].Cross(n[1]).Add(n[1].Cross(n[2])).Add(n[2].Cross(n[0]))
		for k := range 3 {
			m.parts[k] = n[(k+1)%3].Cross(n[(k+2)%3]).Dot(t)
		}
	default:
		det := func(x, y, z int) float64 { return n[x].Dot(n[y].Cross(n[z])) }
		m.parts = [4]float64{det(1, 2, 3), -det(0, 2, 3), det(0, 1, 3), -det(0, 1, 2)}
	}
	most := 0.0
	for _, v := range m.parts {
		most = max(most, math.Abs(v))
	}
	ok = most > leastMeeting
	for k := range m.n {
		m.parts[k] /= most
		m.off += m.parts[k] * f[k]
		ok = ok && math.Abs(f[k]) <= slack
	}
	return m, ok
}

// meetings lists where surfaces pass others' meetings within slack, each set of
// surfaces once. Surfaces between which matter touches itself are to be parted by
// as much from each.
func (b *builder) meetings(slack, back float64) []meeting {
	lists := make([][]meeting, len(b.cells))
	// it never fails but when the work is no longer wanted: then what is found does
	// not matter
	_ = b.each(len(b.cells), func(_, i int) error {
		lists[i] = b.meetingsIn(&b.cells[i], slack, back)
		return nil
	})
	all := slices.Concat(lists...)
	slices.SortStableFunc(all, func(x, y meeting) int {
		return cmp.Or(slices.Compare(x.ids[:], y.ids[:]), -cmp.Compare(math.Abs(x.apart), math.Abs(y.apart)))
	})
	all = slices.CompactFunc(all, func(x, y meeting) bool { return x.ids == y.ids })
	slices.SortStableFunc(all, func(x, y meeting) int { return cmp.Compare(x.n, y.n) })
	return all
}

// meetingsIn lists the meetings in a cell.
func (b *builder) meetingsIn(c *cell, slack, back float64) (list []meeting) {
	var ids []int32
	for _, id := range c.ids {
		if b.face(id) {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	add := func(at vec.P, off float64, of ...int32) {
		if math.Abs(off) > slack || !b.matters(c, at, slack, of) {
			return
		}
		m, ok := b.meetingOf(at, slack, of...)
		if !ok {
			return
		}
		if m.n == 2 {
			if change, ok := b.parting(c, &m, slack); ok {
				m.apart = change * back
			}
		}
		list = append(list, m)
	}
	for i, x := range ids {
		for j, y := range ids[:i] {
			if q, ok := b.approach(x, y, c); ok {
				add(q, b.value(y, q), y, x)
				continue
			}
			for k, z := range ids[:j] {
				if q, ok := b.meet([]int32{x, y, z}, c.at); ok && c.holds(q, 1.2) {
					for _, w := range ids[:k] {
						add(q, b.value(w, q), w, z, y, x)
					}
				}
			}
			q, ok := b.meet([]int32{x, y}, c.at)
			if !ok || !c.holds(q, 1.5) {
				continue
			}
			_, nx := b.slope(x, q)
			_, ny := b.slope(y, q)
			t := nx.Cross(ny)
			if t.Len() < leastSine {
				continue
			}
			t = t.Unit()
			for _, z := range ids {
				if z == x || z == y {
					continue
				}
				if v, nz := b.slope(z, q); math.Abs(nz.Dot(t)) < alongside {
					add(q, v, z, y, x)
				}
			}
		}
	}
	return list
}

// slackNear is how near to a place surfaces pass that may come to pass through it, or
// no longer, in lengths by which each may be moved.
const slackNear = 4

// matters reports whether the matter near p depends on all of the surfaces.
func (b *builder) matters(c *cell, p vec.P, slack float64, of []int32) bool {
	if c.local == nil {
		return true
	}
	var free [len(sixty)]int32
	n := 0
	signs := make([]uint64, len(c.ids))
	for i, id := range c.ids {
		v := b.value(id, p)
		switch {
		case math.Abs(v) <= slackNear*slack || slices.Contains(of, id):
			if n == len(free) {
				return true // too many to tell
			}
			free[n] = id
			signs[i] = sixty[n]
			n++
		case v < 0:
			signs[i] = math.MaxUint64
		}
	}
	all := c.truth(signs)
	for k, id := range free[:n] {
		if slices.Contains(of, id) && (all^all>>(1<<k))&^sixty[k] == 0 {
			return false
		}
	}
	return true
}

// Masks of six variables over sixty-four cases.
var sixty = [6]uint64{0xAAAAAAAAAAAAAAAA, 0xCCCCCCCCCCCCCCCC, 0xF0F0F0F0F0F0F0F0, 0xFF00FF00FF00FF00, 0xFFFF0000FFFF0000, 0xFFFFFFFF00000000}

// alongside is the slope below which a surface runs along a curve.
const alongside = 1e-5

// approach returns a point of x in the cell where y runs along x, if they are bent
// differently: there they touch, or nearly.
func (b *builder) approach(x, y int32, c *cell) (vec.P, bool) {
	along := func(q vec.P) (p, t vec.P) {
		p, _ = b.meet([]int32{x}, q)
		_, nx := b.slope(x, p)
		_, ny := b.slope(y, p)
		return p, ny.Sub(nx.Mul(nx.Dot(ny)))
	}
	q, t := along(c.at)
	if !c.holds(q, 4) || math.Abs(b.value(y, q)) > 4*c.half {
		return q, false
	}
	for range 20 {
		const h = slopeStep
		_, n := b.slope(x, q)
		e1 := n.Square()
		e2 := n.Cross(e1)
		_, t1 := along(q.Add(e1.Mul(h)))
		_, t2 := along(q.Add(e2.Mul(h)))
		// the step of least squares, damped for surfaces that touch along a line
		t1, t2 = t1.Sub(t).Mul(1/h), t2.Sub(t).Mul(1/h)
		a, m, d := t1.Len2(), t1.Dot(t2), t2.Len2()
		if a+d < leastTwist {
			return q, false
		}
		damp := alongDamp * (a + d)
		a, d = a+damp, d+damp
		u, v := t1.Dot(t), t2.Dot(t)
		det := a*d - m*m
		s, r := (u*d-v*m)/det, (v*a-u*m)/det
		q, t = along(q.Sub(e1.Mul(s)).Sub(e2.Mul(r)))
		if !c.holds(q, 4) {
			return q, false
		}
		if math.Abs(s)+math.Abs(r) < stepsDone {
			break
		}
	}
	return q, t.Len() < runsAlong && c.holds(q, 1.2)
}

const (
	// slopeStep in mm is how far aside slopes are asked of which the change is wanted:
	// roundings of 1e-16 in them show as 1e-12 1/mm, bends of the bends as 1e-4.
	slopeStep = 1e-4
	// stepsDone in mm ends steps to where two surfaces touch.
	stepsDone = 1e-11
	// runsAlong is the sine of the angle between two surfaces there, at most.
	runsAlong = 1e-7
	// alongDamp damps the steps along a line of touches, as a share of those across.
	alongDamp = 1e-7
)

// leastTwist in 1/mm2 is how differently two surfaces are bent at least that are
// taken to touch in a place rather than all over.
const leastTwist = 1e-6
