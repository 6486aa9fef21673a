package contour

import (
	"context"
	"maps"
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Tidying: where a crease passes from one row of cells to the next, two cells
// can hold the same point of it, and triangles between them have no height or
// lie folded on their neighbours. Such triangles are cured one by one: an edge
// is turned, or collapsed onto one of its ends, whichever leaves the fewest
// bad triangles. The mesh stays closed: an edge is collapsed only where the
// link condition holds (T. Dey and others, Topology preserving edge
// contraction, 1999), and turned only where the new edge is new.

// leastHeight is the height in mm below which a triangle is degenerate: float32
// coordinates round to a tenth of that at 10 mm.
const leastHeight = 1e-4

// mostTidy bounds how often a bad triangle comes up again.
const mostTidy = 4

// tidier cures the bad triangles of a mesh.
type tidier struct {
	m     *mesher
	out   *mesh.Mesh
	class []uint8
	near  []bool              // vertices whose triangles are known
	fan   map[uint32][]uint32 // their triangles
	dead  map[uint32]bool
	gone  []uint32 // vertices without a triangle now
	field sounder
}

// tidy cures the triangles that may be bad and those that turn bad with them.
// What changes is added to the loose ones. Dead triangles and vertices stay
// until the mesh is made compact.
func (m *mesher) tidy(ctx context.Context, out *joined) *tidier {
	t := &tidier{m: m, out: &out.Mesh, class: out.class, fan: map[uint32][]uint32{}, dead: map[uint32]bool{}, field: sounder{m: m}}
	out.loose = append(out.loose, out.suspects...)
	todo := t.worst(ctx, out.suspects)
	if len(todo) == 0 {
		return t
	}
	t.index(ctx, todo)
	for _, v := range out.held {
		t.near[v] = false
	}
	for range mostTidy {
		var left []uint32
		for len(todo) > 0 && ctx.Err() == nil {
			i := todo[0]
			todo = todo[1:]
			if t.dead[i] || !t.bad(t.out.T[i]) {
				continue
			}
			if fresh, ok := t.cure(i); ok {
				todo = append(todo, fresh...)
				out.loose = append(out.loose, fresh...)
			} else {
				left = append(left, i)
			}
		}
		if len(left) == 0 {
			break
		}
		todo = left
	}
	return t
}

// worst returns those of the triangles that are bad.
func (t *tidier) worst(ctx context.Context, among []uint32) (bad []uint32) {
	const chunk = 512
	found := make([][]uint32, (len(among)+chunk-1)/chunk)
	_ = t.m.parallel(ctx, len(found), func(_ *worker, k int) { // who called looks at ctx
		one := tidier{m: t.m, out: t.out, field: sounder{m: t.m}}
		for _, i := range among[k*chunk : min((k+1)*chunk, len(among))] {
			if one.bad(t.out.T[i]) {
				found[k] = append(found[k], i)
			}
		}
	})
	return slices.Concat(found...)
}

// tidyRings is how far from a bad triangle the mesh may change, in edges.
const tidyRings = 3

// index lists the triangles of each vertex near the bad triangles.
func (t *tidier) index(ctx context.Context, bad []uint32) {
	t.near = make([]bool, len(t.out.V))
	for _, i := range bad {
		for _, v := range t.out.T[i] {
			t.near[v] = true
		}
	}
	n := t.near
	for range tidyRings {
		ring := t.pick(ctx, func(tr [3]uint32) bool {
			return (n[tr[0]] || n[tr[1]] || n[tr[2]]) && !(n[tr[0]] && n[tr[1]] && n[tr[2]])
		})
		for _, i := range ring {
			for _, v := range t.out.T[i] {
				n[v] = true
			}
		}
	}
	for _, i := range t.pick(ctx, func(tr [3]uint32) bool { return n[tr[0]] || n[tr[1]] || n[tr[2]] }) {
		for _, v := range t.out.T[i] {
			if n[v] {
				t.fan[v] = append(t.fan[v], i)
			}
		}
	}
}

// pick returns the triangles that are wanted.
func (t *tidier) pick(ctx context.Context, wanted func([3]uint32) bool) []uint32 {
	const chunk = 1 << 14
	found := make([][]uint32, (len(t.out.T)+chunk-1)/chunk)
	_ = t.m.parallel(ctx, len(found), func(_ *worker, k int) { // who called looks at ctx
		for i := k * chunk; i < min((k+1)*chunk, len(t.out.T)); i++ {
			if wanted(t.out.T[i]) {
				found[k] = append(found[k], uint32(i))
			}
		}
	})
	return slices.Concat(found...)
}

// around returns the triangles of a vertex near a bad triangle.
func (t *tidier) around(v uint32) []uint32 { return t.fan[v] }

// holds reports whether p lies in block k.
func (g *grid) holds(k key, p vec.P) bool {
	c, half := g.middle(k)
	d := p.Sub(c)
	return max(math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)) <= half
}

// leaf returns the leaf block in which p lies.
func (m *mesher) leaf(p vec.P) *block {
	q := p.Sub(m.origin)
	place := func(x float64) int32 { return int32(math.Floor(x / (m.unit * side))) }
	k := key{uint8(m.top), place(q.X), place(q.Y), place(q.Z)}
	if _, ok := k.step(0, 0, 0); !ok {
		return nil
	}
	b, _ := m.covering(k)
	return b
}

// bad reports whether a triangle has no height or faces against the surface.
func (t *tidier) bad(tr [3]uint32) bool {
	a, b, c := t.out.V[tr[0]], t.out.V[tr[1]], t.out.V[tr[2]]
	n := b.Sub(a).Cross(c.Sub(a))
	longest := math.Sqrt(max(b.Sub(a).Len2(), c.Sub(b).Len2(), a.Sub(c).Len2()))
	if n.Len() < leastHeight*longest || longest == 0 {
		return true
	}
	mid := a.Add(b).Add(c).Mul(1.0 / 3)
	local := t.field.local(mid)
	if local == nil {
		return false
	}
	_, w := local.At(mid)
	_, g := local.Slope(w, mid)
	return g.Dot(n) <= 0
}

// weight says how bad a triangle is: 2, or 1 where two of its vertices lie in
// one place and can be made one, or 0.
func (t *tidier) weight(tr [3]uint32) int {
	if !t.bad(tr) {
		return 0
	}
	a, b, c := t.out.V[tr[0]], t.out.V[tr[1]], t.out.V[tr[2]]
	if min(a.Sub(b).Len2(), b.Sub(c).Len2(), c.Sub(a).Len2()) < leastHeight*leastHeight {
		return 1
	}
	return 2
}

// off returns how far the field says that p is off the surface, at least.
func (t *tidier) off(p vec.P) float64 {
	local := t.field.local(p)
	if local == nil {
		return math.Inf(1)
	}
	v, _ := local.At(p)
	return math.Abs(v)
}

// fits reports whether a new triangle stays within the tolerance.
func (t *tidier) fits(tr [3]uint32) bool {
	a, b, c := t.out.V[tr[0]], t.out.V[tr[1]], t.out.V[tr[2]]
	tol := t.m.opt.Tol
	return t.off(a.Add(b).Add(c).Mul(1.0/3)) <= tol && t.off(a.Lerp(b, 0.5)) <= tol &&
		t.off(b.Lerp(c, 0.5)) <= tol && t.off(c.Lerp(a, 0.5)) <= tol
}

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
	return tri, apex, found == 3 && apex[0] != apex[1] && t.near[u] && t.near[v]
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
	if !ok || !t.near[apex[0]] || !t.near[apex[1]] || t.joined(apex[0], apex[1]) {
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
	if !t.near[apex[0]] || !t.near[apex[1]] || t.joined(apex[0], apex[1]) || len(t.around(u)) < 5 || len(t.around(v)) < 5 {
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

// moved returns the triangle with u in place of v.
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
	if !t.near[u] || !t.near[v] || !t.near[apex[0]] || !t.near[apex[1]] {
		return false
	}
	for _, i := range t.around(u) {
		for _, w := range t.out.T[i] {
			if w != u && w != v && w != apex[0] && w != apex[1] && t.joined(v, w) {
				return false
			}
		}
	}
	// an apex whose only triangles are these two would be left with none
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
		t.dead[i] = true
		for _, w := range t.out.T[i] {
			if w != u {
				t.without(w, i)
			}
		}
	}
	t.fan[u] = nil
	t.gone = append(t.gone, u)
	return fresh
}

// with and without change the fans of vertices that have one.
func (t *tidier) with(v, i uint32) {
	if t.near[v] {
		t.fan[v] = append(t.fan[v], i)
	}
}

func (t *tidier) without(v, i uint32) {
	if k := slices.Index(t.fan[v], i); k >= 0 {
		t.fan[v] = slices.Delete(t.fan[v], k, k+1)
	}
}

// compact takes out dead triangles and vertices without a triangle.
func (t *tidier) compact() []uint8 {
	o := t.out
	dead := slices.Sorted(maps.Keys(t.dead))
	for i, d := range dead {
		next := uint32(len(o.T))
		if i+1 < len(dead) {
			next = dead[i+1]
		}
		copy(o.T[int(d)-i:], o.T[d+1:next])
		copy(o.Tag[int(d)-i:], o.Tag[d+1:next])
	}
	n := len(o.T) - len(dead)
	o.T, o.Tag = o.T[:n], o.Tag[:n]
	if t.m.opt.Cell == 0 {
		return compact(o, t.class)
	}
	return t.fill()
}

// fill takes out vertices that were moved onto others: the last ones get their
// numbers. Of cells of one size all others have triangles.
func (t *tidier) fill() []uint8 {
	o := t.out
	slices.Sort(t.gone)
	n := len(o.V) - len(t.gone)
	to := make([]uint32, len(t.gone)) // new numbers of vertices n, n+1, ...
	holes := t.gone
	for v := n; v < len(o.V); v++ {
		if _, gone := slices.BinarySearch(t.gone, uint32(v)); gone {
			continue
		}
		to[v-n] = holes[0]
		o.V[holes[0]], t.class[holes[0]] = o.V[v], t.class[v]
		holes = holes[1:]
	}
	if len(to) > 0 {
		for i := range o.T {
			for k, v := range o.T[i] {
				if int(v) >= n {
					o.T[i][k] = to[int(v)-n]
				}
			}
		}
	}
	o.V = o.V[:n]
	return t.class[:n]
}

// compact takes out vertices without a triangle, and their classes, if there
// are any.
func compact(o *mesh.Mesh, class []uint8) []uint8 {
	number := make([]uint32, len(o.V))
	for _, tr := range o.T {
		for _, v := range tr {
			number[v] = 1
		}
	}
	n := uint32(0)
	for v := range o.V {
		if number[v] == 0 {
			continue
		}
		o.V[n] = o.V[v]
		if class != nil {
			class[n] = class[v]
		}
		number[v] = n
		n++
	}
	for i := range o.T {
		for k, v := range o.T[i] {
			o.T[i][k] = number[v]
		}
	}
	o.V = o.V[:n]
	return class[:min(int(n), len(class))]
}
