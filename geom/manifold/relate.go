package manifold

import (
	"math"

	"waxwright/geom/mesh/exact"
	"waxwright/geom/vec"
)

// relation is how two triangles stand to each other, beyond the vertex they
// may share.
type relation uint8

const (
	apart    relation = iota
	touching          // they meet in a point, or along an edge of both
	crossing          // they pass through each other
	covering          // they lie in one plane and their insides overlap
	standing          // an edge of one lies in the plane of the other, inside it
)

// contact is a relation; where the second stands on the first (or the first on
// the second), corner names the corner that is not in the other's plane.
type contact struct {
	relation
	second bool // it is the second that stands
	corner int
}

type triangle [3]vec.P

// relate relates two triangles that share no vertex, exactly. Neither may be
// flat.
//
// Method: P. Guigue, O. Devillers, "Fast and robust triangle-triangle overlap
// test using orientation predicates", Journal of Graphics Tools 8, 2003. 1. The
// sides of each triangle's corners to the plane of the other; all on one side:
// apart. 2. Each triangle is turned so that its first corner is alone on its
// side; both then meet the line common to the planes in an interval. 3. Two
// predicates tell whether the intervals overlap.
func relate(a, b *triangle) contact {
	var sb, sa [3]int
	for i := range 3 {
		sb[i] = exact.Side(a[0], a[1], a[2], b[i])
	}
	if oneSide(sb) {
		return contact{}
	}
	for i := range 3 {
		sa[i] = exact.Side(b[0], b[1], b[2], a[i])
	}
	if oneSide(sa) {
		return contact{}
	}
	if sb == ([3]int{}) {
		if covers(a, b) {
			return contact{relation: covering}
		}
		return contact{}
	}
	ia, ka := lone(sa)
	ib, kb := lone(sb)
	if ka == corner || kb == corner {
		if ka == corner && inside(a[ia], b) || kb == corner && inside(b[ib], a) {
			return contact{relation: touching}
		}
		return contact{}
	}
	p1, q1, r1 := a[ia], a[(ia+1)%3], a[(ia+2)%3]
	p2, q2, r2 := b[ib], b[(ib+1)%3], b[(ib+2)%3]
	if sa[ia] < 0 {
		q2, r2 = r2, q2
	}
	if sb[ib] < 0 {
		q1, r1 = r1, q1
	}
	x, y := exact.Side(p1, q1, p2, q2), exact.Side(p1, r1, r2, p2)
	switch {
	case x > 0 || y > 0:
		return contact{}
	case x == 0 || y == 0:
		return contact{relation: touching}
	case ka == through && kb == through:
		return contact{relation: crossing}
	case ka == edge && kb == edge:
		return contact{relation: touching}
	case kb == edge:
		return contact{standing, true, ib}
	default:
		return contact{standing, false, ia}
	}
}

// How a triangle stands to the plane of another that it reaches.
const (
	through = iota // corners on both sides
	edge           // an edge in the plane
	corner         // one corner in the plane
)

func oneSide(s [3]int) bool { return s[0] != 0 && s[0] == s[1] && s[1] == s[2] }

// lone returns the corner that is alone on its side of the plane, and how the
// triangle stands to it. The sides are neither all the same nor all 0.
func lone(s [3]int) (i, kind int) {
	var count [3]int // of -1, 0, 1
	for _, v := range s {
		count[v+1]++
	}
	want := 1
	switch {
	case count[0] > 0 && count[2] > 0:
		kind = through
		if count[2] == 2 {
			want = -1
		}
	case count[1] == 2:
		kind = edge
		if count[0] == 1 {
			want = -1
		}
	default:
		kind, want = corner, 0
	}
	for i = range s {
		if s[i] == want {
			break
		}
	}
	return i, kind
}

// relateAt relates two triangles that share the corner a[0] = b[0] and no
// other. Neither may be flat.
//
// Each triangle meets the plane of the other, beyond the shared corner, in a
// ray or not at all. The rays lie on one line, the common line of the planes;
// with that line directed along the product of the normals, a ray of a runs
// along it where a[1] is in front of b's plane, and a ray of b where b[1] is
// behind a's.
func relateAt(a, b *triangle) contact {
	s1, s2 := exact.Side(a[0], a[1], a[2], b[1]), exact.Side(a[0], a[1], a[2], b[2])
	if s1 == s2 && s1 != 0 {
		return contact{}
	}
	t1, t2 := exact.Side(b[0], b[1], b[2], a[1]), exact.Side(b[0], b[1], b[2], a[2])
	if t1 == t2 && t1 != 0 {
		return contact{}
	}
	if s1 == 0 && s2 == 0 {
		if covers(a, b) {
			return contact{relation: covering}
		}
		return contact{}
	}
	along := func(x, y int) int {
		if x != 0 {
			return x
		}
		return -y
	}
	if along(t1, t2) != -along(s1, s2) {
		return contact{}
	}
	onA, onB := s1 == 0 || s2 == 0, t1 == 0 || t2 == 0 // an edge of b lies in a's plane
	other := func(first int) int {                     // the corner that does not
		if first == 0 {
			return 2
		}
		return 1
	}
	switch {
	case onA && onB:
		return contact{relation: touching}
	case onA:
		return contact{standing, true, other(s1)}
	case onB:
		return contact{standing, false, other(t1)}
	default:
		return contact{relation: crossing}
	}
}

// flatten drops the coordinate in which triangle a is seen edge-on, exactly:
// it tries all three. It returns the axis, or false for a flat triangle.
func flatten(a *triangle) (axis uint8, turn int) {
	for axis := range uint8(3) {
		if s := exact.Side2(drop(a[0], axis), drop(a[1], axis), drop(a[2], axis)); s != 0 {
			return axis, s
		}
	}
	return 0, 0
}

// drop returns p without the given coordinate; the others keep the order x, y,
// z, x.
func drop(p vec.P, axis uint8) vec.P2 {
	switch axis {
	case 0:
		return vec.P2{X: p.Y, Y: p.Z}
	case 1:
		return vec.P2{X: p.Z, Y: p.X}
	default:
		return vec.P2{X: p.X, Y: p.Y}
	}
}

// covers reports whether the insides of two triangles in one plane overlap:
// they do not if and only if an edge of one has the other on its outer side.
func covers(a, b *triangle) bool {
	axis, ta := flatten(a)
	var p, q [3]vec.P2
	for i := range 3 {
		p[i], q[i] = drop(a[i], axis), drop(b[i], axis)
	}
	tb := exact.Side2(q[0], q[1], q[2])
	return !parted(&p, &q, ta) && !parted(&q, &p, tb)
}

// parted reports whether an edge of p, which turns as given, has all of q on
// its outer side or on it.
func parted(p, q *[3]vec.P2, turn int) bool {
	for i := range 3 {
		u, v := p[i], p[(i+1)%3]
		if turn*exact.Side2(u, v, q[0]) <= 0 && turn*exact.Side2(u, v, q[1]) <= 0 && turn*exact.Side2(u, v, q[2]) <= 0 {
			return true
		}
	}
	return false
}

// inside reports whether p, which lies in the plane of t, lies in t or on its
// border.
func inside(p vec.P, t *triangle) bool {
	axis, turn := flatten(t)
	q := drop(p, axis)
	for i := range 3 {
		if turn*exact.Side2(drop(t[i], axis), drop(t[(i+1)%3], axis), q) < 0 {
			return false
		}
	}
	return true
}

// place returns the middle of where two crossing triangles meet, up to
// rounding.
func place(a, b *triangle) vec.P {
	na, nb := normal(a), normal(b)
	line := na.Cross(nb)
	la, ha := interval(a, b[0], nb, line)
	lb, hb := interval(b, a[0], na, line)
	lo, hi := la, ha
	if lb.Dot(line) > lo.Dot(line) {
		lo = lb
	}
	if hb.Dot(line) < hi.Dot(line) {
		hi = hb
	}
	return lo.Lerp(hi, 0.5)
}

func normal(t *triangle) vec.P { return t[1].Sub(t[0]).Cross(t[2].Sub(t[0])) }

// interval returns the ends, along line, of where t meets the plane through o
// with normal n; the corner nearest to the plane if rounding hides it.
func interval(t *triangle, o, n, line vec.P) (lo, hi vec.P) {
	var d [3]float64
	near := 0
	for i := range 3 {
		d[i] = t[i].Sub(o).Dot(n)
		if math.Abs(d[i]) < math.Abs(d[near]) {
			near = i
		}
	}
	found := false
	for i := range 3 {
		k := (i + 1) % 3
		if d[i] == d[k] || d[i] > 0 && d[k] > 0 || d[i] < 0 && d[k] < 0 {
			continue
		}
		p := t[i].Lerp(t[k], d[i]/(d[i]-d[k]))
		if !found {
			lo, hi, found = p, p, true
		}
		if p.Dot(line) < lo.Dot(line) {
			lo = p
		}
		if p.Dot(line) > hi.Dot(line) {
			hi = p
		}
	}
	if !found {
		return t[near], t[near]
	}
	return lo, hi
}
