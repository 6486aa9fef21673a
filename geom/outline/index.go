package outline

import (
	"math"
	"slices"
	"sync"

	"waxwright/geom/vec"
)

// index holds an outline's spans in one row, with the joints between them, and
// a box tree over them when they are many.
type index struct {
	loops  []Loop // what it was made from
	spans  []Span
	place  []place
	joints []joint
	order  []int32 // spans as the tree's leaves hold them
	nodes  []node  // empty when there are few spans

	meridian func() *index // the same without the edges on x = 0; see MeridianDist
}

// place says where a span stands: loop and number in the loop, and the joints
// at its ends.
type place struct{ loop, seg, start, end int32 }

// joint is where two spans meet, and what the sign of points nearest to it
// depends on.
type joint struct {
	at     vec.P2
	corner Corner
	normal vec.P2 // outward, between the two spans' normals; not a unit vector
}

// meet is the joint at which s runs into t.
func meet(s, t Span) joint {
	return joint{t.A, CornerOf(s, t), s.Normal(1).Add(t.Normal(0))}
}

// node is a box with either two children or a leaf's spans.
type node struct {
	box         vec.Box2
	left, right int32 // children, if left > 0; else a leaf of order[-left:right]
}

const (
	treeFrom = 16 // spans; below this a plain walk is as fast
	leafSize = 4  // spans in a leaf
)

func newIndex(loops []Loop) *index {
	x := &index{loops: loops}
	for l, loop := range loops {
		first := int32(len(x.joints))
		spans := loop.Spans()
		n := len(spans)
		for i, s := range spans {
			x.joints = append(x.joints, meet(spans[(i+n-1)%n], s))
			x.place = append(x.place, place{int32(l), int32(i), first + int32(i), first + int32((i+1)%n)})
		}
		x.spans = append(x.spans, spans...)
	}
	if len(x.spans) > treeFrom {
		x.grow()
	}
	x.meridian = sync.OnceValue(x.offAxis)
	return x
}

// of reports whether x was made from these very loops.
func (x *index) of(loops []Loop) bool {
	return len(x.loops) == len(loops) && (len(loops) == 0 || &x.loops[0] == &loops[0])
}

// grow builds the box tree: halves at the median of the box centres, across
// the longer side.
func (x *index) grow() {
	boxes := make([]vec.Box2, len(x.spans))
	x.order = make([]int32, len(x.spans))
	for i := range x.spans {
		x.order[i] = int32(i)
		boxes[i] = x.spans[i].Bounds()
	}
	var build func(lo, hi int) int32
	build = func(lo, hi int) int32 {
		box, middles := vec.Empty2(), vec.Empty2()
		for _, i := range x.order[lo:hi] {
			box = box.Union(boxes[i])
			middles = middles.With(boxes[i].Center())
		}
		at := int32(len(x.nodes))
		x.nodes = append(x.nodes, node{box, -int32(lo), int32(hi)})
		if hi-lo <= leafSize {
			return at
		}
		size := middles.Size()
		slices.SortStableFunc(x.order[lo:hi], func(i, j int32) int {
			a, b := boxes[i].Center(), boxes[j].Center()
			if size.X < size.Y {
				a.X, b.X = a.Y, b.Y
			}
			switch {
			case a.X < b.X:
				return -1
			case a.X > b.X:
				return 1
			}
			return int(i - j)
		})
		mid := (lo + hi) / 2
		left := build(lo, mid)
		right := build(mid, hi)
		x.nodes[at].left, x.nodes[at].right = left, right
		return at
	}
	build(0, len(x.order))
}

// which part of a span is nearest.
type part uint8

const (
	atStart part = iota
	within
	atEnd
)

// found is the nearest place of all spans looked at so far.
type found struct {
	dist float64 // not negative
	d    float64 // signed by the span alone, where part is within
	span int32
	part part
}

// look takes span i if it is nearer to p than what was found.
func (x *index) look(i int32, p vec.P2, f *found) {
	s := &x.spans[i]
	if s.faces(p) {
		d := s.level(p)
		if a := math.Abs(d); a < f.dist {
			*f = found{a, d, i, within}
		}
		return
	}
	a, b := p.Sub(s.A), p.Sub(s.B)
	a2, b2 := a.Dot(a), b.Dot(b)
	part, l2 := atStart, a2
	if b2 < a2 {
		part, l2 = atEnd, b2
	}
	if l := math.Sqrt(l2); l < f.dist {
		*f = found{l, 0, i, part}
	}
}

// nearest finds the nearest span within the distance reach; ok is false when
// there is none.
func (x *index) nearest(p vec.P2, reach float64) (f found, ok bool) {
	f = found{dist: reach, span: -1}
	if len(x.nodes) == 0 {
		for i := range x.spans {
			x.look(int32(i), p, &f)
		}
		return f, f.span >= 0
	}
	// A tree over at most 2^31 spans halves at most 31 times.
	type todo struct {
		node int32
		dist float64
	}
	var stack [64]todo
	stack[0] = todo{0, boxDist(&x.nodes[0].box, p)}
	for top := 1; top > 0; {
		top--
		t := stack[top]
		if t.dist > f.dist {
			continue
		}
		n := &x.nodes[t.node]
		if n.left <= 0 {
			for _, i := range x.order[-n.left:n.right] {
				x.look(i, p, &f)
			}
			continue
		}
		l := todo{n.left, boxDist(&x.nodes[n.left].box, p)}
		r := todo{n.right, boxDist(&x.nodes[n.right].box, p)}
		if l.dist < r.dist {
			l, r = r, l
		}
		stack[top], stack[top+1] = l, r // the nearer on top
		top += 2
	}
	return f, f.span >= 0
}

// boxDist returns the distance from p to b, 0 inside.
func boxDist(b *vec.Box2, p vec.P2) float64 {
	x := max(b.Min.X-p.X, 0, p.X-b.Max.X)
	y := max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y)
	return math.Sqrt(float64(x*x) + float64(y*y))
}

// sign returns the signed distance of what was found for p.
//
// Where a joint is nearest, p lies outside a convex corner and inside a reflex
// one; at a smooth joint the mean normal tells.
func (x *index) sign(p vec.P2, f found) float64 {
	if f.part == within {
		return f.d
	}
	i := x.place[f.span].start
	if f.part == atEnd {
		i = x.place[f.span].end
	}
	switch j := &x.joints[i]; {
	case j.corner == Convex:
		return f.dist
	case j.corner == Reflex:
		return -f.dist
	case p.Sub(j.at).Dot(j.normal) < 0:
		return -f.dist
	}
	return f.dist
}
