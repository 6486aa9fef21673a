package outline

import (
	"math"

	"waxwright/geom/vec"
)

// touch is the distance in mm at which two spans count as touching. A metre of
// coordinates rounds to 1e-13 mm, and the intersections of arcs lose four
// digits at worst.
const touch = 1e-9

// hit is a common point of two spans s and t.
type hit struct {
	at     vec.P2
	ts, tt float64 // shares of the lengths of s and t
}

// hits returns where s and t come within the distance slack of each other: the
// crossings, tangent points, and the ends of one that lie on the other. Where
// the two run along each other, that is the ends of the common part.
func hits(s, t *Span, slack float64) []hit {
	var out []hit
	add := func(p vec.P2) {
		fs, ft := s.Near(p), t.Near(p)
		if fs.Dist > slack || ft.Dist > slack {
			return
		}
		for _, h := range out {
			if h.at.Sub(p).Len() <= 2*slack {
				return
			}
		}
		out = append(out, hit{p, fs.T, ft.T})
	}
	// ends first: they are the exact points
	add(s.A)
	add(s.B)
	add(t.A)
	add(t.B)
	for _, p := range circleCross(s, t) {
		add(polish(s, t, p))
	}
	return out
}

// circleCross returns the common points of the whole lines or circles of s and
// t, tangent points included, at most two.
//
// With the origin at s.A the two are K w.w - 2 u.w = 0 and
// K' |w-a|^2 - 2 u'.(w-a) = 0. Eliminating w.w leaves a line; it is met with
// the more bent of the two.
func circleCross(s, t *Span) []vec.P2 {
	if math.Abs(t.K) > math.Abs(s.K) {
		s, t = t, s
	}
	a := t.A.Sub(s.A)
	u, v := s.T0.Left(), t.T0.Left()
	g := a.Mul(t.K).Add(v)
	// n.w = h
	n, h := g, float64(t.K*a.Dot(a))/2+v.Dot(a)
	if t.K != 0 {
		n, h = g.Mul(s.K).Sub(u.Mul(t.K)), s.K*h
	}
	l := n.Len()
	if l == 0 {
		return nil // parallel or concentric
	}
	n, h = n.Mul(1/l), h/l
	m := n.Left()
	// on the line w = n h + m x: K x^2 - 2 b x + c = 0
	b, c := u.Dot(m), float64(s.K*h*h)-2*h*u.Dot(n)
	at := func(x float64) vec.P2 { return s.A.Add(n.Mul(h)).Add(m.Mul(x)) }
	if s.K == 0 {
		if b == 0 {
			return nil
		}
		return []vec.P2{at(c / (2 * b))}
	}
	root := float64(b*b) - float64(s.K*c)
	if root <= 0 { // apart, or tangent: the caller measures
		return []vec.P2{at(b / s.K)}
	}
	q := b + math.Copysign(math.Sqrt(root), b)
	if q == 0 {
		return []vec.P2{at(0)}
	}
	return []vec.P2{at(q / s.K), at(c / q)}
}

// polish moves p onto both whole curves by Newton's method where they cross at
// a clear angle.
func polish(s, t *Span, p vec.P2) vec.P2 {
	for range 3 {
		ds, ns := s.full(p)
		dt, nt := t.full(p)
		det := ns.Cross(nt)
		if math.Abs(det) < 1e-3 { // the step would amplify roundings a thousandfold
			return p
		}
		p = p.Sub(vec.P2{
			X: (float64(ds*nt.Y) - float64(dt*ns.Y)) / det,
			Y: (float64(dt*ns.X) - float64(ds*nt.X)) / det,
		})
	}
	return p
}

// apart reports quickly that s and t, as seen from t's line, cannot meet.
func apart(s, t *Span) bool {
	if s.K != 0 || t.K != 0 {
		return false
	}
	a, b := t.level(s.A), t.level(s.B)
	if a > touch && b > touch || a < -touch && b < -touch {
		return true
	}
	a, b = s.level(t.A), s.level(t.B)
	return a > touch && b > touch || a < -touch && b < -touch
}
