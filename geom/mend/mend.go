// Package mend takes the last flaws out of a mesh: folds, crossings and needles
// of a few microns that meshing leaves where surfaces meet at a grazing angle.
//
// It moves corners of flawed triangles onto neighbours, merges corners in one
// place, and opens needles, round by round, as long as the judge finds fewer
// flaws. Guaranteed: topology stays what it was (every
// collapse keeps the link condition), untouched triangles stay bit for bit, the
// result never has more flaws than what was given, and the same mesh gives the
// same result. Not guaranteed: that none are left; judge the result.
package mend

import (
	"cmp"
	"context"
	"math"
	"slices"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Surface returns how far in mm a point lies from the surface that the mesh
// stands for.
type Surface func(vec.P) float64

// The bounds of the work: rounds in all, rounds without a gain before more
// triangles round the flaws are taken in, and the most triangles that are
// taken for flawed (beyond it the mesh is beyond mending).
const (
	mostRounds = 40
	patience   = 3
	mostFlaws  = 5000
)

// Mend mends m in place as files will hold it, rounded to float32, and returns
// how far the new triangles stray from the surface at most, and where; tol is how
// far those of m may. Its only error is that of ctx.
func Mend(ctx context.Context, m *mesh.Mesh, s Surface, tol float64, workers int) (mesh.Stray, error) {
	best, strayed := m, mesh.Stray{}
	flaws, bad, err := find(ctx, m, workers)
	if err != nil || flaws == 0 || len(bad) > mostFlaws {
		return mesh.Stray{}, err
	}
	now, stray, stale := clone(m), mesh.Stray{}, 0
	for range mostRounds {
		w := newWork(now, s, tol)
		if stale < patience {
			w.most = tol // first without a loss of accuracy
		}
		moved := w.round(bad, stale/patience)
		now = w.result()
		stray = stray.Farther(w.stray)
		n, b, err := find(ctx, now, workers)
		if err != nil {
			return mesh.Stray{}, err
		}
		bad = b
		if n < flaws {
			best, strayed, flaws, stale = clone(now), stray, n, 0
		} else {
			stale++
		}
		if flaws == 0 || stale > 4*patience || moved == 0 && stale > patience {
			break
		}
	}
	if best != m {
		*m = *best
	}
	return strayed, nil
}

func clone(m *mesh.Mesh) *mesh.Mesh {
	return &mesh.Mesh{V: slices.Clone(m.V), T: slices.Clone(m.T), Tag: slices.Clone(m.Tag)}
}

// find judges m as files hold it and returns how many flaws there are and
// which triangles have them, in order.
func find(ctx context.Context, m *mesh.Mesh, workers int) (int, []uint32, error) {
	round := m.Float32()
	r, err := manifold.JudgeCtx(ctx, round, manifold.Options{Keep: mostFlaws, Workers: workers})
	if err != nil {
		return 0, nil, err
	}
	n := 0
	var bad []uint32
	for _, d := range r.Defects {
		if d.Kind == manifold.Touch {
			continue
		}
		bad = append(bad, d.T...)
	}
	for k, c := range r.Count {
		if manifold.Kind(k) != manifold.Touch {
			n += c
		}
	}
	// corners that a file can't tell apart
	first := map[vec.P]uint32{}
	twin := make([]bool, len(m.V))
	for v, p := range round.V {
		if u, ok := first[p]; ok {
			twin[u], twin[v] = true, true
			n++
			continue
		}
		first[p] = uint32(v)
	}
	for t, c := range m.T {
		if twin[c[0]] || twin[c[1]] || twin[c[2]] {
			bad = append(bad, uint32(t))
		}
	}
	slices.Sort(bad)
	return n, slices.Compact(bad), nil
}

// work is one round of mending.
type work struct {
	most  float64 // that a new triangle may stray, mm
	tol   float64
	m     *mesh.Mesh
	s     Surface
	at    [][]uint32 // triangles round each vertex
	gone  []bool     // triangles
	held  []bool     // vertices that this round has changed something at
	stray mesh.Stray
}

func newWork(m *mesh.Mesh, s Surface, tol float64) *work {
	w := &work{m: m, s: s, tol: tol, most: mostStray * tol, at: make([][]uint32, len(m.V)), gone: make([]bool, len(m.T)), held: make([]bool, len(m.V))}
	for t, c := range m.T {
		for _, v := range c {
			w.at[v] = append(w.at[v], uint32(t))
		}
	}
	return w
}

// round tries a collapse at every bad triangle, with rings more triangles
// round each, and returns how many it made.
func (w *work) round(bad []uint32, rings int) int {
	for range rings {
		for _, t := range bad {
			for _, v := range w.m.T[t] {
				bad = append(bad, w.at[v]...)
			}
		}
		slices.Sort(bad)
		bad = slices.Compact(bad)
	}
	n := 0
	for _, t := range bad {
		if !w.gone[t] && (w.zip(t) || w.cure(t) || w.raise(t)) {
			n++
		}
	}
	return n
}

// zip merges two corners that lie in one place and face each other across an
// edge of t, and takes the two triangles between them out: a turn of the edge
// and a collapse in one.
func (w *work) zip(t uint32) bool {
	c := w.m.T[t]
	for k := range 3 {
		a, b, u := c[k], c[(k+1)%3], c[(k+2)%3]
		for _, o := range w.at[a] {
			d := w.m.T[o]
			if o == t || w.gone[o] || !has(d, b) {
				continue
			}
			v := d[0] + d[1] + d[2] - a - b // modulo 2^32: what is left is exact
			if v == u || w.m.V[u].Sub(w.m.V[v]).Len() > oneplace || w.held[u] || w.held[v] || w.held[a] || w.held[b] {
				continue
			}
			nu, nv := w.around(u), w.around(v)
			if _, joined := slices.BinarySearch(nu, v); joined || shared(nu, nv) != 2 {
				continue
			}
			w.gone[t], w.gone[o] = true, true
			w.collapse(move{from: u, onto: v, to: w.m.V[v]})
			return true
		}
	}
	return false
}

// oneplace is how near in mm two corners lie in one place: what a needle of no
// height may measure (manifold.DefaultThin).
const oneplace = manifold.DefaultThin

// raise moves the corner of a needle that all but lies on its longest edge away
// from that edge, by what a needle may measure twice over. It is for needles
// among needles, where no collapse fits.
func (w *work) raise(t uint32) bool {
	c := w.m.T[t]
	k, long := 0, 0.0
	for i := range 3 {
		if l := w.m.V[c[i]].Sub(w.m.V[c[(i+1)%3]]).Len(); l > long {
			k, long = i, l
		}
	}
	u := c[(k+2)%3]
	a, along := w.m.V[c[k]], w.m.V[c[(k+1)%3]].Sub(w.m.V[c[k]]).Mul(1/long)
	out := w.m.V[u].Sub(a)
	out = out.Sub(along.Mul(out.Dot(along)))
	h := out.Len()
	if h == 0 || h > oneplace {
		return false
	}
	e := move{from: u, onto: u, to: w.m.V[u].Add(out.Mul(2 * oneplace / h))}
	for _, o := range w.at[u] {
		if !w.allows(&e, o) {
			return false
		}
	}
	w.m.V[u] = e.to
	w.strays(&e)
	for _, o := range w.at[u] {
		for _, v := range w.m.T[o] {
			w.held[v] = true
		}
	}
	return true
}

// move is a collapse: from goes onto onto, and stands at to.
type move struct {
	from, onto uint32
	to         vec.P
	cost       float64 // how far the new triangles stray, mm
}

// cure makes the collapse round t that strays least.
func (w *work) cure(t uint32) bool {
	var all []move
	c := w.m.T[t]
	for k := range 3 {
		u, v := c[k], c[(k+1)%3]
		for _, e := range []move{
			{from: u, onto: v, to: w.m.V[v]}, {from: v, onto: u, to: w.m.V[u]},
			{from: u, onto: v, to: w.m.V[u].Lerp(w.m.V[v], 0.5)},
		} {
			if w.fits(&e) {
				all = append(all, e)
			}
		}
	}
	if len(all) == 0 {
		return false
	}
	e := slices.MinFunc(all, func(a, b move) int { return cmp.Compare(a.cost, b.cost) })
	w.collapse(e)
	w.strays(&e)
	return true
}

// strays notes what a move costs.
func (w *work) strays(e *move) { w.stray = w.stray.Farther(mesh.Stray{By: e.cost, At: e.to}) }

// farthest is the longest way that a corner is moved, and mostStray the most that
// a new triangle may stray, in tolerances: flaws are some cells wide.
const (
	farthest  = 30
	mostStray = 3
)

// fits says whether a collapse is allowed, and finds its cost.
func (w *work) fits(e *move) bool {
	if w.m.V[e.from].Sub(w.m.V[e.onto]).Len() > farthest*w.tol || !w.linked(e.from, e.onto) {
		return false
	}
	for _, end := range []uint32{e.from, e.onto} {
		for _, t := range w.at[end] {
			c := w.m.T[t]
			if has(c, e.from) && has(c, e.onto) {
				if w.held[c[0]] || w.held[c[1]] || w.held[c[2]] {
					return false
				}
				continue
			}
			if !w.allows(e, t) {
				return false
			}
		}
	}
	return true
}

// allows says whether a move leaves a triangle in shape, and adds to its cost.
func (w *work) allows(e *move, t uint32) bool {
	var p, old [3]vec.P
	for k, v := range w.m.T[t] {
		if w.held[v] {
			return false
		}
		old[k], p[k] = w.m.V[v], w.m.V[v]
		if v == e.from || v == e.onto {
			p[k] = e.to
		}
	}
	n := p[1].Sub(p[0]).Cross(p[2].Sub(p[0]))
	long := max(p[1].Sub(p[0]).Len(), p[2].Sub(p[1]).Len(), p[0].Sub(p[2]).Len())
	if n.Len() < 1.5*manifold.DefaultThin*long {
		return false
	}
	was := old[1].Sub(old[0]).Cross(old[2].Sub(old[0]))
	sound := was.Len() > 0.01*long*long // a flawed triangle's normal says nothing
	if sound && n.Unit().Dot(was.Unit()) < turns {
		return false
	}
	mid := p[0].Add(p[1]).Add(p[2]).Mul(1. / 3)
	for _, q := range []vec.P{mid, p[0].Lerp(p[1], 0.5), p[1].Lerp(p[2], 0.5), p[2].Lerp(p[0], 0.5)} {
		e.cost = max(e.cost, math.Abs(w.s(q)))
	}
	return e.cost <= w.most
}

// turns is the cosine of the largest angle that a well-shaped triangle may turn
// by in a collapse: 60 degrees.
const turns = 0.5

// linked is the link condition: u and v share exactly the two neighbours that
// face their edge, so that the collapse keeps the topology (T. Dey and others,
// "Topology preserving edge contraction", 1999).
func (w *work) linked(u, v uint32) bool {
	nu, nv := w.around(u), w.around(v)
	if len(nu) < 4 && len(nv) < 4 { // the last of a tetrahedron
		return false
	}
	faces := 0
	for _, t := range w.at[u] {
		if has(w.m.T[t], v) {
			faces++
		}
	}
	return shared(nu, nv) == 2 && faces == 2
}

// around returns the neighbours of v in order.
func (w *work) around(v uint32) []uint32 {
	var ns []uint32
	for _, t := range w.at[v] {
		for _, n := range w.m.T[t] {
			if n != v {
				ns = append(ns, n)
			}
		}
	}
	slices.Sort(ns)
	return slices.Compact(ns)
}

// shared counts what two sorted lists share.
func shared(a, b []uint32) int {
	n := 0
	for _, v := range a {
		if _, ok := slices.BinarySearch(b, v); ok {
			n++
		}
	}
	return n
}

func has(c [3]uint32, v uint32) bool { return c[0] == v || c[1] == v || c[2] == v }

// collapse makes a move and holds all that it touched until the next round.
func (w *work) collapse(e move) {
	w.m.V[e.onto] = e.to
	for _, t := range w.at[e.from] {
		c := &w.m.T[t]
		if has(*c, e.onto) {
			w.gone[t] = true
		}
	}
	for _, end := range []uint32{e.from, e.onto} {
		for _, t := range w.at[end] {
			for k, v := range w.m.T[t] {
				w.held[v] = true
				if v == e.from && !w.gone[t] {
					w.m.T[t][k] = e.onto
				}
			}
		}
	}
}

// result drops what is gone.
func (w *work) result() *mesh.Mesh {
	out := &mesh.Mesh{}
	at := make([]uint32, len(w.m.V))
	for i := range at {
		at[i] = math.MaxUint32
	}
	for t, c := range w.m.T {
		if w.gone[t] {
			continue
		}
		for k, v := range c {
			if at[v] == math.MaxUint32 {
				at[v] = uint32(len(out.V))
				out.V = append(out.V, w.m.V[v])
			}
			c[k] = at[v]
		}
		out.T = append(out.T, c)
		if len(w.m.Tag) > 0 {
			out.Tag = append(out.Tag, w.m.Tag[t])
		}
	}
	return out
}
