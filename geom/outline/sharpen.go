package outline

import (
	"math"

	"waxwright/geom/vec"
)

// shortBeside is how many times longer than a span that is left out the spans
// beside it are at least.
const shortBeside = 10

// farOff is how many times its length farther than a span its neighbours may meet
// that is left out.
const farOff = 3

// Sharpened returns the whole outline that t is part of without the spans shorter
// than least between which their neighbours, much longer, go on until they meet: of
// a corner with next to no radius it makes a sharp one. moved is how far the one
// outline lies from the other at most, 0 where there was nothing to do.
func (t Part) Sharpened(least float64) (sharp Part, moved float64) {
	if t.x == nil || len(t.x.loops) == 0 {
		return t, 0
	}
	loops := make([]Loop, len(t.x.loops))
	for i, l := range t.x.loops {
		var by float64
		loops[i], by = l.sharpened(least)
		moved = max(moved, by)
	}
	if moved == 0 {
		return t, 0
	}
	x := newIndex(loops)
	if t.x.meridian == nil {
		x = x.meridian()
	}
	return Part{x: x}, moved
}

// sharpened is Sharpened of one loop.
func (l Loop) sharpened(least float64) (sharp Loop, moved float64) {
	spans := l.Spans() // as they are: neighbours go on along their own lines and circles
	n := len(spans)
	drop := make([]bool, n)
	from, to := make([]vec.P2, n), make([]vec.P2, n)
	for i, s := range spans {
		from[i], to[i] = s.A, s.B
	}
	for i, s := range spans {
		prev, next := (i+n-1)%n, (i+1)%n
		before, after := &spans[prev], &spans[next]
		if s.Len >= least || min(before.Len, after.Len) < shortBeside*s.Len || n < 3 {
			continue
		}
		at, ok := meeting(before, after, 0, 0)
		off := s.Near(at).Dist
		if !ok || off > farOff*s.Len || at.Sub(s.A).Dot(before.T1) < 0 || s.B.Sub(at).Dot(after.T0) < 0 {
			continue // they do not go on, but end before
		}
		for k := range asides + 1 {
			t := float64(k) / asides
			moved = max(moved, s.Near(s.A.Lerp(at, t)).Dist, s.Near(s.B.Lerp(at, t)).Dist)
		}
		drop[i], to[prev], from[next] = true, at, at
	}
	for i := range spans {
		if drop[i] {
			continue
		}
		s, bulge := &spans[i], l[i].Bulge
		if !s.Line() && (from[i] != s.A || to[i] != s.B) {
			var ok bool
			if bulge, ok = s.between(from[i], to[i]); !ok {
				return l, 0
			}
		}
		sharp = append(sharp, Seg{from[i], bulge})
	}
	if len(sharp) < 2 {
		return l, 0
	}
	for i, d := range drop {
		if d { // it may bulge farther than the corner lies
			moved = max(moved, l.Span(i).aside(sharp.Spans()))
		}
	}
	return sharp, moved
}

// asides is in how many parts a short way is measured.
const asides = 16

// aside returns how far points of a span are from the nearest of others, at most.
func (s Span) aside(others []Span) (far float64) {
	for k := range asides + 1 {
		p, near := s.Point(float64(k)/asides), math.Inf(1)
		for i := range others {
			near = min(near, others[i].Near(p).Dist)
		}
		far = max(far, near)
	}
	if s.Line() {
		return far
	}
	return far + s.Radius()*(1-math.Cos(s.Sweep/(2*asides))) // between two of them
}
