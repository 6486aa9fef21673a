package contour

import (
	"context"
	"math"
)

// What a flip must better.
const (
	betterShape = 1.3  // times the lesser roundness of the two triangles
	betterFit   = 0.25 // tolerances of the edge's deviation
	wellShaped  = 0.3  // a roundness that may be given up for a better fit
)

// flips turns the edges of the plot that are better turned.
func (h *hand) flips(ctx context.Context) {
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
			following := r.turn(e)
			if u < r.dest(e) && r.mark[e] == 0 && h.flippable(e) {
				h.turnEdge(e)
				break // u's fan is another now
			}
			e = following
		}
	}
}

// turnEdge flips e and wakes its quad.
func (h *hand) turnEdge(e int32) {
	r := h.r
	t := r.twin[e]
	h.near.add(h.made)
	r.flip(e)
	h.wake(r.org[e], r.org[t], r.org[prev(e)], r.org[prev(t)])
}

// flippable reports whether the edge e may be turned and is better so, and
// leaves the triangles that this makes in made.
func (h *hand) flippable(e int32) bool {
	r := h.r
	t := r.twin[e]
	p, q, x, y := r.org[e], r.org[t], r.org[prev(e)], r.org[prev(t)]
	for _, v := range [4]uint32{p, q, x, y} {
		if r.plotOf[v] != h.plot.number {
			return false
		}
	}
	P, Q, X, Y := r.at[p], r.at[q], r.at[x], r.at[y]
	a, ok1 := newFacet(e/3, [3]uint32{x, y, q}, X, Y, Q)
	b, ok2 := newFacet(t/3, [3]uint32{y, x, p}, Y, X, P)
	if !ok1 || !ok2 || a.n.Dot(b.n) < cosTurn {
		return false
	}
	was, is := min(roundness(P, Q, X), roundness(Q, P, Y)), min(roundness(X, Y, Q), roundness(Y, X, P))
	if is < min(was/betterShape, wellShaped) {
		return false
	}
	tol := kept * r.opt.tol
	now, then := h.f.off(P.Lerp(Q, 0.5), a.n, math.Inf(1)), h.f.off(X.Lerp(Y, 0.5), a.n, tol)
	fits := then < now-betterFit*r.opt.tol
	shapely := is > was*betterShape && then <= max(0.5*tol, now)
	if then > tol || !fits && !shapely {
		return false
	}
	if n := r.unit(e / 3); roundness(P, Q, X) > flatShape && (n.Dot(a.n) < cosTurn || n.Dot(b.n) < cosTurn) {
		return false
	}
	if n := r.unit(t / 3); roundness(Q, P, Y) > flatShape && (n.Dot(a.n) < cosTurn || n.Dot(b.n) < cosTurn) {
		return false
	}
	if r.valence(p, 4) < 4 || r.valence(q, 4) < 4 || r.valence(x, mostRing) >= mostRing-1 || r.valence(y, mostRing) >= mostRing-1 || r.between(x, y) >= 0 {
		return false
	}
	h.made = append(h.made[:0], a, b)
	return h.f.lies(&a, tol) && h.f.lies(&b, tol) && !h.near.crossing(h.made, dead)
}

// flatShape is the roundness of a triangle whose normal says little.
const flatShape = 1e-3
