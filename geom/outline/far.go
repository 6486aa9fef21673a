package outline

import "waxwright/geom/vec"

// Reach returns the greatest distance from p to a point of the outline in mm,
// 0 for the empty outline.
func (o Outline) Reach(p vec.P2) float64 {
	far := 0.0
	for _, l := range o.Loops {
		for i := range l {
			s := l.Span(i)
			far = max(far, s.A.Sub(p).Len())
			if s.Line() {
				continue
			}
			// On an arc the farthest point lies beyond its centre, seen from p.
			away := s.Centre().Sub(p).Unit()
			if away == (vec.P2{}) {
				continue // p is the centre: all of the arc is as far as its ends
			}
			q := s.Centre().Add(away.Mul(s.Radius()))
			if s.Near(q).Dist <= touch {
				far = max(far, q.Sub(p).Len())
			}
		}
	}
	return far
}
