package contour

import (
	"context"
	"syscall"
	"testing"
	"time"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
)

// cpu returns the processor time used so far.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// judge reports what the mesh is worth.
func judge(b *testing.B, m *mesh.Mesh) {
	r := manifold.Judge(m)
	bad := r.Count[manifold.Open] + r.Count[manifold.Crowded] + r.Count[manifold.Flipped] + r.Count[manifold.Pinched]
	b.ReportMetric(float64(len(m.T)), "triangles")
	b.ReportMetric(float64(bad), "bad-edges")
	b.ReportMetric(float64(r.Count[manifold.Crossing]), "crossings")
	b.ReportMetric(float64(r.Genus()), "genus")
}

func b1(tb testing.TB) *sdf.Code {
	c, err := sdf.Compile(contourtest.B1())
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

func benchRaw(b *testing.B, o Options) {
	c := b1(b)
	var m *mesh.Mesh
	start := cpu()
	for b.Loop() {
		var err error
		if m, _, _, err = raw(context.Background(), c, o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64((cpu()-start).Milliseconds())/float64(b.N), "cpu-ms")
	judge(b, m)
}

func BenchmarkB1Cell100um(b *testing.B) { benchRaw(b, Options{Cell: 0.1}) }
func BenchmarkB1Cell50um(b *testing.B)  { benchRaw(b, Options{Cell: 0.05}) }
func BenchmarkB1Raw5um(b *testing.B)    { benchRaw(b, Options{}) }

// The whole way: cells, refinement, reduction, measured.
func BenchmarkB1Mesh5um(b *testing.B) {
	c := b1(b)
	var m *mesh.Mesh
	var r Report
	start := cpu()
	for b.Loop() {
		var err error
		if m, r, err = Mesh(context.Background(), c, Options{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64((cpu()-start).Milliseconds())/float64(b.N), "cpu-ms")
	b.ReportMetric(r.Reached*1e3, "max-dev-um")
	judge(b, m)
}

func BenchmarkB1Compile(b *testing.B) {
	f := contourtest.B1()
	for b.Loop() {
		if _, err := sdf.Compile(f); err != nil {
			b.Fatal(err)
		}
	}
}
