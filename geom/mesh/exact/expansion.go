package exact

import "math"

// An expansion is a sum of float64 that do not overlap, smallest first,
// without zeros; the empty expansion is 0. The names in brackets are those of
// Shewchuk 1997.

// short is an expansion of one or two components, or 0 held as one component.
type short struct {
	c [2]float64
	n int
}

// diff sets s to a - b exactly (Two-Diff).
func (s *short) diff(a, b float64) {
	x := a - b
	bv := a - x
	av := x + bv
	tail := (a - av) + (bv - b)
	if tail == 0 {
		s.c[0], s.n = x, 1
		return
	}
	s.c[0], s.c[1], s.n = tail, x, 2
}

// twoSum returns a + b as head and tail.
func twoSum(a, b float64) (x, y float64) {
	x = a + b
	bv := x - a
	av := x - bv
	return x, (a - av) + (b - bv)
}

// fastTwoSum is twoSum for |a| >= |b|.
func fastTwoSum(a, b float64) (x, y float64) {
	x = a + b
	return x, b - (x - a)
}

// twoProduct returns a * b as head and tail.
func twoProduct(a, b float64) (x, y float64) {
	x = float64(a * b)
	return x, math.FMA(a, b, -x)
}

// product appends u * v to h: at most 8 components.
func product(h []float64, u, v *short) []float64 {
	if v.n == 1 {
		return scale(h, u.c[:u.n], v.c[0])
	}
	var lo, hi [4]float64
	return sum(h, scale(lo[:0], u.c[:u.n], v.c[0]), scale(hi[:0], u.c[:u.n], v.c[1]))
}

// scale appends e * b to the empty h: at most twice as many components
// (Scale-Expansion, zeros dropped).
func scale(h, e []float64, b float64) []float64 {
	if len(e) == 0 || b == 0 {
		return h
	}
	q, t := twoProduct(e[0], b)
	if t != 0 {
		h = append(h, t)
	}
	for _, c := range e[1:] {
		p1, p0 := twoProduct(c, b)
		s, t := twoSum(q, p0)
		if t != 0 {
			h = append(h, t)
		}
		q, t = fastTwoSum(p1, s)
		if t != 0 {
			h = append(h, t)
		}
	}
	if q != 0 {
		h = append(h, q)
	}
	return h
}

// sum appends e + f to the empty h: at most as many components as both
// together (Fast-Expansion-Sum, zeros dropped).
func sum(h, e, f []float64) []float64 {
	if len(e) == 0 {
		return append(h, f...)
	}
	if len(f) == 0 {
		return append(h, e...)
	}
	next := func() float64 { // the smaller of both heads
		if len(f) == 0 || len(e) != 0 && math.Abs(e[0]) < math.Abs(f[0]) {
			x := e[0]
			e = e[1:]
			return x
		}
		x := f[0]
		f = f[1:]
		return x
	}
	q := next()
	for len(e)+len(f) > 0 {
		var t float64
		q, t = twoSum(q, next())
		if t != 0 {
			h = append(h, t)
		}
	}
	if q != 0 {
		h = append(h, q)
	}
	return h
}

// sign returns the sign of an expansion: that of its largest component.
func sign(e []float64) int {
	switch n := len(e); {
	case n == 0 || e[n-1] == 0:
		return 0
	case e[n-1] > 0:
		return 1
	default:
		return -1
	}
}
