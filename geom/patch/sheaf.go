package patch

import (
	"cmp"
	"math"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// most is the most surfaces that may pass along one curve.
const most = 4

// sheaf is several surfaces that pass along one curve, and in which of their
// cases (bit i of a case's number: inside of surface i) there is matter.
type sheaf struct {
	n     int
	ids   [most]int32
	cases uint16
}

// needed returns the sheaf without the surfaces on which the matter does not
// depend, its further places -1.
func (h sheaf) needed() sheaf {
	for i := 0; i < h.n; {
		dep := false
		for c := range 1 << h.n {
			dep = dep || h.cases>>c&1 != h.cases>>(c^1<<i)&1
		}
		if dep {
			i++
			continue
		}
		var cases uint16
		for c := range 1 << (h.n - 1) {
			low := c & (1<<i - 1)
			cases |= h.cases >> ((c-low)<<1 | low) & 1 << c
		}
		copy(h.ids[i:], h.ids[i+1:h.n])
		h.n--
		h.ids[h.n] = -1
		h.cases = cases
	}
	return h
}

// without returns the sheaf where surface j is inside exactly where surface i is, or
// where that is outside.
func (h sheaf) without(j, i int, opposite bool) sheaf {
	r := sheaf{n: h.n - 1, ids: h.ids}
	copy(r.ids[j:], h.ids[j+1:h.n])
	r.ids[r.n] = -1
	if i > j {
		i--
	}
	for c := range 1 << r.n {
		low := c & (1<<j - 1)
		full := (c-low)<<1 | low
		if c>>i&1 != 0 != opposite {
			full |= 1 << j
		}
		r.cases |= h.cases >> full & 1 << c
	}
	return r
}

// of reports whether both surfaces of a pair are in the sheaf.
func (h sheaf) of(pr pair) bool {
	return slices.Contains(h.ids[:h.n], pr.a) && slices.Contains(h.ids[:h.n], pr.b)
}

// ray is half of a surface beside a curve on which matter begins or ends.
type ray struct {
	id   int32
	dir  vec.P // square to the curve, away from it
	flip bool  // matter is where the surface's function is positive
}

// fan returns the rays round a curve with the tangent t at p, in order.
func (b *builder) fan(h sheaf, p, t vec.P) ([]ray, error) {
	e1 := t.Square()
	e2 := t.Cross(e1)
	type half struct {
		ray
		angle float64
	}
	var n [most]vec.P
	var all []half
	for i, id := range h.ids[:h.n] {
		_, g := b.slope(id, p)
		n[i] = g.Sub(t.Mul(t.Dot(g)))
		dir := t.Cross(n[i]).Unit()
		for _, d := range [2]vec.P{dir, dir.Neg()} {
			all = append(all, half{ray{id: id, dir: d}, math.Atan2(d.Dot(e2), d.Dot(e1))})
		}
	}
	slices.SortStableFunc(all, func(x, y half) int { return cmp.Compare(x.angle, y.angle) })
	matter := func(k int) bool { // in the sector after ray k
		from, to := all[k].angle, all[(k+1)%len(all)].angle
		if to < from {
			to += 2 * math.Pi
		}
		s, c := math.Sincos((from + to) / 2)
		d := e1.Mul(c).Add(e2.Mul(s))
		row := 0
		for i := range h.n {
			if n[i].Dot(d) < 0 {
				row |= 1 << i
			}
		}
		return h.cases>>row&1 != 0
	}
	var rays []ray
	for k := range all {
		next := all[(k+1)%len(all)].angle - all[k].angle
		if next < 0 {
			next += 2 * math.Pi
		}
		if next < leastAngle {
			return nil, refuse("faces that touch along a curve", p)
		}
		after, before := matter(k), matter((k+len(all)-1)%len(all))
		if after == before {
			continue
		}
		r := all[k].ray
		_, g := b.slope(r.id, p)
		turns := t.Cross(r.dir) // from the ray into the sector after it
		r.flip = g.Dot(turns) > 0 == after
		rays = append(rays, r)
	}
	return rays, nil
}

// level returns the sheaf at p without planes on which a rounded end lies that is in
// it, too: the end stands for both.
func (b *builder) level(h sheaf, p vec.P) sheaf {
	for j := 0; j < h.n; j++ {
		plane := &b.surf[h.ids[j]]
		if plane.Form != sdf.FormPlane || !b.face(h.ids[j]) {
			continue
		}
		for i, id := range h.ids[:h.n] {
			end := &b.surf[id]
			if end.Form != sdf.FormRim || end.U.Cross(plane.U).Len() > sameTilt || math.Abs(b.value(id, p)) > exact || !b.flat(end, p, probe) {
				continue
			}
			h = h.without(j, i, end.U.Dot(plane.U) < 0)
			j--
			break
		}
	}
	return h
}

// bundled returns the table of a sheaf's curve, empty where it is no crease or
// another pair of the sheaf stands for it.
func (b *builder) bundled(pr pair, h sheaf, p, d vec.P) (table, error) {
	sine := func(x, y int32) float64 {
		_, m := b.slope(x, p)
		_, n := b.slope(y, p)
		return m.Cross(n).Len()
	}
	top := 0.0
	for i, x := range h.ids[:h.n] {
		for _, y := range h.ids[:i] {
			top = max(top, sine(x, y))
		}
	}
	first := pair{math.MaxInt32, math.MaxInt32}
	for i, x := range h.ids[:h.n] {
		for _, y := range h.ids[:i] {
			if q := (pair{min(x, y), max(x, y)}); sine(x, y) > top/2 && (q.a < first.a || q.a == first.a && q.b < first.b) {
				first = q
			}
		}
	}
	if first != pr {
		return table{}, nil
	}
	if d == (vec.P{}) {
		_, m := b.slope(pr.a, p)
		_, n := b.slope(pr.b, p)
		d = m.Cross(n).Unit()
	}
	rays, err := b.fan(h, p, d)
	switch {
	case err != nil:
		return table{}, err
	case len(rays) == 0, len(rays) == 2 && rays[0].id == rays[1].id:
		return table{}, nil
	case len(rays) > 2:
		return table{}, refuse("two bodies touch along an edge", p)
	}
	return table{sheaf: h}, nil
}
