package contour

import (
	"context"
	"math"
)

// Cures: some triangles come from the mesher folded onto a neighbour, where
// the vertices of a crease stand in the wrong order, or too low to print. One
// of their corners is moved onto a neighbour if the triangles that this makes
// are sound; even one that would otherwise stay, since it must be within
// tolerance of them like all that moves.

// cures moves the corners of unsound triangles of the plot.
func (h *hand) cures(ctx context.Context) {
	r := h.r
	for i := range h.plot.verts {
		if i%64 == 0 && ctx.Err() != nil {
			return
		}
		u := h.plot.vertex(i)
		if r.out[u] < 0 {
			continue
		}
		for e, n := r.out[u], r.valence(u, mostRing); n > 0; n-- {
			if e%3 == 0 && !h.isSound(e/3) && h.cure(e) {
				break
			}
			e = r.turn(e)
		}
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
				if _, ok := h.make(k, true); ok && h.measured(k) {
					h.commit(k)
					for _, v := range h.ring[:h.n] {
						h.r.state[v] &^= settled
					}
					return true
				}
			}
		}
		e = next(e)
	}
	return false
}
