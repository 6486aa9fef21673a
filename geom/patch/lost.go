package patch

import (
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// What was snapped is compared with the field that was given, of which nothing is
// known here but its values: neither may the mesh be off it, nor the mesh lack a
// piece of its surface. That is how sheets and gaps show that are so thin that
// they are gone.

// lostParts is into how many parts each way the root cube is divided in which
// points of the given surface are looked for.
const lostParts = 128

// faithful refuses a mesh of snapped surfaces that is not one of the given field.
func (b *builder) faithful(m *mesh.Mesh, tree *mesh.Tree) error {
	if err := b.snapped.whole(b); err != nil {
		return err
	}
	far := b.tol + b.moved
	off := func(p vec.P) error {
		if b.given.code.Distance(p) > far {
			return refuse("snapped surfaces that leave the tolerance", p)
		}
		return nil
	}
	err := b.each(len(m.V), func(_, i int) error { return off(m.V[i]) })
	if err != nil {
		return err
	}
	err = b.each(len(m.T), func(_, t int) error {
		x, y, z := m.Corners(t)
		return off(x.Add(y).Add(z).Mul(1.0 / 3))
	})
	if err != nil {
		return err
	}
	return b.eachPart(func(c vec.P, half float64) error {
		return b.reaches(tree, b.given.code.Whole(), c, half)
	})
}

// eachPart calls f for cubes that the root cube is divided into, several at a time.
func (b *builder) eachPart(f func(c vec.P, half float64) error) error {
	const n = rootParts
	half := b.root.half / n
	return b.each(n*n*n, func(_, i int) error {
		k := vec.P{X: float64(i%n)*2 + 1 - n, Y: float64(i/n%n)*2 + 1 - n, Z: float64(i/n/n)*2 + 1 - n}
		return f(b.root.at.Add(k.Mul(half)), half)
	})
}

const (
	// movedNear is how far round a cube surfaces are looked at that may have passed it,
	// in lengths by which they were moved: both of two that have become one, one to each
	// side of the other, and as much again.
	movedNear = 4
	// movedThin is how near two surfaces pass, in such lengths, to what may have
	// vanished between them: it was two thick, and lies one beside them at most.
	movedThin = 3
)

// groups is what whole goes by: which surfaces have become one with others, and in
// which of those groups are faces that outlines were taken apart into.
type groups struct {
	to    []int32
	many  map[int32]bool
	taken map[int32]bool
}

// whole refuses joined surfaces between which there was a sheet of matter or a gap,
// however thin: what is the same on both sides of two surfaces that have become one
// must be so between them. Thinner than roundings there is neither.
func (s *snapping) whole(b *builder) error {
	if s.to == nil {
		return nil
	}
	used := make([]bool, len(s.to))
	for _, w := range s.faced.Whole().Words(nil) {
		used[s.faced.Whole().Surface(w)] = true
	}
	g := groups{s.to, map[int32]bool{}, map[int32]bool{}}
	n := map[int32]int{}
	for i, t := range s.to {
		n[t]++
		g.many[t] = n[t] > 1
		g.taken[t] = g.taken[t] || !used[i]
	}
	return b.eachPart(func(c vec.P, half float64) error {
		return b.wholeIn(&g, s.faced.Whole(), c, half)
	})
}

// wholeIn is whole for the cube about c.
func (b *builder) wholeIn(g *groups, l *sdf.Local, c vec.P, half float64) error {
	if err := b.ctx.Err(); err != nil {
		return err
	}
	reach := half*cellGrow + movedNear*b.moved
	local, fine := &sdf.Local{}, &sdf.Local{}
	if l.Prune(local, c, reach) != sdf.Mixed || !b.mayBeThin(g, local) {
		return nil
	}
	if local.PruneFaces(fine, c, reach) != sdf.Mixed {
		return nil
	}
	words := fine.Words(nil)
	unsure := fine.Len() > longest
	for i, w := range words {
		id := fine.Surface(w)
		unsure = unsure || b.surf[id].Form == sdf.NoForm
		for _, v := range words[:i] {
			if o := fine.Surface(v); o == id || g.to[o] != g.to[id] {
				continue
			}
			thin, sure := between(fine, v, w, c, half)
			if thin {
				return refuse("a sheet or gap thinner than what is snapped", c)
			}
			unsure = unsure || !sure
		}
	}
	if !unsure || half < leastCell {
		return nil
	}
	return eachEighth(c, half, func(c vec.P, half float64) error { return b.wholeIn(g, local, c, half) })
}

// mayBeThin reports whether a program holds two surfaces that have become one, as
// far as it is taken apart.
func (b *builder) mayBeThin(g *groups, l *sdf.Local) bool {
	seen := map[int32]int{}
	outlines, faces := false, false
	for _, w := range l.Words(nil) {
		id := l.Surface(w)
		t := g.to[id]
		if o, ok := seen[t]; ok && o != id {
			return true
		}
		seen[t] = id
		outlines = outlines || b.surf[id].Form == sdf.NoForm
		faces = faces || g.many[t] && g.taken[t]
	}
	return outlines && faces
}

// between looks between two surfaces that lie near each other all over a cube: thin
// is true where there is a sheet or a gap at one of some points, sure where there
// can be none in the cube, whatever the other surfaces do.
func between(local *sdf.Local, v, w sdf.Word, c vec.P, half float64) (thin, sure bool) {
	step := half / 2
	for i := range 27 {
		p := c.Add(vec.P{X: float64(i%3 - 1), Y: float64(i/3%3 - 1), Z: float64(i/9 - 1)}.Mul(step))
		q, n, ok := onto(local, v, p)
		if d := q.Sub(c); !ok || max(math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)) > half {
			continue
		}
		r, _, ok := onto(local, w, q)
		if !ok {
			continue
		}
		lo, hi := 0.0, r.Sub(q).Dot(n)
		if hi < lo {
			lo, hi = hi, lo
		}
		if hi-lo < thinnest {
			continue // one surface
		}
		in := func(t float64) bool {
			f, _ := local.At(q.Add(n.Mul(t)))
			return f < 0
		}
		if out := hi - lo; in(lo-out) == in(hi+out) && in((lo+hi)/2) != in(lo-out) {
			return true, false
		}
	}
	x, y := local.Surface(v), local.Surface(w)
	var free []int
	for _, o := range local.Words(nil) {
		if id := local.Surface(o); id != x && id != y && !slices.Contains(free, id) {
			free = append(free, id)
		}
	}
	if len(free) > len(sixty)-2 {
		return false, false
	}
	cases := func(inV, inW bool) uint64 {
		return local.Truth(func(id int) uint64 {
			switch id {
			case x:
				return all(inV)
			case y:
				return all(inW)
			}
			return sixty[slices.Index(free, id)]
		})
	}
	_, nv := local.Slope(v, c)
	_, nw := local.Slope(w, c)
	same := nv.Dot(nw) > 0 == (v&1 == w&1) // the surfaces' insides, which Truth speaks of, are on one side
	below, above := cases(true, same), cases(false, !same)
	for _, mid := range [2]uint64{cases(false, same), cases(true, !same)} {
		if ^(below^above)&(mid^below) != 0 {
			return false, false
		}
	}
	return false, true
}

// ontoSteps is how many of Newton's steps are taken to one surface: each doubles the
// digits that are right.
const ontoSteps = 8

// onto takes a point to a surface; n is its normal there.
func onto(local *sdf.Local, w sdf.Word, p vec.P) (q, n vec.P, ok bool) {
	v := 0.0
	for range ontoSteps {
		v, n = local.Slope(w, p)
		p = p.Sub(n.Mul(v / n.Len2()))
	}
	return p, n.Unit(), math.Abs(v) < thinnest
}

// all is a mask of all cases or of none.
func all(in bool) uint64 {
	if in {
		return math.MaxUint64
	}
	return 0
}

// reaches refuses a mesh that is farther than the tolerance from a point of the
// given surface in the cube about c.
func (b *builder) reaches(tree *mesh.Tree, l *sdf.Local, c vec.P, half float64) error {
	local := &sdf.Local{}
	if l.Prune(local, c, half) != sdf.Mixed {
		return nil
	}
	if half > b.root.half/lostParts {
		return eachEighth(c, half, func(c vec.P, half float64) error { return b.reaches(tree, local, c, half) })
	}
	for _, w := range local.Words(nil) {
		q, n, _ := onto(local, w, c)
		if d := q.Sub(c); !(max(math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)) <= half) {
			continue
		}
		in, _ := local.At(q.Sub(n.Mul(thinnest)))
		out, _ := local.At(q.Add(n.Mul(thinnest)))
		if in < 0 == (out < 0) {
			continue // not of the solid, or a film without thickness
		}
		if _, ok := tree.Near(q, meshNear*(b.tol+b.moved)); !ok && !b.drawnFrom(q) {
			return refuse("a sheet or gap thinner than what is snapped", q)
		}
	}
	return nil
}

// drawnFrom reports whether a point lies in matter, or a gap, between surfaces that
// touched, so thin there that it may be gone since they were parted.
func (b *builder) drawnFrom(p vec.P) bool {
	for _, d := range b.snapped.drawn {
		if max(math.Abs(b.value(d.a, p)), math.Abs(b.value(d.b, p))) <= movedThin*b.moved {
			return true
		}
	}
	return false
}
