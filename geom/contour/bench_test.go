package contour

import (
	"context"
	"syscall"
	"testing"
	"time"

	"waxwright/geom/contour/contourtest"
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
	tris, bad, g := len(m.T), badEdges(m), genus(m)
	b.ReportMetric(float64(tris), "triangles")
	b.ReportMetric(float64(bad), "bad-edges")
	b.ReportMetric(float64(g), "genus")
}

func BenchmarkB1Cell100um(b *testing.B) { benchRaw(b, Options{Cell: 0.1}) }
func BenchmarkB1Cell50um(b *testing.B)  { benchRaw(b, Options{Cell: 0.05}) }
func BenchmarkB1Raw5um(b *testing.B)    { benchRaw(b, Options{}) }

func BenchmarkB1Compile(b *testing.B) {
	f := contourtest.B1()
	for b.Loop() {
		if _, err := sdf.Compile(f); err != nil {
			b.Fatal(err)
		}
	}
}
