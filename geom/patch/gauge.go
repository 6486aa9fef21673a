package patch

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// sag returns how far a chord leaves a surface: in its middle, at the quarters
// where the bend may change along it, and where a capsule's sides begin.
func (b *builder) sag(id int32, p, q vec.P) float64 {
	off := func(t float64) float64 { return math.Abs(b.value(id, p.Lerp(q, t))) }
	most := off(0.5)
	s := &b.surf[id]
	switch s.Form {
	case sdf.FormCapsule:
		from, to := p.Sub(s.O).Dot(s.U), q.Sub(s.O).Dot(s.U)
		for _, end := range [2]float64{0, s.A} {
			if (from < end) != (to < end) {
				most = max(most, off((end-from)/(to-from)))
			}
		}
	case sdf.FormWall, sdf.FormTurned, sdf.FormRim:
		most = max(most, off(0.25), off(0.75))
	}
	return most
}

// gauge is how far a triangle and its edges leave the surface of their face, mm.
type gauge struct {
	v      [3]int32
	chord  [3]float64 // by the vertex opposite; 0 if fixed, or for the neighbour to tell
	middle float64
}

// gauge measures a triangle, unless it is what it was.
func (b *builder) gauge(f *face, i int32) *gauge {
	if n := len(f.tri.Triangles); len(f.gauges) < n {
		f.gauges = append(f.gauges, make([]gauge, n-len(f.gauges))...)
	}
	g, t := &f.gauges[i], &f.tri.Triangles[i]
	if g.v == t.V {
		return g
	}
	*g = gauge{v: t.V}
	var c [3]vec.P
	for k, v := range t.V {
		c[k] = b.at(f, v)
	}
	for k := range 3 {
		if x, y := (k+1)%3, (k+2)%3; t.Fixed>>k&1 == 0 && t.V[x] < t.V[y] {
			g.chord[k] = b.sag(f.id, c[x], c[y])
		}
	}
	g.middle = b.centreOff(f.id, c[0], c[1], c[2])
	return g
}

// chordOff returns how far an edge leaves the surface, 0 for a fixed one.
func (b *builder) chordOff(f *face, i int32, k int) float64 {
	t := &f.tri.Triangles[i]
	if t.V[(k+1)%3] > t.V[(k+2)%3] && t.Fixed>>k&1 == 0 {
		e := t.N[k]
		i, k = e.Triangle(), e.Slot()
	}
	return b.gauge(f, i).chord[k]
}

// centreOff returns how far the middle of a triangle is from a surface.
func (b *builder) centreOff(id int32, p, q, r vec.P) float64 {
	return math.Abs(b.value(id, p.Add(q).Add(r).Mul(1.0/3)))
}
