package mesh

import (
	"math"

	"waxwright/geom/vec"
)

// Hit is a place on the surface.
type Hit struct {
	T    uint32  // the triangle
	P    vec.P   // the point on it
	Dist float64 // from the query point, or along the ray in lengths of its direction
}

// Near returns the point of the surface nearest to p, if one lies within the
// radius.
func (t *Tree) Near(p vec.P, radius float64) (Hit, bool) {
	return t.NearOf(p, radius, nil)
}

// NearOf is Near among the triangles that keep accepts; a nil keep accepts
// all.
func (t *Tree) NearOf(p vec.P, radius float64, keep func(triangle uint32) bool) (Hit, bool) {
	best := Hit{Dist: radius}
	found := false
	limit := radius * radius
	if len(t.node) == 0 || !(radius >= 0) {
		return best, false
	}
	type open struct {
		node uint32
		d2   float64
	}
	var stack [maxDepth]open
	stack[0] = open{0, t.node[0].dist2(p)}
	for top := 1; top > 0; {
		top--
		o := stack[top]
		if o.d2 > limit {
			continue
		}
		nd := &t.node[o.node]
		if nd.n == 0 {
			a, b := open{nd.first, t.node[nd.first].dist2(p)}, open{nd.first + 1, t.node[nd.first+1].dist2(p)}
			if a.d2 < b.d2 {
				a, b = b, a
			}
			stack[top], stack[top+1] = a, b // the nearer on top
			top += 2
			continue
		}
		for i := nd.first; i < nd.first+nd.n; i++ {
			if t.box[i].dist2(p) > limit {
				continue
			}
			id := t.tri[i]
			if keep != nil && !keep(id) {
				continue
			}
			a, b, c := t.m.Corners(int(id))
			q := nearOnTriangle(p, a, b, c)
			if d2 := q.Sub(p).Len2(); d2 <= limit && (d2 < limit || !found) {
				limit, found = d2, true
				best = Hit{T: id, P: q}
			}
		}
	}
	best.Dist = math.Sqrt(limit)
	return best, found
}

// dist2 returns the squared distance from p to b, 0 inside.
func (b *box32) dist2(p vec.P) float64 {
	x := beyond(b.lo[0], b.hi[0], p.X)
	y := beyond(b.lo[1], b.hi[1], p.Y)
	z := beyond(b.lo[2], b.hi[2], p.Z)
	return float64(x*x) + float64(y*y) + float64(z*z)
}

func beyond(lo, hi float32, x float64) float64 {
	if d := float64(lo) - x; d > 0 {
		return d
	}
	if d := x - float64(hi); d > 0 {
		return d
	}
	return 0
}

// nearOnTriangle returns the point of triangle abc nearest to p: its foot in
// the plane where that lies inside, else the nearest point of the three sides.
func nearOnTriangle(p, a, b, c vec.P) vec.P {
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	n := ab.Cross(ac)
	if nn := n.Len2(); nn > 0 {
		v := ap.Cross(ac).Dot(n) / nn
		w := ab.Cross(ap).Dot(n) / nn
		if v >= 0 && w >= 0 && v+w <= 1 {
			return a.Add(ab.Mul(v)).Add(ac.Mul(w))
		}
	}
	q := nearOnSegment(p, a, b)
	best := q.Sub(p).Len2()
	for _, r := range [2]vec.P{nearOnSegment(p, b, c), nearOnSegment(p, c, a)} {
		if d := r.Sub(p).Len2(); d < best {
			q, best = r, d
		}
	}
	return q
}

func nearOnSegment(p, a, b vec.P) vec.P {
	ab := b.Sub(a)
	d := ab.Len2()
	if d == 0 {
		return a
	}
	return a.Add(ab.Mul(min(max(p.Sub(a).Dot(ab)/d, 0), 1)))
}

// Ray returns the first place where the ray from o along dir meets the
// surface, no further than reach lengths of dir. A ray through an edge or a
// corner meets at least one of the triangles there.
func (t *Tree) Ray(o, dir vec.P, reach float64) (Hit, bool) {
	best := Hit{Dist: reach}
	found := false
	t.alongRay(o, dir, &best.Dist, func(id uint32, s float64) {
		if s < best.Dist || !found {
			best.T, best.Dist, found = id, s, true
		}
	})
	if found {
		best.P = o.Add(dir.Mul(best.Dist))
	}
	return best, found
}

// RayAll calls f for every triangle that the ray meets, in no useful order, no
// further than reach lengths of dir. A ray through an edge meets the triangles
// on both sides of it.
func (t *Tree) RayAll(o, dir vec.P, reach float64, f func(Hit)) {
	t.alongRay(o, dir, &reach, func(id uint32, s float64) {
		f(Hit{id, o.Add(dir.Mul(s)), s})
	})
}

// alongRay calls f for the triangles that the ray meets within *reach, which f
// may shorten.
//
// The triangle test is that of S. Woop, C. Benthin, I. Wald, "Watertight
// ray/triangle intersection", JCGT 2013: the corners are sheared so that the
// ray runs along one axis, and the sides are tested in the plane; both
// triangles at an edge compute the same numbers, so no ray slips between.
func (t *Tree) alongRay(o, dir vec.P, reach *float64, f func(id uint32, s float64)) {
	if dir == (vec.P{}) {
		return
	}
	sh := newShear(o, dir)
	t.nearRay(o, dir, reach, func(id uint32) bool {
		a, b, c := t.m.Corners(int(id))
		if s, ok := sh.hit(a, b, c); ok && s <= *reach {
			f(id, s)
		}
		return true
	})
}

// nearRay calls f for every triangle in a leaf whose box the ray meets within
// *reach, the nearer leaves first, until f returns false.
func (t *Tree) nearRay(o, dir vec.P, reach *float64, f func(id uint32) bool) {
	if len(t.node) == 0 {
		return
	}
	inv := vec.P{X: 1 / dir.X, Y: 1 / dir.Y, Z: 1 / dir.Z}
	var stack [maxDepth]uint32
	for top := 1; top > 0; {
		top--
		nd := &t.node[stack[top]]
		if !nd.onRay(o, inv, *reach) {
			continue
		}
		if nd.n == 0 {
			near, far := nd.first, nd.first+1
			if t.node[far].entry(o, inv) < t.node[near].entry(o, inv) {
				near, far = far, near
			}
			stack[top], stack[top+1] = far, near
			top += 2
			continue
		}
		for i := nd.first; i < nd.first+nd.n; i++ {
			if !f(t.tri[i]) {
				return
			}
		}
	}
}

// slack widens the slabs by the rounding of their own arithmetic: three
// operations of relative error 2^-53 each (Ize, "Robust BVH ray traversal",
// JCGT 2013).
const slack = 1 + 4.0/(1<<53)

// span returns where the ray enters and leaves the box; directions parallel to
// a side give infinities, and NaN on the side itself, which is let through.
func (b *box32) span(o, inv vec.P) (in, out float64) {
	in, out = 0, math.Inf(1)
	slab := func(lo, hi float32, o, inv float64) {
		s, e := (float64(lo)-o)*inv, (float64(hi)-o)*inv
		if s > e {
			s, e = e, s
		}
		if s > in {
			in = s
		}
		if e < out {
			out = e
		}
	}
	slab(b.lo[0], b.hi[0], o.X, inv.X)
	slab(b.lo[1], b.hi[1], o.Y, inv.Y)
	slab(b.lo[2], b.hi[2], o.Z, inv.Z)
	return in, out * slack
}

func (b *box32) onRay(o, inv vec.P, reach float64) bool {
	in, out := b.span(o, inv)
	return in <= out && in <= reach
}

func (b *box32) entry(o, inv vec.P) float64 {
	in, _ := b.span(o, inv)
	return in
}

// shear takes space to axes in which the ray starts at 0 and runs along z.
type shear struct {
	o          vec.P
	axis       int // the longest of the direction
	sx, sy, sz float64
}

func newShear(o, d vec.P) shear {
	axis := 0
	if math.Abs(d.Y) > math.Abs(d.X) {
		axis = 1
	}
	if math.Abs(d.Z) > max(math.Abs(d.X), math.Abs(d.Y)) {
		axis = 2
	}
	d = turned(d, axis)
	return shear{o, axis, d.X / d.Z, d.Y / d.Z, 1 / d.Z}
}

// turned cycles the axes so that the given one becomes z.
func turned(p vec.P, axis int) vec.P {
	switch axis {
	case 0:
		return vec.P{X: p.Y, Y: p.Z, Z: p.X}
	case 1:
		return vec.P{X: p.Z, Y: p.X, Z: p.Y}
	}
	return p
}

func (s *shear) point(p vec.P) vec.P {
	p = turned(p.Sub(s.o), s.axis)
	return vec.P{X: p.X - float64(s.sx*p.Z), Y: p.Y - float64(s.sy*p.Z), Z: float64(s.sz * p.Z)}
}

func (s *shear) hit(a, b, c vec.P) (float64, bool) {
	a, b, c = s.point(a), s.point(b), s.point(c)
	u := float64(c.X*b.Y) - float64(c.Y*b.X)
	v := float64(a.X*c.Y) - float64(a.Y*c.X)
	w := float64(b.X*a.Y) - float64(b.Y*a.X)
	if (u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0) {
		return 0, false
	}
	det := u + v + w
	if det == 0 {
		return 0, false
	}
	z := (float64(u*a.Z) + float64(v*b.Z) + float64(w*c.Z)) / det
	return z, z >= 0
}

// InBox calls f for every triangle whose own box meets b, until f returns
// false.
func (t *Tree) InBox(b vec.Box, f func(triangle uint32) bool) {
	if len(t.node) == 0 || b.IsEmpty() {
		return
	}
	q := outwards(b)
	var stack [maxDepth]uint32
	for top := 1; top > 0; {
		top--
		nd := &t.node[stack[top]]
		if !nd.meets(&q) {
			continue
		}
		if nd.n == 0 {
			stack[top], stack[top+1] = nd.first+1, nd.first
			top += 2
			continue
		}
		for i := nd.first; i < nd.first+nd.n; i++ {
			if t.box[i].meets(&q) && !f(t.tri[i]) {
				return
			}
		}
	}
}
