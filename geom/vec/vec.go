// Package vec holds the small values that all geometry is made of: points and
// directions in the plane and in space, boxes, and placements.
//
// Lengths are millimetres, angles radians. Every type is a plain value with a
// usable zero. Sums of products are written with explicit float64 conversions,
// so that no compiler fuses them and every CPU gives the same bits.
package vec

import "math"

// P is a point or a vector in space, in millimetres.
type P struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	Z float64 `json:"z"`
}

// Add returns p + q.
func (p P) Add(q P) P { return P{p.X + q.X, p.Y + q.Y, p.Z + q.Z} }

// Sub returns p - q.
func (p P) Sub(q P) P { return P{p.X - q.X, p.Y - q.Y, p.Z - q.Z} }

// Mul returns p scaled by s.
func (p P) Mul(s float64) P { return P{p.X * s, p.Y * s, p.Z * s} }

// Neg returns -p.
func (p P) Neg() P { return P{-p.X, -p.Y, -p.Z} }

// Dot returns the inner product.
func (p P) Dot(q P) float64 {
	return float64(p.X*q.X) + float64(p.Y*q.Y) + float64(p.Z*q.Z)
}

// Cross returns the vector product.
func (p P) Cross(q P) P {
	return P{
		float64(p.Y*q.Z) - float64(p.Z*q.Y),
		float64(p.Z*q.X) - float64(p.X*q.Z),
		float64(p.X*q.Y) - float64(p.Y*q.X),
	}
}

// Len returns the length of p.
func (p P) Len() float64 { return math.Sqrt(p.Dot(p)) }

// Len2 returns the squared length of p.
func (p P) Len2() float64 { return p.Dot(p) }

// Square returns some unit vector square to the unit vector p, always the same.
func (p P) Square() P {
	if math.Abs(p.X) < 0.7 {
		return p.Cross(P{X: 1}).Unit()
	}
	return p.Cross(P{Y: 1}).Unit()
}

// Unit returns p at length 1, and the zero vector for the zero vector.
func (p P) Unit() P {
	l := p.Len()
	if l == 0 {
		return P{}
	}
	return P{p.X / l, p.Y / l, p.Z / l}
}

// Lerp returns the point at the share t of the way from p to q.
func (p P) Lerp(q P, t float64) P {
	return P{
		p.X + float64((q.X-p.X)*t),
		p.Y + float64((q.Y-p.Y)*t),
		p.Z + float64((q.Z-p.Z)*t),
	}
}

// Octant returns corner i of the cube about p with half edges of the length by (see
// Box.Corners), which is the middle of part i of a cube twice as large.
func (p P) Octant(i int, by float64) P {
	d := P{-by, -by, -by}
	if i&1 != 0 {
		d.X = by
	}
	if i&2 != 0 {
		d.Y = by
	}
	if i&4 != 0 {
		d.Z = by
	}
	return p.Add(d)
}

// XY drops the height.
func (p P) XY() P2 { return P2{p.X, p.Y} }

// Finite reports whether no coordinate is NaN or infinite.
func (p P) Finite() bool {
	s := p.X + p.Y + p.Z
	return !math.IsNaN(s) && !math.IsInf(s, 0)
}

// P2 is a point or a vector in the plane, in millimetres.
type P2 struct{ X, Y float64 }

// Add returns p + q.
func (p P2) Add(q P2) P2 { return P2{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p P2) Sub(q P2) P2 { return P2{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by s.
func (p P2) Mul(s float64) P2 { return P2{p.X * s, p.Y * s} }

// Neg returns -p.
func (p P2) Neg() P2 { return P2{-p.X, -p.Y} }

// Dot returns the inner product.
func (p P2) Dot(q P2) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Cross returns the z component of the vector product: positive where q lies
// counter-clockwise of p.
func (p P2) Cross(q P2) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }

// Len returns the length of p.
func (p P2) Len() float64 { return math.Sqrt(p.Dot(p)) }

// Unit returns p at length 1, and the zero vector for the zero vector.
func (p P2) Unit() P2 {
	l := p.Len()
	if l == 0 {
		return P2{}
	}
	return P2{p.X / l, p.Y / l}
}

// Left returns p turned a quarter counter-clockwise.
func (p P2) Left() P2 { return P2{-p.Y, p.X} }

// Lerp returns the point at the share t of the way from p to q.
func (p P2) Lerp(q P2, t float64) P2 {
	return P2{p.X + float64((q.X-p.X)*t), p.Y + float64((q.Y-p.Y)*t)}
}

// At returns the point at height z above p.
func (p P2) At(z float64) P { return P{p.X, p.Y, z} }

// Bearing returns the point at distance r from the origin at the bearing b:
// radians, 0 along +y, clockwise seen from +z. Whole quarter turns are exact.
func Bearing(r, b float64) P2 {
	s, c := sincos(b)
	return P2{r * s, r * c}
}
