package manifold_test

import (
	"context"
	"syscall"
	"testing"
	"time"

	"waxwright/geom/contour"
	"waxwright/geom/contour/contourtest"
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
			start := cpu()
			for b.Loop() {
				if r := manifold.Judge(c.m); !r.OK() {
					b.Fatal(r.String())
				}
			}
			b.ReportMetric(float64((cpu()-start).Microseconds())/1e3/float64(b.N), "cpu-ms")
			b.ReportMetric(float64(len(c.m.T))*float64(b.N)/b.Elapsed().Seconds(), "triangles/s")
		})
	}
}

// cpu returns the processor time that this process has used: on a machine that
// is not idle it says more than the clock.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
