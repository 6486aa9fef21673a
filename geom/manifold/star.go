package manifold

import (
	"math"

	"waxwright/geom/vec"
)

// maxStar is how many triangles a vertex may have for its star to be looked
// at; others leave it to their pairs. Meshes have 6 a vertex on average.
const maxStar = 32

// star reports whether it is certain that the triangles at a vertex, one fan
// of degree triangles from the one that half-edge h leaves it in, meet nowhere
// but in the vertex and, neighbours, in their edge. Then no pair of them needs
// to be related.
//
// It is so if there is a direction along which the fan is seen once round:
// each triangle counter-clockwise, and one turn in all. The direction is the
// sum of the unit normals; any would do, so it needs not be exact.
func (j *judge) star(h, degree uint32) bool {
	if degree > maxStar {
		return false
	}
	var room [maxStar]vec.P
	spokes := room[:degree]
	v, _, _ := j.ends(h)
	o := j.m.V[v]
	var d vec.P
	for i := range spokes {
		_, to, _ := j.ends(h)
		spokes[i] = j.m.V[to].Sub(o)
		n := j.face[h/3].n
		if l := n.Len(); l > 0 {
			d = d.Add(n.Mul(1 / l))
		}
		h = j.mate[before(h)]
	}
	// Every step turns by less than half a turn. So the spokes are on the left
	// of the first one, then perhaps one opposite it, then on its right, and
	// once only, if and only if they go round once.
	first, last := spokes[0], spokes[degree-1]
	if turn(d, last, first) <= 0 {
		return false
	}
	side := 1
	for i := 1; i < int(degree); i++ {
		if turn(d, spokes[i-1], spokes[i]) <= 0 {
			return false
		}
		s := turn(d, first, spokes[i])
		if s > side || s == 0 && side == 0 {
			return false
		}
		side = s
	}
	return side < 0
}

// turn returns which way a to b turns, seen against d: 1 counter-clockwise, -1
// clockwise, 0 if that is not certain. The components of a and b are wrong by
// at most one rounding.
//
// The bound is that of exact.Side's plain determinant, 7 units of 2^-53, with
// one more for the rounding of the bound itself.
func turn(d, a, b vec.P) int {
	yz, zy := a.Y*b.Z, a.Z*b.Y
	zx, xz := a.Z*b.X, a.X*b.Z
	xy, yx := a.X*b.Y, a.Y*b.X
	det := d.X*(yz-zy) + d.Y*(zx-xz) + d.Z*(xy-yx)
	bound := certain * ((math.Abs(yz)+math.Abs(zy))*math.Abs(d.X) +
		(math.Abs(zx)+math.Abs(xz))*math.Abs(d.Y) +
		(math.Abs(xy)+math.Abs(yx))*math.Abs(d.Z))
	switch {
	case det > bound:
		return 1
	case det < -bound:
		return -1
	default:
		return 0
	}
}

// before returns the half-edge before h in its triangle.
func before(h uint32) uint32 {
	if h%3 == 0 {
		return h + 2
	}
	return h - 1
}
