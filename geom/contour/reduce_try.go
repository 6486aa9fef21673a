package contour

import (
	"math"

	"waxwright/geom/vec"
)

// facet is a triangle to be: its corners and what is known of it.
type facet struct {
	id      int32
	v       [3]uint32
	p       [3]vec.P
	n       vec.P // unit normal
	middle  vec.P
	longest float64 // edge
}

// newFacet returns the triangle of three vertices; ok is false where it is too
// low to print.
func newFacet(id int32, v [3]uint32, a, b, c vec.P) (f facet, ok bool) {
	x, y, z := b.Sub(a), c.Sub(b), a.Sub(c)
	n := x.Cross(y)
	l2 := max(x.Len2(), y.Len2(), z.Len2())
	d := n.Len()
	f = facet{id: id, v: v, p: [3]vec.P{a, b, c}, longest: math.Sqrt(l2)}
	if d < lowest*f.longest {
		return f, false
	}
	f.n = n.Mul(1 / d)
	f.middle = a.Add(b).Add(c).Mul(1.0 / 3)
	return f, true
}

// flatness in mm is how near to the plane of each new triangle a vertex lies
// that leaves no trace: if it lies in all of them, the triangles round it lie in
// one plane, or in two that meet in a line along which it moves. It is far more
// than roundings, and with triangles of the least height that turn about the
// line far less than any tolerance.
const flatness = 1e-8

// stands reports whether the vertex in hand may move onto neighbour k, and
// leaves the triangles that this makes in made. What costs least is asked
// first.
func (h *hand) stands(k int) bool {
	r := h.r
	if !r.linked(h.edge[k]) {
		return false
	}
	same, ok := h.make(k, false)
	if !ok {
		return false
	}
	if !h.chord(k, false) {
		return false
	}
	return same || h.covers(r.at[h.u], kept*r.opt.tol) && h.fits(k)
}

// make lists the triangles of a move in made. It returns false where one of
// them would be too low or, unless they are to be cured, turn too
// far; same tells that they cover the same points as the old.
func (h *hand) make(k int, cure bool) (same, ok bool) {
	r := h.r
	v, to, from := h.ring[k], h.pos[k], r.at[h.u]
	h.made = h.made[:0]
	leg := from.Sub(to)
	same = true
	for i := range h.n {
		j := i + 1
		if j == h.n {
			j = 0
		}
		if i == k || j == k {
			continue
		}
		a, b := h.pos[i], h.pos[j]
		f, ok := newFacet(h.edge[i]/3, [3]uint32{v, h.ring[i], h.ring[j]}, to, a, b)
		if !ok {
			return false, false
		}
		old := a.Sub(from).Cross(b.Sub(from))
		l := old.Len()
		edge := max(a.Sub(from).Len2(), b.Sub(from).Len2(), b.Sub(a).Len2())
		if !cure && l*l > lowest*lowest*edge && old.Dot(f.n) < cosTurn*l {
			return false, false
		}
		same = same && math.Abs(leg.Dot(f.n)) <= flatness
		h.made = append(h.made, f)
	}
	return same, true
}

// fits reports whether the triangles made by a move onto neighbour k are within
// tolerance of the surface and cross no others.
func (h *hand) fits(k int) bool {
	tol := kept * h.r.opt.tol
	for i := range h.made {
		if !h.f.lies(&h.made[i], tol) {
			return false
		}
	}
	for i := range h.made { // each new edge is the first side of one triangle
		if f := &h.made[i]; f.v[1] != h.ring[(k+1)%h.n] && h.f.off(f.p[0].Lerp(f.p[1], 0.5), f.n, tol) > tol {
			return false
		}
	}
	return !h.near.crossing(h.made, h.u)
}

// covers reports whether p is within tol of one of the new triangles.
func (h *hand) covers(p vec.P, tol float64) bool {
	for i := range h.made {
		f := &h.made[i]
		if toTriangle(p, f.p[0], f.p[1], f.p[2]) <= tol {
			return true
		}
	}
	return false
}

// toTriangle returns the distance from p to the triangle a, b, c.
func toTriangle(p, a, b, c vec.P) float64 {
	n := b.Sub(a).Cross(c.Sub(a))
	in := true
	best := math.Inf(1)
	for _, e := range [3][2]vec.P{{a, b}, {b, c}, {c, a}} {
		d, w := e[1].Sub(e[0]), p.Sub(e[0])
		if n.Cross(d).Dot(w) < 0 {
			in = false
			t := min(max(d.Dot(w)/d.Len2(), 0), 1)
			best = min(best, w.Sub(d.Mul(t)).Len())
		}
	}
	if in {
		return math.Abs(n.Dot(p.Sub(a))) / n.Len()
	}
	return best
}

// chord reports whether the crease or seam stays where it is when a vertex
// along it moves onto neighbour k. In a cure the vertex itself may have been
// out of line.
func (h *hand) chord(k int, cure bool) bool {
	r := h.r
	tol := kept * r.opt.tol
	if r.rank[h.u] != along {
		return true
	}
	other := -1
	for j := range h.n {
		if j != k && r.mark[h.edge[j]] != 0 {
			other = j
		}
	}
	if other < 0 {
		return false
	}
	a, b, p := h.pos[k], h.pos[other], r.at[h.u]
	d := b.Sub(a)
	t := min(max(d.Dot(p.Sub(a))/d.Len2(), 0), 1)
	moved := p.Sub(a.Add(d.Mul(t))).Len()
	if r.mark[h.edge[k]]&isLine == 0 {
		return moved+float64(max(r.drift[h.u], r.drift[h.ring[k]], r.drift[h.ring[other]])) <= seamDrift
	}
	if moved > tol && !cure {
		return false
	}
	// the two triangles that will meet there, and the first one's third corner
	var n [2]vec.P
	var tip vec.P
	c := 0
	for i := range h.made {
		f := &h.made[i]
		if f.v[1] != h.ring[other] && f.v[2] != h.ring[other] {
			continue
		}
		if c == 0 && f.v[1] == h.ring[other] {
			tip = f.p[2]
		} else if c == 0 {
			tip = f.p[1]
		}
		n[c] = f.n
		if c++; c == 2 {
			break
		}
	}
	if c == 1 { // the edge is there already: one of the two stays as it is
		i := other
		if other == k+1 || k == h.n-1 && other == 0 {
			i = k
		}
		n[1] = r.unit(r.twin[next(h.edge[i])] / 3)
	}
	return h.f.onCrease(a.Lerp(b, 0.5), n, tip, tol)
}

// commit makes the move that stood last: onto neighbour k.
func (h *hand) commit(k int) {
	r := h.r
	if r.rank[h.u] == along && r.mark[h.edge[k]]&isLine == 0 {
		h.noteDrift(k)
	}
	h.near.add(h.made)
	r.collapse(h.edge[k])
}

// noteDrift notes how far a seam moves.
func (h *hand) noteDrift(k int) {
	r := h.r
	for j := range h.n {
		if j == k || r.mark[h.edge[j]] == 0 {
			continue
		}
		d := h.pos[j].Sub(h.pos[k])
		w := r.at[h.u].Sub(h.pos[k])
		t := min(max(d.Dot(w)/d.Len2(), 0), 1)
		moved := r.drift[h.u] + float32(w.Sub(d.Mul(t)).Len())
		for _, v := range [2]uint32{h.ring[k], h.ring[j]} {
			r.drift[v] = max(r.drift[v], moved)
		}
	}
}
