package wall

import (
	"math"
	"sync/atomic"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Normals know the true surface that a mesh stands for.
type Normals interface {
	// Within returns what knows the surface in a box. It is called from many
	// goroutines; what it returns is used by one.
	Within(b vec.Box) Local
}

// Local knows the true surface in a box.
type Local interface {
	// At returns the point of the true surface that p on triangle t stands
	// for, and the outward unit normal there.
	At(t uint32, p vec.P) (q, n vec.P)
	// Bound returns a signed bound of the distance from p to the surface,
	// negative inside: no value exceeds the distance. 0 says nothing.
	Bound(p vec.P) float64
}

// Field returns the normals of the field that m was meshed from: exact, and
// quick, because the field's own bound clears most places.
func Field(m *mesh.Mesh, c *sdf.Code) Normals {
	return &field{m, c, make([]atomic.Uint32, len(m.T))}
}

type field struct {
	m     *mesh.Mesh
	c     *sdf.Code
	shape []atomic.Uint32 // of each triangle's surface, as isFlat finds it
}

// The shapes of a triangle's surface; 0 is not known yet.
const (
	bent uint32 = iota + 1
	flat
)

func (f *field) Within(b vec.Box) Local { return &fieldView{f, f.c.Within(b)} }

type fieldView struct {
	*field
	view sdf.View
}

func (f *fieldView) Bound(p vec.P) float64 { return f.view.Dist(p) }

// strayMost is how far in mm from its point on the mesh a projection may lie to
// be believed: ten times the usual chord error. Beyond it belongs to another
// face, where the mesh does not resolve the field.
const strayMost = 0.05

// alike is the least cosine between a triangle's normal and that of its
// surface, 45 degrees: the tightest curve that a reduced mesh keeps turns by
// less from triangle to triangle.
const alike = math.Sqrt2 / 2

func (f *fieldView) At(t uint32, p vec.P) (q, n vec.P) {
	face := facing(f.m, t)
	if f.isFlat(t, face) {
		return p, face
	}
	q, n, _ = f.view.Nearest(p)
	if !(n.Dot(face) > alike) || q.Sub(p).Len2() > strayMost*strayMost {
		return p, face
	}
	return q, n
}

const (
	// broad is the area in mm2 of a triangle from which on it pays to ask once
	// whether its surface is flat: a dozen samples lie on it.
	broad = 0.25
	// flatTurn is by how much in radians normals may differ on a flat surface,
	// and flatOff how far in mm a point may lie off it: a triangle of 0.25 mm2
	// on a sphere ten metres across is bent by more.
	flatTurn, flatOff = 1e-5, 1e-6
)

// isFlat reports whether the surface is flat over triangle t, which faces n:
// whether it is near its corners.
func (f *field) isFlat(t uint32, n vec.P) bool {
	if s := f.shape[t].Load(); s != 0 {
		return s == flat
	}
	s := bent
	a, b, c := f.m.Corners(int(t))
	if b.Sub(a).Cross(c.Sub(a)).Len() > 2*broad {
		s = flat
		mid := a.Add(b).Add(c).Mul(1. / 3)
		for _, p := range [3]vec.P{a, b, c} {
			p = p.Lerp(mid, 0.05) // off the edges, where the surface turns
			q, m, _ := f.c.Nearest(p)
			if m.Sub(n).Len() > flatTurn || q.Sub(p).Len() > flatOff {
				s = bent
				break
			}
		}
	}
	f.shape[t].Store(s)
	return s == flat
}

// facing returns the unit normal of triangle t.
func facing(m *mesh.Mesh, t uint32) vec.P {
	a, b, c := m.Corners(int(t))
	return b.Sub(a).Cross(c.Sub(a)).Unit()
}

// Smooth returns normals guessed from the mesh alone, for meshes without a
// field: at each corner of a triangle the mean over the triangles around that
// turn from it by less than crease radians, weighted by their angles there, and
// between corners a blend. Points are raised from the chord to the curve that
// the normals tell of.
//
// Half the blend of the projections on the corners' tangent planes is off by
// the fourth power of the turn on a circle (T. Boubekeur, M. Alexa, "Phong
// tessellation", ACM TOG 27, 2008, with their shape factor of 1/2).
func Smooth(m *mesh.Mesh, crease float64) Normals {
	return newSmooth(m, newFan(m), crease)
}

// DefaultCrease is the turn in radians from which on Thin, Gaps and Thickness
// take an edge for a crease when given no normals: 40 degrees.
const DefaultCrease = 40 * math.Pi / 180

func newSmooth(m *mesh.Mesh, f *fan, crease float64) *smooth {
	return &smooth{m, f, math.Cos(crease)}
}

type smooth struct {
	m    *mesh.Mesh
	fan  *fan
	turn float64 // least cosine between triangles that are one surface
}

func (s *smooth) Within(vec.Box) Local { return s }

func (s *smooth) Bound(vec.P) float64 { return 0 }

func (s *smooth) At(t uint32, p vec.P) (q, n vec.P) {
	flat := s.fan.normal[t]
	a, b, c := s.m.Corners(int(t))
	w := shares(p, a, b, c)
	var lift vec.P
	for k, v := range s.m.T[t] {
		nk := s.corner(flat, v)
		n = n.Add(nk.Mul(w[k]))
		lift = lift.Add(nk.Mul(w[k] * s.m.V[v].Sub(p).Dot(nk)))
	}
	if n = n.Unit(); !(n.Dot(flat) > alike) {
		return p, flat
	}
	return p.Add(lift.Mul(0.5)), n
}

// corner returns the normal at vertex v of the surface that faces as flat does.
func (s *smooth) corner(flat vec.P, v uint32) vec.P {
	var sum vec.P
	for _, u := range s.fan.of(v) {
		if n := s.fan.normal[u]; n.Dot(flat) > s.turn {
			sum = sum.Add(n.Mul(cornerAngle(s.m, u, v)))
		}
	}
	if sum == (vec.P{}) {
		return flat
	}
	return sum.Unit()
}

// cornerAngle returns the angle of triangle t at its vertex v.
func cornerAngle(m *mesh.Mesh, t, v uint32) float64 {
	i := m.T[t]
	for i[0] != v {
		i = [3]uint32{i[1], i[2], i[0]}
	}
	a := m.V[i[1]].Sub(m.V[v])
	b := m.V[i[2]].Sub(m.V[v])
	return math.Atan2(a.Cross(b).Len(), a.Dot(b))
}

// shares returns the barycentric coordinates of p in triangle abc, kept within
// it.
func shares(p, a, b, c vec.P) [3]float64 {
	n := b.Sub(a).Cross(c.Sub(a))
	nn := n.Len2()
	if nn == 0 {
		return [3]float64{1. / 3, 1. / 3, 1. / 3}
	}
	v := max(p.Sub(a).Cross(c.Sub(a)).Dot(n)/nn, 0)
	w := max(b.Sub(a).Cross(p.Sub(a)).Dot(n)/nn, 0)
	if v+w > 1 {
		v, w = v/(v+w), w/(v+w)
	}
	return [3]float64{1 - v - w, v, w}
}
