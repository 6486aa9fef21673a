package patch

import (
	"context"
	"slices"
	"testing"
	"time"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/cost"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
)

func benchB1(b *testing.B, o Options) {
	c := compiled(b, contourtest.B1())
	var m *mesh.Mesh
	var r Report
	start := cost.Start()
	for b.Loop() {
		var err error
		if m, r, err = Mesh(context.Background(), c, o); err != nil {
			b.Fatal(err)
		}
	}
	start.Report(b)
	cost.Memory(b)
	j := manifold.Judge(m)
	bad := j.Count[manifold.Open] + j.Count[manifold.Crowded] + j.Count[manifold.Flipped] + j.Count[manifold.Pinched]
	b.ReportMetric(float64(len(m.T)), "triangles")
	b.ReportMetric(float64(bad), "bad-edges")
	b.ReportMetric(float64(j.Count[manifold.Crossing]), "crossings")
	b.ReportMetric(float64(j.Genus()), "genus")
	b.ReportMetric(r.Reached*1e3, "max-dev-um")
}

// With all checks.
func BenchmarkB1Patch5um(b *testing.B) { benchB1(b, Options{Tol: 0.005}) }
func BenchmarkB1Patch2um(b *testing.B) { benchB1(b, Options{Tol: 0.002}) }

// One goroutine, to compare with two (GOMAXPROCS=1: searches take all there are).
func BenchmarkB1Patch2umAlone(b *testing.B) { benchB1(b, Options{Tol: 0.002, Workers: 1}) }

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
