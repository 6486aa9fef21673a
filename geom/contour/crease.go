package contour

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Where two faces meet as seen from a cell, and how far outside of it the point
// for its vertex may lie.

// where says where a crease lies as seen from a cell.
type where uint8

const (
	nowhere   where = iota // the faces do not meet, or not on the surface
	inCell                 // a point of it on the surface lies in the cell
	outside                // it passes the cell by
	alongside              // the faces run into each other without an edge
)

// creaseIn returns the middle of the way through the cell of the crease of two
// faces, or, where it passes the cell by, its nearest point.
func (s *solver) creaseIn(p vec.P, a, b sdf.Word) (q vec.P, how where) {
	q, ok := s.local.Meet(p, a, b)
	_, na := s.local.Slope(a, q)
	_, nb := s.local.Slope(b, q)
	t := na.Cross(nb)
	sin := t.Len()
	if sin < parallel {
		if na.Dot(nb) > 0 {
			return q, alongside
		}
		return q, nowhere
	}
	if !ok {
		return q, nowhere
	}
	t = t.Mul(1 / sin)
	lo, hi, ok := s.clip(q, t)
	if !ok {
		if s.holds(q) && s.valid(q) {
			return q, inCell
		}
		return q, outside
	}
	if m, ok := s.local.Meet(q.Add(t.Mul((lo+hi)/2)), a, b); ok && s.valid(m) {
		return m, inCell
	}
	if s.valid(q) {
		return q, inCell
	}
	if !s.holds(q) {
		return q, outside
	}
	return q, nowhere
}

// alongWall is the part of a direction square to a wall of the cell below which a line
// runs along the wall: what roundings leave of 0, and more.
const alongWall = 1e-12

// clip returns the interval of the line p + s t in the cell.
func (s *solver) clip(p, t vec.P) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(-1), math.Inf(1)
	d := p.Sub(s.lo)
	for _, a := range [3][2]float64{{d.X, t.X}, {d.Y, t.Y}, {d.Z, t.Z}} {
		if math.Abs(a[1]) < alongWall {
			if a[0] < 0 || a[0] > s.h {
				return 0, 0, false
			}
			continue
		}
		x, y := -a[0]/a[1], (s.h-a[0])/a[1]
		lo, hi = max(lo, min(x, y)), min(hi, max(x, y))
	}
	return lo, hi, lo < hi
}

// mostEscape is how far outside its cell a vertex may lie, in cells.
const mostEscape = 2.0

// How far outside, in cells, a vertex may lie in a cell that shows the surface
// and so has a vertex of its own. The two are merged when the mesh is tidied;
// the farther apart their cells, the harder.
const (
	shareCrease = 1.0
	shareCorner = 0.5
)

// escape accepts a point of a crease or corner outside the cell, not far and
// on the true surface: where a crease runs just beyond a cell's face, the cells
// that show both its faces do not hold it, and the cell that holds it does not
// show it.
func (s *solver) escape(v *vertex, q vec.P) bool {
	if !s.near(q) || s.out(q) > shareCrease*s.h && s.shown(q) {
		return false
	}
	v.at = q
	return true
}

// near reports whether q is a point of the surface not far outside the cell.
func (s *solver) near(q vec.P) bool {
	return s.out(q) <= mostEscape*s.h && math.Abs(s.far(q)) <= onFace
}

// out returns how far q lies outside the cell along the axis of most.
func (s *solver) out(q vec.P) float64 {
	d := q.Sub(s.lo)
	return max(-d.X, -d.Y, -d.Z, d.X-s.h, d.Y-s.h, d.Z-s.h)
}

// far returns the field at a point up to mostEscape outside the cell.
func (s *solver) far(q vec.P) float64 {
	if s.out(q) > s.h {
		return s.block.Code().Dist(q)
	}
	f, _ := s.block.At(q)
	return f
}

// shown reports whether the cell that holds q has a sign change.
func (s *solver) shown(q vec.P) bool {
	d := q.Sub(s.lo).Mul(1 / s.h)
	lo := s.lo.Add(vec.P{X: math.Floor(d.X), Y: math.Floor(d.Y), Z: math.Floor(d.Z)}.Mul(s.h))
	inside := 0
	for i := range 8 {
		c := vec.P{X: float64(i & 1), Y: float64(i >> 1 & 1), Z: float64(i >> 2)}
		if s.far(lo.Add(c.Mul(s.h))) < 0 {
			inside++
		}
	}
	return inside > 0 && inside < 8
}
