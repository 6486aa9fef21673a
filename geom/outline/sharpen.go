package outline

// shortBeside is how many times longer than a span that is left out the spans
// beside it are at least.
const shortBeside = 10

// farOff is how many times its length farther than a span its neighbours may meet
// that is left out.
const farOff = 3

// Sharpened returns the whole outline that t is part of without the spans shorter
// than least between which their neighbours, much longer, go on until they meet: of
// a corner with next to no radius it makes a sharp one. moved is how far from the
// outline the new corners lie at most, 0 where there was nothing to do.
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
	spans := l.Spans()
	n := len(spans)
	drop := make([]bool, n)
	for i := range spans {
		before, s, after := &spans[(i+n-1)%n], spans[i], &spans[(i+1)%n]
		if s.Len >= least || min(before.Len, after.Len) < shortBeside*s.Len || n < 3 {
			continue
		}
		at, ok := meeting(before, after, 0, 0)
		off := s.Near(at).Dist
		if !ok || off > farOff*s.Len {
			continue
		}
		moved = max(moved, off)
		drop[i], before.B, after.A = true, at, at
	}
	for i, s := range spans {
		if drop[i] {
			continue
		}
		bulge := l[i].Bulge
		if was := l.Span(i); !s.Line() && (was.A != s.A || was.B != s.B) {
			var ok bool
			if bulge, ok = was.between(s.A, s.B); !ok {
				return l, 0
			}
		}
		sharp = append(sharp, Seg{s.A, bulge})
	}
	if len(sharp) < 2 {
		return l, 0
	}
	return sharp, moved
}
