package vec

import "math"

// Place is a rigid placement, perhaps mirrored: it takes local coordinates to
// world coordinates by p -> O + p.X*X + p.Y*Y + p.Z*Z. X, Y, Z are orthonormal;
// the constructors below keep them so. The zero Place is not usable: start
// from Here.
type Place struct{ O, X, Y, Z P }

// Here is the placement that moves nothing.
var Here = Place{P{}, P{1, 0, 0}, P{0, 1, 0}, P{0, 0, 1}}

// Shift returns the placement that moves by d.
func Shift(d P) Place { p := Here; p.O = d; return p }

// Turn returns the rotation by angle radians about the axis through the
// origin, counter-clockwise seen against the axis. Whole quarter turns about a
// coordinate axis are exact.
func Turn(axis P, angle float64) Place {
	a := axis.Unit()
	s, c := sincos(angle)
	rot := func(v P) P { // Rodrigues
		return v.Mul(c).Add(a.Cross(v).Mul(s)).Add(a.Mul(a.Dot(v) * (1 - c)))
	}
	return Place{P{}, rot(Here.X), rot(Here.Y), rot(Here.Z)}
}

// TurnZ returns the rotation by angle radians about z, counter-clockwise seen
// from +z. A bearing b (clockwise) is TurnZ(-b).
func TurnZ(angle float64) Place { return Turn(P{0, 0, 1}, angle) }

// MirrorX returns the mirror image in the plane x = 0.
func MirrorX() Place { p := Here; p.X = P{-1, 0, 0}; return p }

// sincos is math.Sincos, exact at multiples of a quarter turn.
func sincos(a float64) (s, c float64) {
	q := a / (math.Pi / 2)
	if r := math.Round(q); math.Abs(q-r) < 1e-14 {
		switch ((int64(r) % 4) + 4) % 4 {
		case 0:
			return 0, 1
		case 1:
			return 1, 0
		case 2:
			return 0, -1
		default:
			return -1, 0
		}
	}
	return math.Sincos(a)
}

// Point takes a local point to the world.
func (m Place) Point(p P) P { return m.O.Add(m.Dir(p)) }

// Dir takes a local direction to the world.
func (m Place) Dir(d P) P {
	return P{
		float64(m.X.X*d.X) + float64(m.Y.X*d.Y) + float64(m.Z.X*d.Z),
		float64(m.X.Y*d.X) + float64(m.Y.Y*d.Y) + float64(m.Z.Y*d.Z),
		float64(m.X.Z*d.X) + float64(m.Y.Z*d.Y) + float64(m.Z.Z*d.Z),
	}
}

// Local takes a world point to local coordinates.
func (m Place) Local(p P) P { return m.LocalDir(p.Sub(m.O)) }

// LocalDir takes a world direction to local coordinates.
func (m Place) LocalDir(d P) P { return P{m.X.Dot(d), m.Y.Dot(d), m.Z.Dot(d)} }

// After returns the placement that does n first, then m.
func (m Place) After(n Place) Place {
	return Place{m.Point(n.O), m.Dir(n.X), m.Dir(n.Y), m.Dir(n.Z)}
}

// Inverse returns the placement that undoes m.
func (m Place) Inverse() Place {
	inv := Place{P{}, P{m.X.X, m.Y.X, m.Z.X}, P{m.X.Y, m.Y.Y, m.Z.Y}, P{m.X.Z, m.Y.Z, m.Z.Z}}
	inv.O = inv.Dir(m.O).Neg()
	return inv
}

// Mirrored reports whether m turns left hands into right hands.
func (m Place) Mirrored() bool { return m.X.Cross(m.Y).Dot(m.Z) < 0 }

// Box returns the smallest axis-aligned box that holds the placed corners of b.
func (m Place) Box(b Box) Box {
	if b.IsEmpty() {
		return b
	}
	if !b.Finite() {
		return Everywhere()
	}
	r := Empty()
	for _, c := range b.Corners() {
		r = r.With(m.Point(c))
	}
	return r
}
