package contour

import (
	"context"
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
	near  numbering  // vertices that may change
	fan   [][]uint32 // their triangles, by their numbers
	dead  []uint32   // triangles taken out: all corners are one vertex
	gone  []uint32   // vertices without a triangle now
	loose []uint32   // triangles that changed
	field sounder
}

// isDead reports whether a triangle has been taken out.
func isDead(tr [3]uint32) bool { return tr[0] == tr[1] }

// tidy cures the triangles that may be bad and those that turn bad with them.
// What changes is added to the loose ones. Dead triangles and vertices stay
// until the mesh is made compact.
func (m *mesher) tidy(ctx context.Context, out *joined) *tidier {
	t := &tidier{m: m, out: &out.Mesh, class: out.class, field: sounder{m: m}}
	out.loose = append(out.loose, out.suspects...)
	bad := t.worst(ctx, out.suspects)
	if len(bad) == 0 {
		return t
	}
	// triangles of different regions share nothing that changes
	regions := t.regions(ctx, bad, out.held)
	each := make([]tidier, len(regions))
	_ = m.parallel(ctx, len(regions), func(_ *worker, k int) { // who called looks at ctx
		one := &each[k]
		*one = *t
		one.cures(ctx, regions[k])
	})
	for k := range each {
		t.dead = append(t.dead, each[k].dead...)
		t.gone = append(t.gone, each[k].gone...)
		out.loose = append(out.loose, each[k].loose...)
	}
	return t
}

// cures cures bad triangles and those that turn bad with them.
func (t *tidier) cures(ctx context.Context, todo []uint32) {
	for range mostTidy {
		var left []uint32
		for len(todo) > 0 && ctx.Err() == nil {
			i := todo[0]
			todo = todo[1:]
			if isDead(t.out.T[i]) || !t.bad(t.out.T[i]) {
				continue
			}
			if fresh, ok := t.cure(i); ok {
				todo = append(todo, fresh...)
				t.loose = append(t.loose, fresh...)
			} else {
				left = append(left, i)
			}
		}
		if len(left) == 0 {
			break
		}
		todo = left
	}
}

// worst returns those of the triangles that are bad.
func (t *tidier) worst(ctx context.Context, among []uint32) (bad []uint32) {
	chunk, n := share(len(among), 512)
	found := make([][]uint32, n)
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
