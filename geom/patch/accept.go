package patch

import (
	"math"
	"slices"

	"waxwright/geom/manifold"
	"waxwright/geom/mend"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// accept refuses a mesh that is not beyond doubt, and says of the others where
// they are farthest from their surface.
func (b *builder) accept(m *mesh.Mesh) (far mesh.Stray, err error) {
	if len(m.T) == 0 {
		return far, refuse("no surface was found", b.code.Bounds().Center())
	}
	most := make([]mesh.Stray, b.workers)
	for i := range most {
		most[i].At = m.V[0] // a place of the mesh, if nothing is off
	}
	lies := make([]int32, len(m.T)) // the cells in which the triangles' middles lie
	var tree *mesh.Tree
	err = b.each(1+len(m.V)+len(m.T), func(worker, i int) error {
		if i == 0 { // beside the others
			tree = mesh.NewTree(m)
			return nil
		}
		if i--; i < len(m.V) {
			if b.distOf(b.given, m.V[i]) > onSurface+b.moved {
				return refuse("a vertex off the surface", m.V[i])
			}
			return nil
		}
		t := i - len(m.V)
		x, y, z := m.Corners(t)
		mid := x.Add(y).Add(z).Mul(1.0 / 3)
		lies[t] = int32(b.cellAt(mid))
		if b.distOf(b.given, mid) > b.tol+b.moved {
			return refuse("a triangle that leaves the surface", mid)
		}
		id := b.owner[t]
		d := max(math.Abs(b.value(id, mid)), b.sag(id, x, y), b.sag(id, y, z), b.sag(id, z, x))
		if d > openShare*b.tol {
			d = max(d, b.hiddenOf(id, x, y, z))
		}
		if d > b.tol {
			return refuse("a triangle that leaves the tolerance", mid)
		}
		most[worker] = most[worker].Farther(mesh.Stray{By: d, At: mid})
		return nil
	})
	if err != nil {
		return far, err
	}
	far = most[0]
	for _, d := range most {
		far = far.Farther(d)
	}
	worst, few, err := b.judge(m, tree)
	if worst != nil && few {
		var stray mesh.Stray
		if stray, err = b.mend(m); err != nil {
			return far, err
		}
		far = far.Farther(stray)
		tree = mesh.NewTree(m)
		worst, _, err = b.judge(m, tree)
	}
	if err != nil {
		return far, err
	}
	if worst != nil {
		return far, refuse("the judge finds a defect: "+worst.Kind.String(), worst.At)
	}
	if err := b.covers(lies, tree); err != nil || b.moved <= exact {
		return far, err
	}
	return far, b.faithful(m, tree)
}

// openShare is the share of the tolerance below which it does not matter whether a
// surface is the solid's where a point is off it: faces that meet at 20 degrees or
// more are three times as far away at most.
const openShare = 0.3

// onlyStep is the share of the tolerance that a single step of Newton's may be off
// the surface that it goes to.
const onlyStep = 0.05

// hidden returns how far p is from the solid where its face's surface, which is as
// near as its value says, is not the solid's: beside an edge that points inwards it
// goes on in the matter. Else it is 0.
func (b *builder) hidden(id int32, p vec.P) float64 {
	v, n := b.slope(id, p)
	if math.Abs(v) < openShare*b.tol {
		return 0
	}
	q := p.Sub(n.Mul(v / n.Len2()))
	if b.distOf(b.given, q) <= onlyStep*b.tol+b.moved {
		return 0
	}
	return b.given.code.Distance(p)
}

// hiddenOf is the most that hidden returns at the quarters of a triangle's sides and
// at three points inside.
func (b *builder) hiddenOf(id int32, x, y, z vec.P) float64 {
	most := 0.0
	for i := range 4 {
		for j := range 5 - i {
			if k := 4 - i - j; max(j, k) < 4 { // no corner
				p := x.Mul(float64(i)).Add(y.Mul(float64(j))).Add(z.Mul(float64(k))).Mul(0.25)
				most = max(most, b.hidden(id, p))
			}
		}
	}
	return most
}

// fewNeedles is how many triangles that are too thin are mended: more take longer
// than another mesher.
const fewNeedles = 40

// judge returns a defect of the mesh that is no touch, if it has one, and whether
// all of them are few and needles.
func (b *builder) judge(m *mesh.Mesh, tree *mesh.Tree) (worst *manifold.Defect, few bool, err error) {
	r, err := manifold.JudgeCtx(b.ctx, m, manifold.Options{Keep: 1, Workers: b.workers, Tree: tree})
	if err != nil || r.OK() {
		return nil, false, err
	}
	needles := 0
	for i := range r.Defects {
		switch d := &r.Defects[i]; d.Kind {
		case manifold.Touch:
		case manifold.Degenerate, manifold.Folded:
			needles += r.Count[d.Kind]
			if worst == nil {
				worst = d
			}
		default:
			return d, false, nil
		}
	}
	if worst == nil {
		return nil, false, refuse("the judge finds it unsound", m.V[0])
	}
	return worst, needles <= fewNeedles, nil
}

// mend takes out needles. What it moves may stray from the surface, but no
// farther than the tolerance.
func (b *builder) mend(m *mesh.Mesh) (stray mesh.Stray, err error) {
	stray, err = mend.Mend(b.ctx, m, b.given.code.Distance, b.tol, b.workers)
	if err == nil && stray.By > b.tol {
		err = refuse("needles that can't be taken out within the tolerance", stray.At)
	}
	b.owner = nil // triangles have changed: no face is known for them
	return stray, err
}

// meshNear is how far from a point of the surface the mesh is looked for, in
// tolerances: by one the mesh may be off the surface, and seen from the surface, beside
// its edges, it may be farther.
const meshNear = 1.5

// covers refuses a mesh that is missing where the surface is: in every cell that
// has no triangle's middle on a surface, the point of the surface nearest to the
// middle of the cell is looked at.
func (b *builder) covers(lies []int32, tree *mesh.Tree) error {
	here := make([]uint32, len(b.cells)) // bits of a cell's surfaces: a triangle's middle lies on it there
	for t, id := range b.owner {
		i := lies[t]
		if i < 0 {
			continue
		}
		if k := slices.Index(b.cells[i].ids, id); k >= 0 {
			here[i] |= 1 << k
		}
	}
	return b.each(len(b.cells), func(_, i int) error {
		c := &b.cells[i]
		for k := range c.ids {
			if !b.face(c.ids[k]) || here[i]>>k&1 != 0 {
				continue
			}
			q, ok := b.meet(c.ids[k:k+1], c.at)
			if !ok || !c.holds(q, 1) {
				continue
			}
			if c.local != nil {
				if v, _ := c.local.At(q); math.Abs(v) > snap || !b.bears(c, c.ids[k], q) {
					continue
				}
			}
			if _, ok := tree.Near(q, meshNear*b.tol); !ok {
				return refuse("surface that the mesh does not reach", q)
			}
		}
		return nil
	})
}

// bears reports whether matter begins or ends at a face where it passes p.
func (b *builder) bears(c *cell, id int32, p vec.P) bool {
	cases := c.local.Truth(func(s int) uint64 {
		switch {
		case s == int(id):
			return 0b10
		case b.value(int32(s), p) < 0:
			return math.MaxUint64
		}
		return 0
	})
	return cases&1 != cases>>1&1
}
