package contour

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// reduced returns a reduced copy of a specimen.
func reduced(t testing.TB, s *specimen, tol float64, workers int) *mesh.Mesh {
	t.Helper()
	m := &mesh.Mesh{V: append([]vec.P(nil), s.mesh.V...), T: append([][3]uint32(nil), s.mesh.T...), Tag: append([]uint32(nil), s.mesh.Tag...)}
	code, err := sdf.Compile(s.field)
	if err != nil {
		t.Fatal(err)
	}
	if err := reduce(context.Background(), m, s.class, fieldSurface{code}, reduceOptions{tol: tol, workers: workers}); err != nil {
		t.Fatal(err)
	}
	return m
}

// scatter calls f for n points spread evenly over a mesh.
func scatter(m *mesh.Mesh, n int, f func(p vec.P, triangle int)) {
	rnd := rand.New(rand.NewPCG(1, 2))
	total := m.Area()
	left := 0.0
	for i := range m.T {
		a, b, c := m.Corners(i)
		left += b.Sub(a).Cross(c.Sub(a)).Len() / 2 / total * float64(n)
		for ; left > 0; left-- {
			u, v := rnd.Float64(), rnd.Float64()
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			f(a.Add(b.Sub(a).Mul(u)).Add(c.Sub(a).Mul(v)), i)
		}
	}
}

// farthest returns the largest distance from points of one mesh to another.
func farthest(from, to *mesh.Mesh, n int) float64 {
	tree := mesh.NewTree(to)
	worst := 0.0
	scatter(from, n, func(p vec.P, _ int) {
		hit, _ := tree.Near(p, math.Inf(1))
		worst = max(worst, hit.Dist)
	})
	return worst
}

func TestReduce(t *testing.T) {
	for _, s := range specimens(0.06) {
		for _, tol := range []float64{0.005, 0.02} {
			m := reduced(t, &s, tol, 2)
			t.Logf("%s at %g: %d triangles to %d", s.name, tol, len(s.mesh.T), len(m.T))
			area := s.mesh.Area()
			meshtest.Conform(t, m, meshtest.Want{Genus: &s.genus, Bodies: 1})
			if d := math.Abs(m.Volume() - s.mesh.Volume()); d > tol*area {
				t.Errorf("%s: volume changed by %g", s.name, d)
			}
			if len(m.T)*s.fold > len(s.mesh.T) {
				t.Errorf("%s at %g: %d triangles are left of %d", s.name, tol, len(m.T), len(s.mesh.T))
			}
			worst := 0.0
			code, _ := sdf.Compile(s.field)
			scatter(m, 4000, func(p vec.P, _ int) {
				q, _, _ := code.Nearest(p)
				worst = max(worst, q.Sub(p).Len())
			})
			if worst > tol {
				t.Errorf("%s at %g: the mesh is %g off the surface", s.name, tol, worst)
			}
			if d := farthest(&s.mesh, m, 4000); d > tol {
				t.Errorf("%s at %g: the surface is %g off the mesh", s.name, tol, d)
			}
			low := math.Inf(1)
			for i := range m.T {
				a, b, c := m.Corners(i)
				e := math.Sqrt(max(b.Sub(a).Len2(), c.Sub(b).Len2(), a.Sub(c).Len2()))
				low = min(low, b.Sub(a).Cross(c.Sub(a)).Len()/e)
			}
			if low < 1e-4 {
				t.Errorf("%s at %g: a triangle is %g high", s.name, tol, low)
			}
		}
	}
}
