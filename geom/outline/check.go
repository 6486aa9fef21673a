package outline

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// farthest is the largest coordinate in mm that an outline may have: there
// roundings reach a tenth of the distance touch.
const farthest = 1e6

// New checks the loops and returns their outline. Each loop's direction is put
// right by how deep it lies in the others: the outermost run counter-clockwise
// round metal, those inside them clockwise round holes, and so on inwards. The
// loops are copied. No loops make the empty outline.
//
// It fails as Check does; an error names segment and loop, counted from 1, and
// the place.
func New(loops ...Loop) (Outline, error) {
	own := make([]Loop, len(loops))
	for i, l := range loops {
		own[i] = append(Loop(nil), l...)
	}
	if err := sound(own); err != nil {
		return Outline{}, err
	}
	o := prepared(own)
	if err := o.ready().crossing(); err != nil {
		return Outline{}, err
	}
	turned := false
	for i, l := range own {
		if want := depth(own, i)%2 == 0; want != (l.Area() > 0) {
			own[i] = l.Reversed()
			turned = true
		}
	}
	if turned {
		o = prepared(own)
	}
	return o, nil
}

// must returns the outline of loops that a constructor made, which are valid
// by construction.
func must(loops ...Loop) Outline {
	o, err := New(loops...)
	if err != nil {
		panic(err)
	}
	return o
}

// Check reports the first fault of an outline: a loop with fewer than two
// segments, a segment without length or with a number that is not finite or
// beyond a kilometre, two segments that cross or touch, a loop that runs the
// wrong way round.
func (o Outline) Check() error {
	if err := sound(o.Loops); err != nil {
		return err
	}
	if err := o.ready().crossing(); err != nil {
		return err
	}
	for i, l := range o.Loops {
		hole := depth(o.Loops, i)%2 == 1
		if hole == (l.Area() > 0) {
			at := l[0].At
			return fmt.Errorf("loop %d at (%g, %g) runs the wrong way: metal lies to the left of every loop", i+1, at.X, at.Y)
		}
	}
	return nil
}

// sound checks each loop's numbers by themselves.
func sound(loops []Loop) error {
	for i, l := range loops {
		if len(l) < 2 {
			return fmt.Errorf("loop %d has %d segments, the least is 2", i+1, len(l))
		}
		for j, s := range l {
			if !(math.Abs(s.At.X) <= farthest && math.Abs(s.At.Y) <= farthest) {
				return fmt.Errorf("segment %d of loop %d starts at (%g, %g), not within %g mm", j+1, i+1, s.At.X, s.At.Y, float64(farthest))
			}
			if math.IsNaN(s.Bulge) || math.IsInf(s.Bulge, 0) {
				return fmt.Errorf("segment %d of loop %d has the bulge %g", j+1, i+1, s.Bulge)
			}
		}
		for j := range l {
			s := l.Span(j)
			if s.B.Sub(s.A).Len() <= touch {
				return fmt.Errorf("segment %d of loop %d has no length at (%g, %g)", j+1, i+1, s.A.X, s.A.Y)
			}
			b := s.Bounds()
			if most := max(-b.Min.X, -b.Min.Y, b.Max.X, b.Max.Y); !(most <= farthest) {
				return fmt.Errorf("segment %d of loop %d reaches to %g, not within %g mm", j+1, i+1, most, float64(farthest))
			}
		}
		if l.Area() == 0 {
			return fmt.Errorf("loop %d at (%g, %g) encloses nothing", i+1, l[0].At.X, l[0].At.Y)
		}
	}
	return nil
}

// depth returns how many of the other loops lie round loop i. The loops must
// not cross.
func depth(loops []Loop, i int) int {
	n := 0
	p := loops[i][0].At
	for j, l := range loops {
		if j == i {
			continue
		}
		if b := l.Bounds(); p.X < b.Min.X || p.X > b.Max.X || p.Y < b.Min.Y || p.Y > b.Max.Y {
			continue
		}
		if l.rounds(p) {
			n++
		}
	}
	return n
}

// rounds reports whether the loop goes round p, either way.
func (l Loop) rounds(p vec.P2) bool {
	d := Outline{Loops: []Loop{l}}.Dist(p)
	return (d < 0) == (l.Area() > 0)
}

// Reversed returns the loop run the other way.
func (l Loop) Reversed() Loop {
	n := len(l)
	r := make(Loop, n)
	for i := range l {
		// the piece from l[i] to l[i+1] becomes the one from l[i+1] to l[i]
		r[n-1-i] = Seg{l[(i+1)%n].At, -l[i].Bulge}
	}
	return r
}

// errTangled means that the check for crossings gave up.
var errTangled = errors.New("the outline is too tangled to check")

// mostPairs bounds the pairs of segments that are looked at closely: an
// outline of n segments that wind beside each other needs some 10 n.
const mostPairs = 20_000_000

// crossing returns an error that names a place where two spans cross or touch.
func (x *index) crossing() error {
	boxes := make([]vec.Box2, len(x.spans))
	for i := range x.spans {
		boxes[i] = x.spans[i].Bounds()
	}
	pairs := 0
	var fault error
	for i := range x.spans {
		fault = nil
		x.overlapping(boxes[i], func(j int32) bool {
			if int(j) <= i {
				return true
			}
			if a, b := boxes[i], boxes[j]; a.Min.X > b.Max.X+touch || b.Min.X > a.Max.X+touch ||
				a.Min.Y > b.Max.Y+touch || b.Min.Y > a.Max.Y+touch {
				return true
			}
			if pairs++; pairs > mostPairs {
				fault = errTangled
				return false
			}
			fault = x.clash(i, int(j))
			return fault == nil
		})
		if fault != nil {
			return fault
		}
	}
	return nil
}

// overlapping calls f with the spans whose boxes come within touch of b, and
// perhaps some others, until f returns false.
func (x *index) overlapping(b vec.Box2, f func(int32) bool) {
	if len(x.nodes) == 0 {
		for i := range x.spans {
			if !f(int32(i)) {
				return
			}
		}
		return
	}
	stack := []int32{0}
	for len(stack) > 0 {
		n := &x.nodes[stack[len(stack)-1]]
		stack = stack[:len(stack)-1]
		if n.box.Min.X > b.Max.X+touch || b.Min.X > n.box.Max.X+touch ||
			n.box.Min.Y > b.Max.Y+touch || b.Min.Y > n.box.Max.Y+touch {
			continue
		}
		if n.left > 0 {
			stack = append(stack, n.right, n.left)
			continue
		}
		for _, i := range x.order[-n.left:n.right] {
			if !f(i) {
				return
			}
		}
	}
}

// clash returns an error if spans i and j meet anywhere but at a joint that
// they share.
func (x *index) clash(i, j int) error {
	s, t := &x.spans[i], &x.spans[j]
	ps, pt := x.place[i], x.place[j]
	if ps.end != pt.start && ps.start != pt.end && apart(s, t) {
		return nil
	}
	for _, h := range hits(s, t) {
		if ps.end == pt.start && sharedAt(s, t, h) || ps.start == pt.end && sharedAt(t, s, hit{h.at, h.tt, h.ts}) {
			continue
		}
		what := "crosses"
		if ns, nt := s.Tangent(h.ts), t.Tangent(h.tt); math.Abs(ns.Cross(nt)) < smoothTurn || h.ts == 0 || h.ts == 1 || h.tt == 0 || h.tt == 1 {
			what = "touches"
		}
		return fmt.Errorf("segment %d of loop %d %s segment %d of loop %d at (%.6g, %.6g)",
			ps.seg+1, ps.loop+1, what, pt.seg+1, pt.loop+1, h.at.X, h.at.Y)
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
	if l > cuspReach || s.T1.Dot(t.T0) > 0 || math.Abs(s.T1.Cross(t.T0)) > smoothTurn {
		return false
	}
	return t.Near(s.Point((1+h.ts)/2)).Dist <= touch
}

// cuspReach is the length in mm over which the two sides of a cusp may lie
// within touch of each other: circles of 1 m radius part by touch after that.
const cuspReach = 1e-3
