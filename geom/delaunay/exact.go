package delaunay

import "math/bits"

// orient returns a number with the sign of the turn a, b, c: positive where c
// lies left of a-b. It is twice the area of the triangle; within Reach it is
// less than 2^62.
func orient(a, b, c Point) int64 {
	ux, uy := int64(b.X)-int64(a.X), int64(b.Y)-int64(a.Y)
	vx, vy := int64(c.X)-int64(a.X), int64(c.Y)-int64(a.Y)
	return ux*vy - uy*vx
}

// inCircle tells whether p lies inside the circle round a, b, c, which run
// counter-clockwise.
//
// It is the sign of |a|^2 (b x c) + |b|^2 (c x a) + |c|^2 (a x b), seen from p.
// Within Reach a difference is at most 2^30, a square of a length at most 2^61,
// a product of two vectors at most 2^61, and the sum at most 3 * 2^122.
func inCircle(a, b, c, p Point) bool {
	ax, ay := int64(a.X)-int64(p.X), int64(a.Y)-int64(p.Y)
	bx, by := int64(b.X)-int64(p.X), int64(b.Y)-int64(p.Y)
	cx, cy := int64(c.X)-int64(p.X), int64(c.Y)-int64(p.Y)
	h1, l1 := times(ax*ax+ay*ay, bx*cy-by*cx)
	h2, l2 := times(bx*bx+by*by, cx*ay-cy*ax)
	h3, l3 := times(cx*cx+cy*cy, ax*by-ay*bx)
	l, carry := bits.Add64(l1, l2, 0)
	h, _ := bits.Add64(h1, h2, carry)
	l, carry = bits.Add64(l, l3, 0)
	h, _ = bits.Add64(h, h3, carry)
	return int64(h) > 0 || h == 0 && l != 0
}

// times multiplies s, which is not negative, by x. The product is in two's
// complement.
func times(s, x int64) (hi, lo uint64) {
	hi, lo = bits.Mul64(uint64(s), uint64(x))
	return hi - uint64(s&(x>>63)), lo
}

// side is orient of three vertices.
func (t *Triangulation) side(a, b, c int32) int64 {
	return orient(t.Points[a], t.Points[b], t.Points[c])
}

// conflict tells whether p lies inside the circle round a triangle, which is
// the half plane beyond its edge if the triangle is a ghost.
func (t *Triangulation) conflict(tr *Triangle, p Point) bool {
	a, b, c := tr.V[0], tr.V[1], tr.V[2]
	if a|b|c >= 0 {
		return inCircle(t.Points[a], t.Points[b], t.Points[c], p)
	}
	for a >= 0 { // turn the ghost to the front
		a, b, c = b, c, a
	}
	return orient(t.Points[b], t.Points[c], p) > 0
}
