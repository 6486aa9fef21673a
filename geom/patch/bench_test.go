package patch

import (
	"context"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
)

func benchB1(b *testing.B, tol float64) {
	c := compiled(b, contourtest.B1())
	var m *mesh.Mesh
	var r Report
	for b.Loop() {
		var err error
		if m, r, err = Mesh(context.Background(), c, Options{Tol: tol}); err != nil {
			b.Fatal(err)
		}
	}
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
