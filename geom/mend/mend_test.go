package mend

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// torus is how far a point lies from a torus of radii 3 and 1.
func torus(p vec.P) float64 {
	return math.Abs(math.Hypot(math.Hypot(p.X, p.Y)-3, p.Z) - 1)
}

func judged(m *mesh.Mesh) *manifold.Report {
	r := manifold.Judge(m.Float32().Weld())
	return &r
}

// A sound mesh is left as it is, bit for bit.
func TestSoundMeshStays(t *testing.T) {
	m := meshtest.Torus(3, 1, 256, 128)
	was := clone(m)
	stray, err := Mend(context.Background(), m, torus, 0.005, 2)
	if err != nil || stray.By != 0 || len(m.T) != len(was.T) {
		t.Fatalf("%v, stray %v, %d of %d triangles", err, stray, len(m.T), len(was.T))
	}
	for i, p := range m.V {
		if p != was.V[i] {
			t.Fatalf("vertex %d moved", i)
		}
	}
}

// Corners pushed over their neighbours fold the surface and make it cross
// itself; mended, it is sound, a torus still, and near the true one.
func TestFoldsAreMended(t *testing.T) {
	for _, push := range []float64{0.05, 0.09} {
		m := meshtest.Torus(3, 1, 256, 128)
		genus := judged(m).Genus()
		for _, v := range []int{500, 9000, 20000} {
			p := m.V[v]
			along := vec.P{X: -p.Y, Y: p.X}.Unit()
			m.V[v] = p.Add(along.Mul(push + 0.1))
		}
		if judged(m).OK() {
			t.Fatal("the torus is not spoilt")
		}
		if _, err := Mend(context.Background(), m, torus, 0.02, 2); err != nil {
			t.Fatal(err)
		}
		r := judged(m)
		if !r.OK() || r.Genus() != genus {
			t.Errorf("pushed by %g: %v", push, r)
		}
		if want := 2 * math.Pi * math.Pi * 3; math.Abs(r.Volume-want) > 0.01*want {
			t.Errorf("volume %g, want about %g", r.Volume, want)
		}
	}
}

// The bench solid, mended, has no flaw, and its genus is 73.
func TestBenchSolid(t *testing.T) {
	code, err := sdf.Compile(contourtest.B1())
	if err != nil {
		t.Fatal(err)
	}
	m, _, err := contour.Mesh(context.Background(), code, contour.Options{})
	if err != nil {
		t.Fatal(err)
	}
	stray, err := Mend(context.Background(), m, func(p vec.P) float64 {
		q, _, _ := code.Nearest(p)
		return q.Sub(p).Len()
	}, contour.DefaultTol, 0)
	if err != nil {
		t.Fatal(err)
	}
	r := judged(m)
	t.Logf("%v\nstray %.4f mm", r, stray.By)
	if !r.OK() || r.Genus() != contourtest.B1Genus || len(r.Bodies) != 1 {
		t.Errorf("%v", r)
	}
}
