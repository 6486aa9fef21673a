package contour

import (
	"context"
	"fmt"
	"math"

	"waxwright/geom/crew"
	"waxwright/geom/vec"
)

// net is a closed triangle mesh that knows its neighbours. Half-edge 3t+k runs
// from corner k of triangle t to the next; everything is kept in flat arrays,
// so that goroutines that work in disjoint parts of it write different words.
type net struct {
	at   []vec.P  // vertices
	org  []uint32 // the vertex that a half-edge leaves, or dead
	twin []int32  // the half-edge that runs the other way
	mark []uint8  // isLine and isSeam, equal on twins
	out  []int32  // a half-edge that leaves the vertex, -1 where there is none
}

// dead stands for the vertices of a triangle that is gone.
const dead = math.MaxUint32

// Marks of half-edges.
const (
	isLine uint8 = 1 << iota // two faces meet at an angle
	isSeam                   // two owners meet
)

func next(h int32) int32 {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

func prev(h int32) int32 {
	if h%3 == 0 {
		return h + 2
	}
	return h - 1
}

// dest returns the vertex that h runs to.
func (n *net) dest(h int32) uint32 { return n.org[next(h)] }

// turn returns the half-edge that leaves h's vertex next, counter-clockwise.
func (n *net) turn(h int32) int32 { return n.twin[prev(h)] }

// pace is how many triangles or edges are gone through between two looks at a
// context: a few milliseconds.
const pace = 1 << 16

// newNet finds the neighbours of all triangles. It fails where an edge has not
// exactly two opposed triangles, or a vertex more than one fan.
func newNet(ctx context.Context, at []vec.P, t [][3]uint32, workers int) (*net, error) {
	if len(t) > math.MaxInt32/3 {
		return nil, fmt.Errorf("contour: %d triangles are too many to reduce", len(t))
	}
	n := &net{
		at:   at,
		org:  make([]uint32, 3*len(t)),
		twin: make([]int32, 3*len(t)),
		mark: make([]uint8, 3*len(t)),
		out:  make([]int32, len(at)),
	}
	leaving, err := n.name(ctx, t)
	if err != nil {
		return nil, err
	}
	err = inChunks(ctx, workers, len(n.org), func(h int) error {
		v, w := n.org[h], n.dest(int32(h))
		n.twin[h] = -1
		same := 0
		for _, e := range leaving.from(w) {
			if n.dest(e) == v {
				n.twin[h] = e
				same++
			}
		}
		if same != 1 || v == w {
			return fmt.Errorf("contour: edge %d-%d at %v has %d opposed triangles", v, w, at[v], same)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return n, inChunks(ctx, workers, len(at), func(v int) error {
		n.out[v] = -1
		l := leaving.from(uint32(v))
		if len(l) == 0 {
			return nil
		}
		n.out[v] = l[0]
		fan := 1
		for h := n.turn(l[0]); h != l[0] && fan <= len(l); h = n.turn(h) {
			fan++
		}
		if fan != len(l) {
			return fmt.Errorf("contour: vertex %d at %v has more than one fan", v, at[v])
		}
		return nil
	})
}

// departures are the half-edges that leave each vertex, in one array.
type departures struct {
	first []int32 // of vertex v: at v+1
	all   []int32
}

// from returns the half-edges that leave v.
func (d departures) from(v uint32) []int32 {
	end := int32(len(d.all))
	if int(v)+2 < len(d.first) {
		end = d.first[v+2]
	}
	return d.all[d.first[v+1]:end]
}

// name takes the vertices of the half-edges over from the triangles t.
func (n *net) name(ctx context.Context, t [][3]uint32) (d departures, err error) {
	first := make([]int32, len(n.at)+1)
	for i, tri := range t {
		if i%pace == 0 && ctx.Err() != nil {
			return d, ctx.Err()
		}
		for k, v := range tri {
			if int(v) >= len(n.at) {
				return d, fmt.Errorf("contour: triangle %d names vertex %d of %d", i, v, len(n.at))
			}
			n.org[3*i+k] = v
			first[v+1]++
		}
	}
	for v := range n.at {
		if !n.at[v].Finite() {
			return d, fmt.Errorf("contour: vertex %d is not finite: %v", v, n.at[v])
		}
		first[v+1] += first[v]
	}
	all := make([]int32, len(n.org))
	for h := len(n.org) - 1; h >= 0; h-- { // after this first[v+1] is v's start
		if h%pace == 0 && ctx.Err() != nil {
			return d, ctx.Err()
		}
		v := n.org[h]
		first[v+1]--
		all[first[v+1]] = int32(h)
	}
	return departures{first, all}, nil
}

// inChunks calls f(i) for i in [0, n), many at a time, and returns the first of
// its errors, by i.
func inChunks(ctx context.Context, workers, n int, f func(i int) error) error {
	const chunk = 1 << 14
	errs := make([]error, (n+chunk-1)/chunk)
	err := crew.Each(ctx, workers, len(errs), func(_, c int) {
		for i := c * chunk; i < min((c+1)*chunk, n) && errs[c] == nil; i++ {
			errs[c] = f(i)
		}
	})
	if err != nil {
		return err
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// valence returns the number of v's neighbours, at most most.
func (n *net) valence(v uint32, most int) int {
	c := 1
	for h := n.turn(n.out[v]); h != n.out[v] && c < most; h = n.turn(h) {
		c++
	}
	return c
}

// between returns the half-edge from v to w, -1 where they are no neighbours.
func (n *net) between(v, w uint32) int32 {
	h := n.out[v]
	for {
		if n.dest(h) == w {
			return h
		}
		if h = n.turn(h); h == n.out[v] {
			return -1
		}
	}
}

// shared returns the number of neighbours that v and w have in common.
func (n *net) shared(v, w uint32) int {
	c := 0
	for h := n.out[v]; ; {
		if n.between(w, n.dest(h)) >= 0 {
			c++
		}
		if h = n.turn(h); h == n.out[v] {
			return c
		}
	}
}

// linked reports whether the mesh stays a closed 2-manifold of the same genus
// when the vertex that h leaves moves onto its neighbour: the two share no
// neighbours but the tips of their two triangles (the link condition), and
// these keep three neighbours.
func (n *net) linked(h int32) bool {
	t := n.twin[h]
	a, b := n.org[prev(h)], n.org[prev(t)]
	if a == b || n.valence(a, 4) < 4 || n.valence(b, 4) < 4 {
		return false
	}
	u, v := n.org[h], n.org[t]
	for e := n.turn(t); e != t; e = n.turn(e) { // round v
		w := n.dest(e)
		if w == a || w == b {
			continue
		}
		for f := n.turn(h); f != h; f = n.turn(f) {
			if n.dest(f) == w {
				return false
			}
		}
	}
	return u != v
}

// collapse moves the vertex that h leaves onto the one it runs to. The edge
// must be linked.
func (n *net) collapse(h int32) {
	t := n.twin[h]
	u, v := n.org[h], n.org[t]
	for e := n.turn(h); e != h; e = n.turn(e) {
		n.org[e] = v
	}
	n.org[h] = v
	for _, h := range [2]int32{h, t} {
		x, y := n.twin[next(h)], n.twin[prev(h)]
		m := n.mark[x] | n.mark[y]
		n.twin[x], n.twin[y] = y, x
		n.mark[x], n.mark[y] = m, m
		n.out[n.org[x]], n.out[n.org[y]] = x, y
		k := h - h%3
		n.org[k], n.org[k+1], n.org[k+2] = dead, dead, dead
	}
	n.out[u] = -1
}

// flip turns the edge of h in the quad of its two triangles: p-q with the tips
// x and y becomes x-y. The triangle of h is then y, q, x, that of its twin
// x, p, y, each beginning with the new edge's half.
func (n *net) flip(h int32) {
	t := n.twin[h]
	hn, hp, tn, tp := next(h), prev(h), next(t), prev(t)
	p, q, x, y := n.org[h], n.org[t], n.org[hp], n.org[tp]
	qx, xp, py, yq := n.twin[hn], n.twin[hp], n.twin[tn], n.twin[tp]
	mqx, mxp, mpy, myq := n.mark[hn], n.mark[hp], n.mark[tn], n.mark[tp]
	// h: x -> y, hn: y -> q, hp: q -> x; t: y -> x, tn: x -> p, tp: p -> y
	n.org[h], n.org[hn], n.org[hp] = x, y, q
	n.org[t], n.org[tn], n.org[tp] = y, x, p
	n.pair(hn, yq, myq)
	n.pair(hp, qx, mqx)
	n.pair(tn, xp, mxp)
	n.pair(tp, py, mpy)
	n.mark[h], n.mark[t] = 0, 0
	n.out[x], n.out[y], n.out[q], n.out[p] = h, t, hp, tp
}

func (n *net) pair(a, b int32, m uint8) {
	n.twin[a], n.twin[b] = b, a
	n.mark[a], n.mark[b] = m, m
}
