package contour

import (
	"context"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// sounder finds the field near points of a mesh: that of the leaf block in
// which the point lies, which is true there by sign and so has the surface.
type sounder struct {
	m  *mesher
	at *block // in which the last point lay
}

// local returns the field near p, nil where no block lies.
func (s *sounder) local(p vec.P) *sdf.Local {
	if s.at == nil || !s.m.holds(s.at.key, p) {
		s.at = s.m.leaf(p)
	}
	if s.at == nil {
		return nil
	}
	return s.at.local
}

// beside is local for a point that may lie a little off all blocks that the
// surface passes.
func (s *sounder) beside(p vec.P, reach float64) *sdf.Local {
	if l := s.local(p); l != nil {
		return l
	}
	for i := range 27 {
		d := vec.P{X: float64(i%3 - 1), Y: float64(i/3%3 - 1), Z: float64(i/9 - 1)}
		if l := s.local(p.Add(d.Mul(reach))); l != nil {
			return l
		}
	}
	return nil
}

// negligible is the share of the tolerance below which a field value is not
// followed by a projection: the distance is larger than the value only where
// faces meet, and there by a factor that stays far below this.
const negligible = 1.0 / 50

// deviation returns the distance from p to the surface.
func (s *sounder) deviation(p vec.P) float64 {
	tol := s.m.opt.Tol
	l := s.beside(p, tol)
	if l == nil {
		return s.m.code.Distance(p)
	}
	if v, _ := l.At(p); math.Abs(v) < tol*negligible {
		return math.Abs(v)
	}
	q, _, _ := l.Project(p)
	d := q.Sub(p).Len()
	if d > tol { // the block has not all of what is as far away as that
		d = min(d, s.m.code.Distance(p))
	}
	return d
}

// edgePoints are the points at which an edge is measured.
func edgePoints(a, b vec.P) [3]vec.P {
	return [3]vec.P{a.Lerp(b, 0.5), a.Lerp(b, 0.25), a.Lerp(b, 0.75)}
}

// innerPoints are those at which a triangle's inside is: its middle, and half-way
// from there to its corners.
func innerPoints(a, b, c vec.P) [4]vec.P {
	m := a.Add(b).Add(c).Mul(1.0 / 3)
	return [4]vec.P{m, m.Lerp(a, 0.5), m.Lerp(b, 0.5), m.Lerp(c, 0.5)}
}

// measure returns the largest distance from the surface of the vertices and of
// points of the edges and triangles, and where it is.
func (m *mesher) measure(ctx context.Context, out *mesh.Mesh) (far mesh.Stray, err error) {
	chunk, n := share(len(out.T), 1024)
	worst := make([]mesh.Stray, n)
	err = m.parallel(ctx, len(worst), func(_ *worker, i int) {
		s := sounder{m: m}
		w := &worst[i]
		w.At = out.V[out.T[i*chunk][0]] // a place of the mesh, if nothing is off
		look := func(p vec.P) {
			d := s.deviation(p)
			if d > w.By { // what is told is the distance from the whole surface, not the block's
				d = min(d, m.code.Distance(p))
			}
			*w = w.Farther(mesh.Stray{By: d, At: p})
		}
		for _, t := range out.T[i*chunk : min((i+1)*chunk, len(out.T))] {
			c := [3]vec.P{out.V[t[0]], out.V[t[1]], out.V[t[2]]}
			for _, p := range innerPoints(c[0], c[1], c[2]) {
				look(p)
			}
			for k, p := range c {
				if n := (k + 1) % 3; t[k] < t[n] { // each edge once
					for _, q := range edgePoints(p, c[n]) {
						look(q)
					}
					look(p)
				}
			}
		}
	})
	if len(worst) > 0 {
		far = worst[0]
	}
	for _, w := range worst {
		far = far.Farther(w)
	}
	return far, err
}
