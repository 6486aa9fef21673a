package contour

import (
	"math"

	"waxwright/geom/vec"
)

// Polygons into triangles.

// owner returns the tag of a polygon: that of a vertex on one face, since its
// face is the polygon's.
func owner(vs []vertex) uint32 {
	for i := range vs {
		if v := &vs[i]; v.class == smooth {
			return v.tag
		}
	}
	return vs[0].tag
}

// quad makes two triangles. Its diagonal joins two features where only one
// does, else it is the shorter; but it never joins two cells that are coarser
// than the edge (the same two may lie round another part of it, too).
func (j *joiner) quad(d int, inside bool, id [4]uint32, v *[4]vertex, coarser [4]uint8) {
	first := 0
	switch {
	case coarser[0]&coarser[2] != 0:
		first = 1
	case coarser[1]&coarser[3] != 0:
	default:
		first = diagonal(v)
	}
	tag := owner(v[:])
	a, b, c, e := first, first+1, (first+2)%4, (first+3)%4
	j.triangle(d, inside, [3]uint32{id[a], id[b], id[c]}, &v[a], &v[b], &v[c], tag)
	j.triangle(d, inside, [3]uint32{id[a], id[c], id[e]}, &v[a], &v[c], &v[e], tag)
}

// triangle adds one, and lists it when it may be bad: the surface crosses the
// edge along axis d outwards, so no good triangle on a plane faces the other
// way.
func (j *joiner) triangle(d int, inside bool, id [3]uint32, p, q, r *vertex, tag uint32) {
	if j.check {
		j.deviation(p.at, q.at, r.at)
		return
	}
	u, v := q.at.Sub(p.at), r.at.Sub(p.at)
	n := u.Cross(v)
	out := [3]float64{n.X, n.Y, n.Z}[d]
	if !inside {
		out = -out
	}
	l := max(u.Len2(), v.Len2(), r.at.Sub(q.at).Len2())
	n2 := n.Len2()
	if out <= 0 || out*out <= suspect*suspect*n2 || n2 < sliver*sliver*l*l {
		j.suspects = append(j.suspects, uint32(len(j.tris)))
	}
	if p.loose || q.loose || r.loose {
		j.loose = append(j.loose, uint32(len(j.tris)))
	}
	j.tris = append(j.tris, id)
	j.tags = append(j.tags, tag)
}

// deviation marks the block in hand when the middle of a triangle or of an edge
// is too far from the surface.
func (j *joiner) deviation(p, q, r vec.P) {
	if j.b.deviant&j.round == j.round {
		return
	}
	tol := j.m.opt.Tol * deviantShare
	for _, c := range [4]vec.P{p.Add(q).Add(r).Mul(1.0 / 3), p.Lerp(q, 0.5), q.Lerp(r, 0.5), r.Lerp(p, 0.5)} {
		if d, _ := j.b.local.At(c); math.Abs(d) > tol {
			j.b.deviant |= j.round
		}
	}
}

// deviantShare is the share of the tolerance that a triangle of the first mesh
// may be off. What is off more is refined.
const deviantShare = 1.0

// diagonal returns 0 for the diagonal from vertex 0 to 2, 1 for 1 to 3. One
// that makes a sliver loses (three vertices along a crease); else one that
// joins two features wins; else the shorter.
func diagonal(v *[4]vertex) int {
	short := 0
	if v[1].at.Sub(v[3].at).Len2() < v[0].at.Sub(v[2].at).Len2() {
		short = 1
	}
	if v[0].class|v[1].class|v[2].class|v[3].class == smooth {
		return short
	}
	q0 := min(roundness(v[0].at, v[1].at, v[2].at), roundness(v[0].at, v[2].at, v[3].at))
	q1 := min(roundness(v[1].at, v[2].at, v[3].at), roundness(v[1].at, v[3].at, v[0].at))
	if min(q0, q1) < sliver && max(q0, q1) > 2*min(q0, q1) {
		if q1 > q0 {
			return 1
		}
		return 0
	}
	f02, f13 := v[0].class > 0 && v[2].class > 0, v[1].class > 0 && v[3].class > 0
	if f02 != f13 {
		if f13 {
			return 1
		}
		return 0
	}
	return short
}

// suspect is the cosine between a triangle's normal and the way out of its
// edge below which it may face the wrong way.
const suspect = 0.15

// sliver is the roundness below which a triangle is one.
const sliver = 0.05

// roundness returns a triangle's height over its longest edge: 0 for none, 0.87 for
// three equal sides.
func roundness(a, b, c vec.P) float64 {
	u, v, w := b.Sub(a), c.Sub(a), c.Sub(b)
	l := max(u.Len2(), v.Len2(), w.Len2())
	if l == 0 {
		return 0
	}
	return u.Cross(v).Len() / l
}
