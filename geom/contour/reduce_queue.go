package contour

import (
	"context"
	"math"

	"waxwright/geom/vec"
)

// hand is the memory of one goroutine that reduces plots.
type hand struct {
	r    *reducer
	f    sampler
	near sheets
	plot *plot

	bucket [buckets][]uint32 // vertices that wait, by the cost of their best move
	head   [buckets]int      // how many of each have been taken
	low    int               // no lower bucket holds any

	// the vertex in hand and its neighbours, counter-clockwise
	u     uint32
	n     int
	ring  [mostRing]uint32
	edge  [mostRing]int32 // from u; its triangle is u, ring[i], ring[i+1]
	pos   [mostRing]vec.P
	nor   [mostRing]vec.P
	moves []move
	made  []facet
}

// move is a neighbour onto which the vertex in hand may move.
type move struct {
	k    int // place in the ring
	cost float64
}

// States of vertices.
const (
	waiting uint8 = 1 << iota // in a bucket
	settled                   // no move stands, as long as nothing round it changes
)

const (
	mostRing = 40  // neighbours; more slows each move, and edge flips take them away
	buckets  = 100 // four to an octave
	octaves  = 22  // below the tolerance that costs are told apart
	patience = 4   // buckets by which a settled vertex waits for more to change

	// wideEdge in mm is the new edge that costs as much as the tolerance: it
	// orders moves on flat faces, and matters little on those bent by less
	// than a metre.
	wideEdge = 5
	foreseen = 1.6 // tolerances: a move of higher cost is not worth a trial
	trials   = 5   // moves of one vertex that are tried at a time
)

func newHand(r *reducer) *hand {
	return &hand{r: r, f: sampler{s: r.s, tol: r.opt.tol}}
}

// work reduces a plot.
func (h *hand) work(ctx context.Context, p *plot, first bool) {
	h.plot = p
	h.f.enter(p.box)
	if first {
		h.prepare(ctx, p)
	}
	if ctx.Err() != nil {
		return
	}
	h.near.enter(h.r, p, first)
	for round := 0; ; round++ {
		for i := range p.verts {
			if u := p.vertex(i); h.r.state[u] == 0 && h.r.out[u] >= 0 {
				h.wait(u, 0)
			}
		}
		if !h.drain(ctx) || round == rounds {
			return
		}
		if round == 0 { // when few are left
			h.cures(ctx)
		}
		h.flips(ctx)
	}
}

// rounds of flips in a plot.
const rounds = 2

// bucketOf returns the bucket of a cost.
func (h *hand) bucketOf(cost float64) int {
	x := math.Ldexp(cost/h.r.opt.tol, octaves)
	if !(x > 1) {
		return 0
	}
	const mantissa, bias = 52, 1023
	return min(int(math.Float64bits(x)>>(mantissa-2))-bias<<2, buckets-1)
}

// wait puts u into a bucket.
func (h *hand) wait(u uint32, b int) {
	if h.r.rank[u] == fixed {
		return
	}
	h.r.state[u] = waiting
	b = min(b, buckets-1)
	h.bucket[b] = append(h.bucket[b], u)
	h.low = min(h.low, b)
}

// drain makes moves until none is left. It returns false where ctx ends.
func (h *hand) drain(ctx context.Context) bool {
	for n := 0; ; n++ {
		if n%64 == 0 && ctx.Err() != nil {
			return false
		}
		for h.low < buckets && h.head[h.low] == len(h.bucket[h.low]) {
			h.bucket[h.low], h.head[h.low] = h.bucket[h.low][:0], 0
			h.low++
		}
		if h.low == buckets {
			return true
		}
		u := h.bucket[h.low][h.head[h.low]]
		h.head[h.low]++
		h.r.state[u] = 0
		if h.r.out[u] < 0 || !h.gather(u) {
			continue
		}
		h.foresee()
		if len(h.moves) == 0 {
			h.r.state[u] = settled
			continue
		}
		if b := h.bucketOf(h.moves[0].cost); b > h.low {
			h.wait(u, b)
			continue
		}
		h.step()
	}
}

// step makes the best move that stands, or settles the vertex.
func (h *hand) step() {
	for _, m := range h.moves {
		if !h.stands(m.k) {
			continue
		}
		h.commit(m.k)
		for _, w := range h.ring[:h.n] {
			if h.r.state[w] == settled {
				h.wait(w, h.low+patience)
			}
		}
		return
	}
	h.r.state[h.u] = settled
}

// gather makes u the vertex in hand. It returns false where u or a neighbour
// lies outside the plot, or where it has too many.
func (h *hand) gather(u uint32) bool {
	r := h.r
	h.u, h.n = u, 0
	if r.plotOf[u] != h.plot.number {
		return false
	}
	for e := r.out[u]; ; {
		w := r.dest(e)
		if h.n == mostRing || r.plotOf[w] != h.plot.number {
			return false
		}
		h.ring[h.n], h.edge[h.n], h.pos[h.n] = w, e, r.at[w]
		o := r.normal[w]
		h.nor[h.n] = vec.P{X: float64(o[0]), Y: float64(o[1]), Z: float64(o[2])}
		h.n++
		if e = r.turn(e); e == r.out[u] {
			return true
		}
	}
}

// foresee lists the moves of the vertex in hand, best first. The cost of a move
// is the largest deviation of its new edges as the normals at their ends show
// it: on a curve of curvature k, an edge of length l leaves the surface by
// k l^2/8, and the end's tangent plane by k l^2/2.
func (h *hand) foresee() {
	h.moves = h.moves[:0]
	r := h.r
	limit := foreseen * r.opt.tol
	span := r.opt.tol / (wideEdge * wideEdge)
	for k := range h.n {
		if r.rank[h.u] == along && r.mark[h.edge[k]] == 0 {
			continue
		}
		worst, wide := 0.0, 0.0
		for j := range h.n {
			if d := j - k; d == 0 || d == 1 || d == -1 || d == h.n-1 || d == 1-h.n {
				continue
			}
			e := h.pos[j].Sub(h.pos[k])
			wide = max(wide, e.Len2())
			a, b := math.Abs(h.nor[j].Dot(e)), math.Abs(h.nor[k].Dot(e))
			if h.nor[j] != (vec.P{}) && h.nor[k] != (vec.P{}) {
				a /= 2
				b /= 2
			}
			worst = max(worst, a+b)
		}
		cost := worst/4 + wide*span
		if cost > limit {
			continue
		}
		i := len(h.moves)
		h.moves = append(h.moves, move{k, cost})
		for ; i > 0 && h.moves[i-1].cost > cost; i-- {
			h.moves[i] = h.moves[i-1]
		}
		h.moves[i] = move{k, cost}
		h.moves = h.moves[:min(len(h.moves), trials)]
	}
}
