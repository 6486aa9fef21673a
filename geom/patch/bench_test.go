package patch

import (
	"context"
	"slices"
	"syscall"
	"testing"
	"time"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
)

// cpu returns the processor time used so far.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func benchB1(b *testing.B, tol float64) {
	c := compiled(b, contourtest.B1())
	var m *mesh.Mesh
	var r Report
	start := cpu()
	for b.Loop() {
		var err error
		if m, r, err = Mesh(context.Background(), c, Options{Tol: tol}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64((cpu()-start).Milliseconds())/float64(b.N), "cpu-ms")
	j := manifold.Judge(m)
	bad := j.Count[manifold.Open] + j.Count[manifold.Crowded] + j.Count[manifold.Flipped] + j.Count[manifold.Pinched]
	b.ReportMetric(float64(len(m.T)), "triangles")
	b.ReportMetric(float64(bad), "bad-edges")
	b.ReportMetric(float64(j.Count[manifold.Crossing]), "crossings")
	b.ReportMetric(float64(j.Genus()), "genus")
	b.ReportMetric(r.Reached*1e3, "max-dev-um")
}

// With all checks.
func BenchmarkB1Patch5um(b *testing.B) { benchB1(b, 0.005) }
func BenchmarkB1Patch2um(b *testing.B) { benchB1(b, 0.002) }

// How long work goes on that is no longer wanted: the median and the most of
// what is stopped at odd times.
func BenchmarkB1PatchStop(b *testing.B) {
	c := compiled(b, contourtest.B1())
	var late []time.Duration
	for b.Loop() {
		for k := range 50 {
			ctx, stop := context.WithCancel(context.Background())
			at := make(chan time.Time, 1)
			time.AfterFunc(time.Duration(2*k+1)*time.Millisecond, func() { at <- time.Now(); stop() })
			if _, _, err := Mesh(ctx, c, Options{Tol: 0.002}); err != nil {
				late = append(late, time.Since(<-at))
			}
			stop()
		}
	}
	slices.Sort(late)
	b.ReportMetric(float64(late[len(late)/2].Microseconds())/1e3, "ms-late-median")
	b.ReportMetric(float64(late[len(late)-1].Microseconds())/1e3, "ms-late-most")
}
