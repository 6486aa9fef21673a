package contour

import (
	"context"
	"math"

	"waxwright/geom/vec"
)

// What a flip must better.
const (
	betterShape = 1.3  // times the lesser height over longest edge
	betterFit   = 0.25 // tolerances of the edge's deviation
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
	for _, v := range [4]uint32{r.org[e], r.org[t], r.org[prev(e)], r.org[prev(t)]} {
		r.state[v] &^= settled
	}
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
	if l := r.opt.longest; l > 0 && X.Sub(Y).Len() > l {
		return false
	}
	was := min(shape(P, Q, X), shape(Q, P, Y))
	is := min(shape(X, Y, Q), shape(Y, X, P))
	tol := kept * r.opt.tol
	if is < was*betterShape && is < 0.3 {
		// a worse shape must fit better
		if is < was/betterShape {
			return false
		}
	}
	now := h.f.off(P.Lerp(Q, 0.5), a.n, math.Inf(1))
	then := h.f.off(X.Lerp(Y, 0.5), a.n, tol)
	fits := then < now-betterFit*r.opt.tol
	shapely := is > was*betterShape && then <= max(0.5*tol, now)
	if then > tol || !fits && !shapely {
		return false
	}
	for _, o := range [2]int32{e / 3, t / 3} {
		if n := r.unit(o); shapeOf(r, o) > 1e-3 && (n.Dot(a.n) < cosTurn || n.Dot(b.n) < cosTurn) {
			return false
		}
	}
	if r.valence(p, 4) < 4 || r.valence(q, 4) < 4 || r.valence(x, mostRing) >= mostRing-1 || r.valence(y, mostRing) >= mostRing-1 || r.between(x, y) >= 0 {
		return false
	}
	h.made = append(h.made[:0], a, b)
	for i := range h.made {
		if !h.f.lies(&h.made[i], tol) {
			return false
		}
	}
	return !h.near.crossing(h.made, dead-1)
}

// shape returns a triangle's height over its longest edge.
func shape(a, b, c vec.P) float64 {
	x, y, z := b.Sub(a), c.Sub(b), a.Sub(c)
	l2 := max(x.Len2(), y.Len2(), z.Len2())
	if l2 == 0 {
		return 0
	}
	return x.Cross(y).Len() / l2
}

func shapeOf(r *reducer, t int32) float64 {
	return shape(r.at[r.org[3*t]], r.at[r.org[3*t+1]], r.at[r.org[3*t+2]])
}
