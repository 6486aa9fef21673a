package patch

import (
	"waxwright/geom/delaunay"
	"waxwright/geom/vec"
)

const (
	// flipLeast is the least height, as a share of the longest side, of a triangle
	// of the layout that a flip makes: what lies on the surface beside a lower one
	// may not lie there in the layout.
	flipLeast = 0.05
	// flipThin is the least height on the surface, as a share of the tolerance.
	flipThin = 0.5
	// flipGain is what a flip must leave at most of the sum by which it is judged,
	// so that none is undone for nothing.
	flipGain = 0.98
)

// flips puts other diagonals where triangles leave the limit and the others are
// nearer to the surface, by the sum of the fourth powers of what the diagonal
// and the two triangles are off. Each flip makes the sum over the face less, so
// this ends.
func (b *builder) flips(f *face, limit float64) {
	var work []delaunay.Edge
	for i := range f.tri.Inside() {
		g := b.gauge(f, i)
		for k := range 3 {
			if g.middle > limit || g.chord[k] > limit {
				work = append(work, delaunay.EdgeOf(i, k))
			}
		}
	}
	for len(work) > 0 {
		e := work[len(work)-1]
		work = work[:len(work)-1]
		d, ok := b.flip(f, e, limit)
		if !ok {
			continue
		}
		for _, x := range [2]delaunay.Edge{d, f.tri.Triangles[d.Triangle()].N[d.Slot()]} {
			for k := range 3 {
				if k != x.Slot() {
					work = append(work, delaunay.EdgeOf(x.Triangle(), k))
				}
			}
		}
	}
}

// flip puts the other diagonal in place of an edge, if that is better, and
// returns it.
func (b *builder) flip(f *face, e delaunay.Edge, limit float64) (diagonal delaunay.Edge, ok bool) {
	i, k := e.Triangle(), e.Slot()
	t := &f.tri.Triangles[i]
	if !t.Inside || t.Fixed>>k&1 != 0 {
		return e, false
	}
	g := t.N[k]
	j := g.Triangle()
	now := [3]float64{b.chordOff(f, i, k), b.gauge(f, i).middle, b.gauge(f, j).middle}
	if max(now[0], now[1], now[2]) <= limit {
		return e, false
	}
	v := [4]int32{t.V[k], t.V[(k+1)%3], f.tri.Triangles[j].V[g.Slot()], t.V[(k+2)%3]} // round the two
	var flat [4]delaunay.Point
	var p [4]vec.P
	for n, x := range v {
		flat[n], p[n] = f.tri.Points[x], b.at(f, x)
	}
	if slim(flat[0], flat[1], flat[2], flipLeast) || slim(flat[2], flat[3], flat[0], flipLeast) {
		return e, false
	}
	then := [3]float64{b.sag(f.id, p[0], p[2]), b.centreOff(f.id, p[0], p[1], p[2]), b.centreOff(f.id, p[2], p[3], p[0])}
	if powers(then) > flipGain*powers(now) || b.thin(p[0], p[1], p[2]) || b.thin(p[2], p[3], p[0]) {
		return e, false
	}
	return f.tri.Flip(e)
}

// powers returns the sum of fourth powers.
func powers(x [3]float64) (sum float64) {
	for _, v := range x {
		sum += v * v * v * v
	}
	return sum
}

// thin reports whether a triangle is too low to be made by a flip.
func (b *builder) thin(p, q, r vec.P) bool {
	long := max(p.Sub(q).Len(), q.Sub(r).Len(), r.Sub(p).Len())
	return q.Sub(p).Cross(r.Sub(p)).Len() <= flipThin*b.tol*long
}

// slim reports whether a triangle of the layout is lower than a share of its
// longest side, or the wrong way round.
func slim(p, q, r delaunay.Point, least float64) bool {
	at := func(a, b delaunay.Point) vec.P2 {
		return vec.P2{X: float64(b.X) - float64(a.X), Y: float64(b.Y) - float64(a.Y)}
	}
	u, v := at(p, q), at(p, r)
	return u.Cross(v) < least*max(u.Dot(u), v.Dot(v), v.Sub(u).Dot(v.Sub(u)))
}
