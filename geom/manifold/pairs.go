package manifold

import (
	"fmt"
	"math"
	"math/bits"
	"sync/atomic"

	"waxwright/geom/mesh"
	"waxwright/geom/mesh/exact"
	"waxwright/geom/vec"
)

// Of sound meshes some ten pairs of boxes meet for each triangle; of a fan of n
// long triangles all n*n/2 do. Beyond this many pairs a mesh is given up as
// unfit, so that a hostile one ends within seconds.
const (
	maxPairs            = 20_000_000
	maxPairsPerTriangle = 400
)

// pairs reports crossings, overlaps and contacts.
func (j *judge) pairs(tree *mesh.Tree) {
	tasks := tree.PairTasks()
	j.mu.Lock()
	j.total = stages + len(tasks)
	j.mu.Unlock()
	bags := make([]bag, len(tasks))
	limit := int64(maxPairs) + int64(maxPairsPerTriangle*len(j.m.T))
	var met atomic.Int64
	j.each(len(tasks), func(i int) {
		b := &bags[i]
		b.keep = j.o.Keep
		n := int64(0)
		tree.Pairs(tasks[i], func(t, u uint32) bool {
			j.pair(min(t, u), max(t, u), b)
			if n++; n%4096 != 0 {
				return true
			}
			return met.Add(4096) <= limit && j.ctx.Err() == nil
		})
		met.Add(n % 4096)
		j.step()
	})
	if met.Load() > limit {
		j.r.Unfit = fmt.Errorf("mesh is too tangled to judge: more than %d pairs of triangles come close", limit)
		return
	}
	for i := range bags {
		j.take(&bags[i])
	}
}

// pair judges two triangles, t < u, whose boxes meet.
func (j *judge) pair(t, u uint32, b *bag) {
	m := j.m
	p, q := &m.T[t], &m.T[u]
	shared := sharing(p, q)
	if shared&(shared-1) != 0 {
		return // neighbours: a matter of folds and duplicates
	}
	at := bits.TrailingZeros32(shared | 1<<9)
	kp, kq := at/3%3, at%3
	if shared != 0 && j.clear[p[kp]] {
		return // the star of the vertex says that they are apart
	}
	f, g := &j.face[t], &j.face[u]
	if f.flat || g.flat {
		return // reported as degenerate
	}
	// turned so that a shared corner comes first
	x := triangle{m.V[p[kp]], m.V[p[(kp+1)%3]], m.V[p[(kp+2)%3]]}
	y := triangle{m.V[q[kq]], m.V[q[(kq+1)%3]], m.V[q[(kq+2)%3]]}
	var c contact
	if shared != 0 {
		if wedgesApart(&x, &y, f.axis) {
			return
		}
		c = relateAt(&x, &y)
	} else {
		if seenApart(&x, &y, f.axis) {
			return
		}
		c = relate(&x, &y)
	}
	if c.relation == standing {
		c.relation = touching
		on, stands, from := &x, u, kq
		if !c.second {
			on, stands, from = &y, t, kp
		}
		if j.passes(on, stands, (c.corner+from)%3) {
			c.relation = crossing
		}
	}
	switch c.relation {
	case crossing:
		b.add(Crossing, place(&x, &y), 0, t, u)
	case touching:
		b.add(Touch, place(&x, &y), 0, t, u)
	case covering:
		b.add(Overlap, middle(m, t).Lerp(middle(m, u), 0.5), 0, t, u)
	}
}

// sharing returns a set of bits: bit 3*i+k says that corner i of p is corner k
// of q. It has no branches, because none could be foretold.
func sharing(p, q *[3]uint32) uint32 {
	a, b, c := q[0], q[1], q[2]
	set := uint32(0)
	for i := range p {
		v := p[i]
		set |= (same(v, a) | same(v, b)<<1 | same(v, c)<<2) << (3 * i)
	}
	return set
}

// same returns 1 if a = b, else 0.
func same(a, b uint32) uint32 { return uint32((uint64(a^b) - 1) >> 63) }

// passes reports whether the surface passes through triangle on where triangle
// t stands on it, with all but the given corner in its plane: whether t's
// neighbour beyond that edge lies on the other side.
func (j *judge) passes(on *triangle, t uint32, corner int) bool {
	mate := j.mate[3*t+uint32(corner+1)%3]
	if mate == none {
		return false
	}
	_, _, apex := j.ends(mate)
	side := exact.Side(on[0], on[1], on[2], j.m.V[j.m.T[t][corner]])
	return exact.Side(on[0], on[1], on[2], j.m.V[apex]) == -side
}

// The two tests below say quickly of most pairs that they are apart, without
// an exact predicate: seen along the axis in which the first triangle is
// broadest, a line parts them. They never call a pair apart that is not.

// certain is the bound of exact.Side2's plain determinant, doubled so that the
// rounding of the bound itself does not matter.
const certain = 8.0 / (1 << 53)

// leftOf reports, if it is certain, on which side of the direction d the
// vector p lies: 1 left, -1 right, 0 not certain. Both are differences of
// coordinates, each wrong by at most one rounding.
func leftOf(d, p vec.P2) int {
	l, r := d.X*p.Y, d.Y*p.X
	det := l - r
	bound := certain * (math.Abs(l) + math.Abs(r))
	if det > bound {
		return 1
	}
	if det < -bound {
		return -1
	}
	return 0
}

// wedgesApart is the quick test for triangles that share their first corner.
// The second triangle's wedge is apart from the first's if a line through the
// corner has one strictly on each side, or carries an edge of one.
func wedgesApart(x, y *triangle, axis uint8) bool {
	o := drop(x[0], axis)
	a1, a2 := drop(x[1], axis).Sub(o), drop(x[2], axis).Sub(o)
	turn := leftOf(a1, a2)
	if turn == 0 {
		return false
	}
	b1, b2 := drop(y[1], axis).Sub(o), drop(y[2], axis).Sub(o)
	// edges of the first: its inside is on one side, both of the others'
	// directions must be on the other
	s1, s2 := leftOf(a1, b1), leftOf(a1, b2)
	if s1 == -turn && s2 == -turn {
		return true
	}
	t1, t2 := leftOf(a2, b1), leftOf(a2, b2)
	if t1 == turn && t2 == turn {
		return true
	}
	// edges of the second
	if back := leftOf(b1, b2); back != 0 {
		if s1 == back && t1 == back { // a1 and a2 right of b1 where b2 is left
			return true
		}
		if s2 == -back && t2 == -back {
			return true
		}
	}
	// between the wedges: along the far side of the first, which has all of
	// it on one side
	d := a1.Sub(a2)
	side := leftOf(d, a1)
	return side != 0 && side == leftOf(d, a2) && leftOf(d, b1) == -side && leftOf(d, b2) == -side
}

// seenApart is the quick test for triangles that share no corner: an edge of
// one has all of the other on its outer side.
func seenApart(x, y *triangle, axis uint8) bool {
	var p, q [3]vec.P2
	for i := range 3 {
		p[i], q[i] = drop(x[i], axis), drop(y[i], axis)
	}
	return outside(&p, &q) || outside(&q, &p)
}

func outside(p, q *[3]vec.P2) bool {
	turn := leftOf(p[1].Sub(p[0]), p[2].Sub(p[0]))
	if turn == 0 {
		return false
	}
	for i := range 3 {
		o := p[i]
		d := p[(i+1)%3].Sub(o)
		if leftOf(d, q[0].Sub(o)) == -turn && leftOf(d, q[1].Sub(o)) == -turn && leftOf(d, q[2].Sub(o)) == -turn {
			return true
		}
	}
	return false
}
