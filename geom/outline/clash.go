package outline

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// errTangled means that the check for crossings gave up.
var errTangled = errors.New("the outline is too tangled to check")

// mostPairs bounds the pairs of segments that are looked at closely: an
// outline of n segments needs some 10 n, and mostSegments is 20,000. They take
// about a second.
const mostPairs = 2_000_000

// crossing returns an error that names a place where two spans cross or come
// within slack of each other.
func (x *index) crossing(slack float64) error {
	return x.pairs(func(i, j int) error { return x.meeting(i, j, slack) })
}

// pairs calls f with each pair i < j of spans whose boxes come within touch of
// each other, until f returns an error. It fails with errTangled when the
// pairs are too many.
func (x *index) pairs(f func(i, j int) error) error {
	boxes := make([]vec.Box2, len(x.spans))
	for i := range x.spans {
		boxes[i] = x.spans[i].Bounds()
	}
	left := mostPairs
	try := func(i int, j int32) error {
		if int(j) <= i || !nigh(boxes[i], boxes[j]) {
			return nil
		}
		if left--; left < 0 {
			return errTangled
		}
		return f(i, int(j))
	}
	var stack []int32
	for i := range x.spans {
		if len(x.nodes) == 0 {
			for j := range x.spans {
				if err := try(i, int32(j)); err != nil {
					return err
				}
			}
			continue
		}
		stack = append(stack[:0], 0)
		for len(stack) > 0 {
			n := &x.nodes[stack[len(stack)-1]]
			stack = stack[:len(stack)-1]
			if !nigh(n.box, boxes[i]) {
				continue
			}
			if n.left > 0 {
				stack = append(stack, n.right, n.left)
				continue
			}
			for _, j := range x.order[-n.left:n.right] {
				if err := try(i, j); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// nigh reports whether the boxes come within touch of each other.
func nigh(a, b vec.Box2) bool {
	return a.Min.X <= b.Max.X+touch && b.Min.X <= a.Max.X+touch &&
		a.Min.Y <= b.Max.Y+touch && b.Min.Y <= a.Max.Y+touch
}

// clash is a place where two spans cross or touch.
type clash struct {
	what string // "crosses" or "touches"
	a, b place
	at   vec.P2
}

func (c *clash) Error() string {
	return fmt.Sprintf("segment %d of loop %d %s segment %d of loop %d at (%.6g, %.6g)",
		c.a.seg+1, c.a.loop+1, c.what, c.b.seg+1, c.b.loop+1, c.at.X, c.at.Y)
}

// meeting returns a clash if spans i and j meet anywhere but at a joint that
// they share.
func (x *index) meeting(i, j int, slack float64) error {
	s, t := &x.spans[i], &x.spans[j]
	ps, pt := x.place[i], x.place[j]
	if ps.end != pt.start && ps.start != pt.end && apart(s, t) {
		return nil
	}
	for _, h := range hits(s, t, slack) {
		if ps.end == pt.start && sharedAt(s, t, h) || ps.start == pt.end && sharedAt(t, s, hit{h.at, h.tt, h.ts}) {
			continue
		}
		what := "crosses"
		if ns, nt := s.Tangent(h.ts), t.Tangent(h.tt); math.Abs(ns.Cross(nt)) < smoothTurn || h.ts == 0 || h.ts == 1 || h.tt == 0 || h.tt == 1 {
			what = "touches"
		}
		return &clash{what, ps, pt, h.at}
	}
	return nil
}

// sharedAt reports whether the hit is the joint at which s runs into t: the
// joint itself or, at a cusp, a point up to which the two lie together.
func sharedAt(s, t *Span, h hit) bool {
	l := h.at.Sub(s.B).Len()
	if l <= 10*touch {
		return true
	}
	if s.T1.Dot(t.T0) > 0 || math.Abs(s.T1.Cross(t.T0)) > smoothTurn {
		return false
	}
	// the sides of a cusp part by half the sum of their bends times l^2
	return math.Abs(s.K+t.K)*l*l/2 <= 4*touch && t.Near(s.Point((1+h.ts)/2)).Dist <= touch
}
