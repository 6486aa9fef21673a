package contour

import (
	"context"
	"math"
)

// Cures: some triangles come from the mesher folded onto a neighbour, where
// the vertices of a crease stand in the wrong order, or too low to print. One
// of their corners is moved onto a neighbour if the triangles that this makes
// are sound; even one that would otherwise stay, since it must be within
// tolerance of them like all that moves. And where two vertices lie in one
// place, with nothing between them but triangles that cover each other, they
// become one.

// cures betters the unsound places of the plot.
func (h *hand) cures(ctx context.Context) {
	r := h.r
	for i := range h.plot.verts {
		if i%64 == 0 && ctx.Err() != nil {
			return
		}
		u := h.plot.vertex(i)
		if r.out[u] < 0 || h.cutFlap(u) {
			continue
		}
		for e, n := r.out[u], r.valence(u, mostRing); n > 0; n-- {
			if u < r.dest(e) && h.stitch(e) || e%3 == 0 && !h.isSound(e/3) && h.cure(e) {
				break
			}
			e = r.turn(e)
		}
	}
}

// wake lets vertices be asked for moves again.
func (h *hand) wake(vs ...uint32) {
	for _, v := range vs {
		h.r.state[v] &^= settled
	}
}

// isSound reports whether a triangle is high enough to print and does not look
// against the surface.
func (h *hand) isSound(t int32) bool {
	v, p := h.r.corners(t)
	f, ok := newFacet(t, v, p[0], p[1], p[2])
	return ok && h.f.off(f.middle, f.n, math.Inf(1)) < math.Inf(1)
}

// cure moves one of the corners of e's triangle.
func (h *hand) cure(e int32) bool {
	for range 3 {
		if h.gather(h.r.org[e]) {
			for k := range h.n {
				if !h.r.linked(h.edge[k]) {
					continue
				}
				if _, ok := h.make(k, true); ok && h.chord(k, true) && h.spared(k) && h.fits(k) {
					h.commit(k)
					h.wake(h.ring[:h.n]...)
					return true
				}
			}
		}
		e = next(e)
	}
	return false
}

// spared reports whether nothing is missed where the vertex in hand was once it
// has moved onto neighbour k: the new triangles or those of the neighbour are
// within tolerance, or the vertex was not on the surface.
func (h *hand) spared(k int) bool {
	r := h.r
	p, tol := r.at[h.u], kept*r.opt.tol
	if h.covers(p, tol) {
		return true
	}
	if d, _, _ := h.f.local(p).Slope(p); math.Abs(d) > tol {
		return true
	}
	v := h.ring[k]
	for e := r.out[v]; ; {
		w, q := r.corners(e / 3)
		if w[0] != h.u && w[1] != h.u && w[2] != h.u && toTriangle(p, q[0], q[1], q[2]) <= tol {
			return true
		}
		if e = r.turn(e); e == r.out[v] {
			return false
		}
	}
}

// stitch is reducer.stitch within the plot.
func (h *hand) stitch(e int32) bool {
	r := h.r
	t := r.twin[e]
	vs := [4]uint32{r.org[e], r.org[t], r.org[prev(e)], r.org[prev(t)]}
	if !r.close(vs[2], vs[3]) {
		return false
	}
	for _, v := range vs {
		if !h.gather(v) {
			return false
		}
	}
	if !r.stitch(e) {
		return false
	}
	h.wake(vs[:]...)
	return true
}

// cutFlap takes away a vertex between two that lie in one place: its four
// triangles are two pairs that cover each other.
func (h *hand) cutFlap(u uint32) bool {
	r := h.r
	if r.valence(u, 5) != 4 || !h.gather(u) {
		return false
	}
	ring, edge := h.ring, h.edge
	for k := range 2 {
		v, w, a, b := ring[k], ring[k+2], ring[k+1], ring[(k+3)%4]
		if !r.close(v, w) || !h.gather(v) || r.between(v, w) >= 0 || r.valence(a, 5) < 5 || r.valence(b, 5) < 5 || !r.linked(edge[k]) || r.shared(v, w) != 3 {
			continue
		}
		r.collapse(edge[k])
		r.collapse(r.between(v, w))
		h.wake(w, a, b)
		return true
	}
	return false
}
