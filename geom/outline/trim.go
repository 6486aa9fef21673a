package outline

import (
	"math"

	"waxwright/geom/vec"
)

// Trimmed returns the whole outline that t is part of with each straight span
// moved outwards by the length given for its number, in mm, and its neighbours
// lengthened or trimmed to meet it; what is not moved stays on its line or circle.
// ok is false where that is not to be done: for spans that are bent, run smoothly
// into others or on along them, or vanish, and for paths. The new spans have the
// numbers of the old.
func (t Part) Trimmed(by []float64) (trimmed Part, ok bool) {
	x := t.x
	if x == nil || len(by) != len(x.spans) || len(x.loops) == 0 {
		return t, false
	}
	moves := make([][]float64, len(x.loops))
	for l := range moves {
		moves[l] = make([]float64, len(x.loops[l]))
	}
	for i, v := range by {
		if v != 0 && !x.spans[i].Line() {
			return t, false
		}
		moves[x.place[i].loop][x.place[i].seg] = v
	}
	loops := make([]Loop, len(x.loops))
	for l, old := range x.loops {
		if loops[l], ok = old.trimmed(moves[l]); !ok {
			return t, false
		}
	}
	n := newIndex(loops)
	if x.meridian == nil {
		n = n.meridian()
	}
	if len(n.spans) != len(x.spans) {
		return t, false
	}
	for i, p := range n.place {
		q := x.place[i]
		if n.joints[p.start].corner != x.joints[q.start].corner || n.joints[p.end].corner != x.joints[q.end].corner {
			return t, false
		}
	}
	return Part{x: n}, true
}

// trimmed moves the straight spans of a loop.
func (l Loop) trimmed(by []float64) (Loop, bool) {
	spans := l.Spans()
	n := len(l)
	out := make(Loop, n)
	for i := range l {
		before, here := (i+n-1)%n, i
		out[i] = Seg{l[i].At, l[i].Bulge}
		if by[before] == 0 && by[here] == 0 {
			continue
		}
		var ok bool
		if out[i].At, ok = meeting(&spans[before], &spans[here], by[before], by[here]); !ok {
			return nil, false
		}
	}
	for i, s := range spans {
		a, b := out[i].At, out[(i+1)%n].At
		if s.Line() {
			if b.Sub(a).Dot(s.T0) <= 0 {
				return nil, false
			}
			continue
		}
		if a == s.A && b == s.B {
			continue
		}
		var ok bool
		if out[i].Bulge, ok = s.between(a, b); !ok {
			return nil, false
		}
	}
	return out, true
}

// between returns the bulge of an arc of the same circle from a to b, which lie
// near its own ends.
func (s *Span) between(a, b vec.P2) (bulge float64, ok bool) {
	c := s.Centre()
	turn := func(from, to vec.P2) float64 {
		return math.Atan2(from.X*to.Y-from.Y*to.X, from.Dot(to))
	}
	sweep := s.Sweep + turn(s.B.Sub(c), b.Sub(c)) - turn(s.A.Sub(c), a.Sub(c))
	if sweep*s.Sweep <= 0 || math.Abs(sweep) >= 2*math.Pi {
		return 0, false
	}
	return math.Tan(sweep / 4), true
}

// leastCross is the sine of the least angle between spans whose meeting is found.
const leastCross = 0.01

// meeting returns where s, moved outwards by v, meets t, moved by w, near where
// they met.
func meeting(s, t *Span, v, w float64) (vec.P2, bool) {
	p := s.B
	if math.Abs(s.T1.Cross(t.T0)) < leastCross {
		return p, false
	}
	for range 8 {
		f, n := s.full(p)
		g, m := t.full(p)
		f, g = f-v, g-w
		det := n.Cross(m)
		if det == 0 {
			return p, false
		}
		p = p.Sub(vec.P2{X: f*m.Y - g*n.Y, Y: g*n.X - f*m.X}.Mul(1 / det))
	}
	return p, true
}
