package wall

import (
	"container/heap"
	"context"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Overlap returns the diameter of the largest ball that lies in both fields,
// and its centre: how strongly two parts that run into each other are joined. It
// is 0 for parts that touch or are apart, and then at is where they come
// nearest, or so.
//
// It is at least the true one less tol, both in mm, or at least enough: a ball
// of that diameter ends the search. It is never more, for fields are bounds: it
// is less where a field says less than the distance from its inside. The error is
// the context's.
//
// Branch and bound over cells of the boxes' intersection, the most promising
// first: no ball about a point of a cell is larger than that about its middle by
// more than half the cell's diagonal, for a field's slope is at most 1.
func Overlap(ctx context.Context, a, b sdf.Field, enough, tol float64) (diameter float64, at vec.P, err error) {
	box := a.Bounds().Intersect(b.Bounds())
	if box.IsEmpty() {
		return 0, a.Bounds().Center().Lerp(b.Bounds().Center(), 0.5), nil
	}
	deep := func(p vec.P) float64 { return -max(a.Dist(p), b.Dist(p)) }
	const often = 1000 // cells between looks at the context
	q := cells{newBranch(box, deep)}
	best := q[0]
	for n := 0; len(q) > 0; n++ {
		if n%often == 0 && ctx.Err() != nil {
			return 0, at, ctx.Err()
		}
		c := heap.Pop(&q).(branch)
		if 2*best.deep >= enough || c.most <= max(best.deep, 0)+tol/2 {
			break
		}
		for _, h := range c.box.halves() {
			h := newBranch(h, deep)
			if h.deep > best.deep {
				best = h
			}
			if h.most > max(best.deep, 0)+tol/2 {
				heap.Push(&q, h)
			}
		}
	}
	return max(2*best.deep, 0), best.box.Center(), nil
}

// branch is a cell of the search.
type branch struct {
	box  span
	deep float64 // how far its middle lies within
	most float64 // how far a point of it may lie
}

// span is a box that is halved.
type span struct{ vec.Box }

func newBranch(b vec.Box, deep func(vec.P) float64) branch {
	d := deep(b.Center())
	return branch{span{b}, d, d + b.Size().Len()/2}
}

// halves cuts the box across its longest side.
func (s span) halves() [2]vec.Box {
	a, b := s.Box, s.Box
	m, d := s.Center(), s.Size()
	switch {
	case d.X >= d.Y && d.X >= d.Z:
		a.Max.X, b.Min.X = m.X, m.X
	case d.Y >= d.Z:
		a.Max.Y, b.Min.Y = m.Y, m.Y
	default:
		a.Max.Z, b.Min.Z = m.Z, m.Z
	}
	return [2]vec.Box{a, b}
}

// cells is a heap of branches, the most promising first.
type cells []branch

func (q cells) Len() int           { return len(q) }
func (q cells) Less(i, j int) bool { return q[i].most > q[j].most }
func (q cells) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *cells) Push(x any)        { *q = append(*q, x.(branch)) }
func (q *cells) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}

var _ heap.Interface = (*cells)(nil)
