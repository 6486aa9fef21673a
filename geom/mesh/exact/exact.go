// Package exact tells on which side of a line or plane a point lies, without
// error.
//
// Guarantee: the sign returned is that of the determinant of the coordinates
// exactly as given, as long as every coordinate that is not 0 lies between
// 1e-80 and 1e80 in size. Nothing is allocated.
//
// Method: J. R. Shewchuk, "Adaptive Precision Floating-Point Arithmetic and
// Fast Robust Geometric Predicates", Discrete & Computational Geometry 18,
// 1997. 1. The determinant is computed in plain float64; if it exceeds its own
// error bound, its sign is right. 2. Otherwise it is computed again as an
// expansion: a sum of float64 that do not overlap, whose last component has
// the sign of the sum.
package exact

import (
	"math"

	"waxwright/geom/vec"
)

// eps is half the distance from 1 to the next float64: the relative error of
// one rounded operation.
const eps = 1.0 / (1 << 53)

// Error bounds of the plain determinants, relative to the sum of the sizes of
// their products (Shewchuk 1997, ccwerrboundA and o3derrboundA).
const (
	bound2 = (3 + 16*eps) * eps
	bound3 = (7 + 56*eps) * eps
)

// Side returns the sign of (b-a) x (c-a) . (d-a): +1 where d lies on the side
// from which a, b, c run counter-clockwise, -1 on the other, 0 in their plane.
func Side(a, b, c, d vec.P) int {
	ux, uy, uz := b.X-a.X, b.Y-a.Y, b.Z-a.Z
	vx, vy, vz := c.X-a.X, c.Y-a.Y, c.Z-a.Z
	wx, wy, wz := d.X-a.X, d.Y-a.Y, d.Z-a.Z

	yz, zy := uy*vz, uz*vy
	zx, xz := uz*vx, ux*vz
	xy, yx := ux*vy, uy*vx
	det := wx*(yz-zy) + wy*(zx-xz) + wz*(xy-yx)
	size := (math.Abs(yz)+math.Abs(zy))*math.Abs(wx) +
		(math.Abs(zx)+math.Abs(xz))*math.Abs(wy) +
		(math.Abs(xy)+math.Abs(yx))*math.Abs(wz)
	if bound := bound3 * size; det > bound {
		return 1
	} else if -det > bound {
		return -1
	} else if size == 0 {
		return 0 // each product holds a factor that is exactly 0
	}
	return side3(a, b, c, d)
}

func side3(a, b, c, d vec.P) int {
	var ux, uy, uz, vx, vy, vz, wx, wy, wz short
	ux.diff(b.X, a.X)
	uy.diff(b.Y, a.Y)
	uz.diff(b.Z, a.Z)
	vx.diff(c.X, a.X)
	vy.diff(c.Y, a.Y)
	vz.diff(c.Z, a.Z)
	wx.diff(d.X, a.X)
	wy.diff(d.Y, a.Y)
	wz.diff(d.Z, a.Z)

	var px, py, pz [64]float64
	x := term(px[:0], &uy, &vz, &uz, &vy, &wx)
	y := term(py[:0], &uz, &vx, &ux, &vz, &wy)
	z := term(pz[:0], &ux, &vy, &uy, &vx, &wz)
	var pxy [128]float64
	var pxyz [192]float64
	return sign(sum(pxyz[:0], sum(pxy[:0], x, y), z))
}

// term appends w * (u1*v1 - u2*v2) to h: at most 64 components.
func term(h []float64, u1, v1, u2, v2, w *short) []float64 {
	var m [16]float64
	minor := minor2(m[:0], u1, v1, u2, v2)
	if w.n == 1 {
		return scale(h, minor, w.c[0])
	}
	var lo, hi [32]float64
	return sum(h, scale(lo[:0], minor, w.c[0]), scale(hi[:0], minor, w.c[1]))
}

// minor2 appends u1*v1 - u2*v2 to h: at most 16 components.
func minor2(h []float64, u1, v1, u2, v2 *short) []float64 {
	var p, q [8]float64
	e, f := product(p[:0], u1, v1), product(q[:0], u2, v2)
	for i := range f {
		f[i] = -f[i]
	}
	return sum(h, e, f)
}

// Side2 returns the sign of (b-a) x (c-a) in the plane: +1 where a, b, c run
// counter-clockwise, -1 clockwise, 0 on one line.
func Side2(a, b, c vec.P2) int {
	l, r := (b.X-a.X)*(c.Y-a.Y), (b.Y-a.Y)*(c.X-a.X)
	det := l - r
	size := math.Abs(l) + math.Abs(r)
	if bound := bound2 * size; det > bound {
		return 1
	} else if -det > bound {
		return -1
	} else if size == 0 {
		return 0
	}
	var ux, uy, vx, vy short
	ux.diff(b.X, a.X)
	uy.diff(b.Y, a.Y)
	vx.diff(c.X, a.X)
	vy.diff(c.Y, a.Y)
	var m [16]float64
	return sign(minor2(m[:0], &ux, &vy, &uy, &vx))
}

// Collinear reports whether a, b, c lie on one line exactly: whether the
// triangle has no area.
func Collinear(a, b, c vec.P) bool {
	return Side2(a.XY(), b.XY(), c.XY()) == 0 &&
		Side2(vec.P2{X: a.Y, Y: a.Z}, vec.P2{X: b.Y, Y: b.Z}, vec.P2{X: c.Y, Y: c.Z}) == 0 &&
		Side2(vec.P2{X: a.Z, Y: a.X}, vec.P2{X: b.Z, Y: b.X}, vec.P2{X: c.Z, Y: c.X}) == 0
}
