package contour

import "slices"

// How one triangle is cured.

// cure is one way to cure a triangle.
type cure struct {
	gain  int // weight of bad triangles less
	shape float64
	how   remedy
	u, v  uint32 // the edge
}

// remedy is what is done to an edge.
type remedy uint8

const (
	flipped remedy = iota // it becomes the other diagonal of its two triangles
	merged                // u moves onto v
	zipped                // both triangles go: their third vertices lie in one place and become one
)

// cure improves the triangle, and returns the triangles that changed.
func (t *tidier) cure(i uint32) (fresh []uint32, ok bool) {
	best := cure{}
	tr := t.out.T[i]
	for k := range 3 {
		u, v := tr[k], tr[(k+1)%3]
		for _, c := range [4]cure{t.tryTurn(u, v), t.tryCollapse(u, v), t.tryCollapse(v, u), t.tryZip(u, v)} {
			if c.gain > best.gain || c.gain == best.gain && c.gain > 0 && c.shape > best.shape {
				best = c
			}
		}
	}
	if best.gain <= 0 {
		return nil, false
	}
	switch best.how {
	case merged:
		return t.collapse(best.u, best.v), true
	case zipped:
		_, apex, _ := t.sides(best.u, best.v)
		t.turn(best.u, best.v)
		return t.collapse(apex[0], apex[1]), true
	}
	return t.turn(best.u, best.v), true
}

// sides returns the two triangles of an edge and their third vertices: first
// the one that runs from u to v.
func (t *tidier) sides(u, v uint32) (tri, apex [2]uint32, ok bool) {
	found := 0
	for _, i := range t.around(u) {
		tr := t.out.T[i]
		for k := range 3 {
			switch {
			case tr[k] == u && tr[(k+1)%3] == v:
				tri[0], apex[0] = i, tr[(k+2)%3]
				found |= 1
			case tr[k] == v && tr[(k+1)%3] == u:
				tri[1], apex[1] = i, tr[(k+2)%3]
				found |= 2
			}
		}
	}
	return tri, apex, found == 3 && apex[0] != apex[1] && t.near.has(u) && t.near.has(v)
}

// joined reports whether an edge runs between u and v.
func (t *tidier) joined(u, v uint32) bool {
	for _, i := range t.around(u) {
		if slices.Contains(t.out.T[i][:], v) {
			return true
		}
	}
	return false
}

func (t *tidier) round(tr [3]uint32) float64 {
	return roundness(t.out.V[tr[0]], t.out.V[tr[1]], t.out.V[tr[2]])
}

// tryTurn says what turning the edge u, v would do.
func (t *tidier) tryTurn(u, v uint32) cure {
	tri, apex, ok := t.sides(u, v)
	if !ok || !t.near.has(apex[0]) || !t.near.has(apex[1]) || t.joined(apex[0], apex[1]) {
		return cure{}
	}
	a, b := [3]uint32{apex[0], u, apex[1]}, [3]uint32{apex[1], v, apex[0]}
	c := cure{u: u, v: v}
	c.gain = t.weight(t.out.T[tri[0]]) + t.weight(t.out.T[tri[1]]) - t.weight(a) - t.weight(b)
	if c.gain <= 0 || !t.fits(a) || !t.fits(b) {
		return cure{}
	}
	c.shape = min(t.round(a), t.round(b))
	return c
}

// tryZip says what taking out both triangles of the edge u, v and making one
// of their third vertices would do.
func (t *tidier) tryZip(u, v uint32) cure {
	tri, apex, ok := t.sides(u, v)
	if !ok || t.out.V[apex[0]].Sub(t.out.V[apex[1]]).Len() > leastHeight {
		return cure{}
	}
	if !t.near.has(apex[0]) || !t.near.has(apex[1]) || t.joined(apex[0], apex[1]) || len(t.around(u)) < 5 || len(t.around(v)) < 5 {
		return cure{}
	}
	for _, i := range t.around(apex[0]) {
		for _, w := range t.out.T[i] {
			if w != apex[0] && w != u && w != v && t.joined(apex[1], w) {
				return cure{}
			}
		}
	}
	return cure{u: u, v: v, how: zipped, gain: t.weight(t.out.T[tri[0]]) + t.weight(t.out.T[tri[1]])}
}

// tryCollapse says what moving u onto v would do.
func (t *tidier) tryCollapse(u, v uint32) cure {
	p, q := t.out.V[u], t.out.V[v]
	apart := p.Sub(q).Len()
	if apart > leastHeight {
		if t.class[u] > t.class[v] || t.class[u] == corner {
			return cure{}
		}
		if t.class[u] == crease && t.off(p.Lerp(q, 0.5)) > t.m.opt.Tol*alongCrease {
			return cure{}
		}
	}
	_, apex, ok := t.sides(u, v)
	if !ok || !t.linked(u, v, apex) {
		return cure{}
	}
	c := cure{u: u, v: v, how: merged, shape: 1}
	for _, i := range t.around(u) {
		old := t.out.T[i]
		c.gain += t.weight(old)
		if slices.Contains(old[:], v) {
			continue
		}
		tr := moved(old, u, v)
		c.gain -= t.weight(tr)
		c.shape = min(c.shape, t.round(tr))
		if apart > leastHeight && !t.fits(tr) {
			return cure{}
		}
	}
	return c
}

// alongCrease is the share of the tolerance by which the middle of an edge
// between two points of a crease may be off where it runs along the crease.
const alongCrease = 0.5

// moved returns the triangle with v in place of u.
func moved(tr [3]uint32, u, v uint32) [3]uint32 {
	for k := range tr {
		if tr[k] == u {
			tr[k] = v
		}
	}
	return tr
}

// linked reports whether the only neighbours that u and v share are the two
// apexes of their edge.
func (t *tidier) linked(u, v uint32, apex [2]uint32) bool {
	if !t.near.has(u) || !t.near.has(v) || !t.near.has(apex[0]) || !t.near.has(apex[1]) {
		return false
	}
	for _, i := range t.around(u) {
		for _, w := range t.out.T[i] {
			if w != u && w != v && w != apex[0] && w != apex[1] && t.joined(v, w) {
				return false
			}
		}
	}
	// each apex loses a triangle: two that are left alone would lie back to back
	return len(t.around(apex[0])) > 3 && len(t.around(apex[1])) > 3
}

// turn replaces the edge u, v by the other diagonal of its two triangles.
func (t *tidier) turn(u, v uint32) []uint32 {
	tri, apex, _ := t.sides(u, v)
	t.out.T[tri[0]] = [3]uint32{apex[0], u, apex[1]}
	t.out.T[tri[1]] = [3]uint32{apex[1], v, apex[0]}
	t.without(u, tri[1])
	t.without(v, tri[0])
	t.with(apex[0], tri[1])
	t.with(apex[1], tri[0])
	return tri[:]
}

// collapse moves u onto v and returns the triangles that changed.
func (t *tidier) collapse(u, v uint32) []uint32 {
	var fresh []uint32
	for _, i := range slices.Clone(t.around(u)) {
		if !slices.Contains(t.out.T[i][:], v) {
			t.out.T[i] = moved(t.out.T[i], u, v)
			t.with(v, i)
			fresh = append(fresh, i)
			continue
		}
		t.dead = append(t.dead, i)
		for _, w := range t.out.T[i] {
			if w != u {
				t.without(w, i)
			}
		}
		t.out.T[i] = [3]uint32{v, v, v}
	}
	t.fan[t.near.number(u)] = nil
	t.gone = append(t.gone, u)
	return fresh
}

// with and without change the fans of vertices that have one.
func (t *tidier) with(v, i uint32) {
	if t.near.has(v) {
		f := &t.fan[t.near.number(v)]
		*f = append(*f, i)
	}
}

func (t *tidier) without(v, i uint32) {
	if !t.near.has(v) {
		return
	}
	f := &t.fan[t.near.number(v)]
	if k := slices.Index(*f, i); k >= 0 {
		*f = slices.Delete(*f, k, k+1)
	}
}
