package manifold_test

import (
	"context"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/contour/contourtest"
	"waxwright/geom/cost"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// b1 is the bench solid as a casting would be written: slim triangles of all
// sizes, float32.
func b1(b *testing.B) *mesh.Mesh {
	b.Helper()
	code, err := sdf.Compile(contourtest.B1())
	if err != nil {
		b.Fatal(err)
	}
	m, _, err := contour.Mesh(context.Background(), code, contour.Options{})
	if err != nil {
		b.Fatal(err)
	}
	return m.Float32()
}

func BenchmarkJudge(b *testing.B) {
	tilt := vec.Turn(vec.P{X: 1, Y: 2, Z: 3}, 0.7)
	plate := gridPlate(500).Transform(tilt)
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"B1", b1(b)},
		{"torus", meshtest.Torus(5, 2, 1000, 500)},
		{"tilted plate", plate},
		{"tilted plate float32", plate.Float32()},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			start := cost.Start()
			for b.Loop() {
				if r := manifold.Judge(c.m); !r.OK() {
					b.Fatal(r.String())
				}
			}
			start.Report(b)
			b.ReportMetric(float64(len(c.m.T))*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
		})
	}
}
