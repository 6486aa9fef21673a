package contour

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// surface is what a mesh is measured against.
type surface interface {
	// Within returns the surface as it is seen from the points of a box. It may
	// reuse old, which an earlier call returned, or nil.
	Within(b vec.Box, old localSurface) localSurface
}

// localSurface is a surface in some box.
type localSurface interface {
	// Slope returns a bound of the signed distance at p, the unit normal of the
	// face that gives it, and that face's owner.
	Slope(p vec.P) (d float64, n vec.P, tag uint32)
	// Nearest returns the surface point nearest to p, the normal and the owner
	// there.
	Nearest(p vec.P) (q, n vec.P, tag uint32)
}

// fieldSurface is the zero set of a compiled field.
type fieldSurface struct{ code *sdf.Code }

// Within returns a view of the field.
func (f fieldSurface) Within(b vec.Box, old localSurface) localSurface {
	v, ok := old.(*fieldView)
	if !ok {
		v = &fieldView{}
	}
	v.Move(f.code, b)
	return v
}

// fieldView is a field in some box, out of which smaller boxes can be cut.
type fieldView struct{ sdf.View }

// Within returns a view of a smaller box.
func (f *fieldView) Within(b vec.Box, old localSurface) localSurface {
	v, ok := old.(*fieldView)
	if !ok {
		v = &fieldView{}
	}
	v.Narrow(&f.View, b)
	return v
}

var (
	_ surface      = fieldSurface{}
	_ surface      = (*fieldView)(nil)
	_ localSurface = (*fieldView)(nil)
)

// sampler asks a surface at the points of a box, through one local surface for
// each cell of a grid, made when it is first needed.
type sampler struct {
	s      surface
	tol    float64
	lo     vec.P
	cell   float64
	dim    [3]int
	index  []int32 // place in locals + 1 of each cell's, 0 where there is none yet
	locals []localSurface
	used   int
	whole  localSurface // in the box
	from   surface      // what the locals are cut out of
	lone   localSurface // for points outside the box
}

// Cells of a sampler: a plot's size in cells, the largest cell in mm (a
// piece's parts are about so large), and how many there may be.
const (
	cellsAcross  = 10
	largestCell  = 0.5
	samplerCells = 1 << 20
)

// enter makes ready for the points of a box.
func (f *sampler) enter(b vec.Box) {
	b = b.Grow(4 * f.tol)
	size := b.Size()
	f.lo = b.Min
	f.cell = min(max(size.X, size.Y, size.Z)/cellsAcross, largestCell)
	for {
		n := 1.0
		for i, s := range [3]float64{size.X, size.Y, size.Z} {
			d := math.Floor(s/f.cell) + 1
			n *= d
			f.dim[i] = int(min(d, samplerCells))
		}
		if n <= samplerCells {
			break
		}
		f.cell *= 1.5
	}
	n := f.dim[0] * f.dim[1] * f.dim[2]
	if cap(f.index) < n {
		f.index = make([]int32, n)
	}
	f.index = f.index[:n]
	clear(f.index)
	f.used = 0
	f.whole = f.s.Within(b.Grow(f.cell+margins*f.tol), f.whole)
	f.from = f.s
	if s, ok := f.whole.(surface); ok {
		f.from = s
	}
}

// margins is how far round a point the surface is asked in one go, in
// tolerances: a probe beside a crease, and the surface nearest to it.
const margins = 8

// local returns the surface as seen from p and its surroundings.
func (f *sampler) local(p vec.P) localSurface {
	d := p.Sub(f.lo).Mul(1 / f.cell)
	x, y, z := int(math.Floor(d.X)), int(math.Floor(d.Y)), int(math.Floor(d.Z))
	margin := margins * f.tol
	if x < 0 || y < 0 || z < 0 || x >= f.dim[0] || y >= f.dim[1] || z >= f.dim[2] {
		f.lone = f.s.Within(vec.BoxOf(p).Grow(margin), f.lone)
		return f.lone
	}
	i := (z*f.dim[1]+y)*f.dim[0] + x
	if f.index[i] == 0 {
		if f.used == len(f.locals) {
			f.locals = append(f.locals, nil)
		}
		lo := f.lo.Add(vec.P{X: float64(x), Y: float64(y), Z: float64(z)}.Mul(f.cell))
		b := vec.Box{Min: lo, Max: lo.Add(vec.P{X: f.cell, Y: f.cell, Z: f.cell})}
		f.locals[f.used] = f.from.Within(b.Grow(margin), f.locals[f.used])
		f.used++
		f.index[i] = int32(f.used)
	}
	return f.locals[f.index[i]-1]
}

// Shares of the tolerance. Below sure a bound of the distance is taken for
// the distance: between faces that meet at 30 degrees or more it understates
// it four times at most. A point this near (onto) to the surface is on it.
const (
	sure = 0.2
	onto = 0.02
)

// off returns the distance from p, on a mesh with the unit normal n there, to
// the surface, or any larger number than limit if it is larger.
func (f *sampler) off(p, n vec.P, limit float64) float64 {
	l := f.local(p)
	d, m, _ := l.Slope(p)
	return f.offBy(l, p, n, d, m, limit)
}

// offBy is off where the field's value d and slope m are known. The value is a
// bound. If a step of d against the slope ends on the surface, the distance is
// no larger; else the faces that meet there disagree, and p is projected. What
// faces against n is another sheet and does not count.
func (f *sampler) offBy(l localSurface, p, n vec.P, d float64, m vec.P, limit float64) float64 {
	a := math.Abs(d)
	switch {
	case m.Dot(n) < opposed:
		return math.Inf(1)
	case a > limit || a < sure*f.tol:
		return a
	}
	if e, _, _ := l.Slope(p.Sub(m.Mul(d))); math.Abs(e) <= onto*f.tol {
		return a
	}
	q, _, _ := l.Nearest(p)
	return q.Sub(p).Len()
}

// lies reports whether the middle of a triangle is within tol of the surface
// and the triangle looks the way of one of the faces there: they turn from it
// by turnLimit at most. Near an edge the face in front of the triangle is met
// on the one or the other side.
func (f *sampler) lies(t *facet, tol float64) bool {
	l := f.local(t.middle)
	d, m, _ := l.Slope(t.middle)
	if f.offBy(l, t.middle, t.n, d, m, tol) > tol {
		return false
	}
	if m.Dot(t.n) >= cosTurn {
		return true
	}
	step := t.n.Mul(2 * f.tol)
	if _, m, _ = l.Slope(t.middle.Add(step)); m.Dot(t.n) >= cosTurn {
		return true
	}
	_, m, _ = l.Slope(t.middle.Sub(step))
	return m.Dot(t.n) >= cosTurn
}

// farthestProbe is how far from a crease's chord it is looked for, in
// tolerances.
const farthestProbe = 4

// sharpest is the sine of half the angle between the normals of two faces below which
// they have no crease that a probe ahead of it would find: 2.3 degrees.
const sharpest = 0.04

// onCrease reports whether m, the middle of a chord between the triangles with
// the unit normals n (tip is the third corner of the first), is within tol of
// the crease. Beside m on its face lies m's own nearest point, so a point
// ahead of the edge, between the two faces' normals, is projected instead:
// what is nearest to it is the edge.
func (f *sampler) onCrease(m vec.P, n [2]vec.P, tip vec.P, tol float64) bool {
	b := n[0].Add(n[1]).Unit()
	sin := n[0].Cross(b).Len() // of half the angle between the normals
	if sin < sharpest || b == (vec.P{}) {
		return f.off(m, n[0], tol) <= tol
	}
	step := min(1.5/sin, farthestProbe) * f.tol
	if tip.Sub(m).Dot(n[1]) > 0 { // a concave edge
		step = -step
	}
	p := m.Add(b.Mul(step))
	q, _, _ := f.local(p).Nearest(p)
	return q.Sub(m).Len() <= tol
}
