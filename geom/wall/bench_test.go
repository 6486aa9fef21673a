package wall

import (
	"context"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/cost"
)

func benchB1(b *testing.B, limit float64, exact bool, measure func(testing.TB, solid, float64) []Spot) {
	s := contoured(b, contourtest.B1())
	if !exact {
		s.n = nil
	}
	var spots []Spot
	start := cost.Start()
	for b.Loop() {
		spots = measure(b, s, limit)
	}
	start.Report(b)
	area := 0.0
	for _, p := range spots {
		area += p.Area
	}
	b.ReportMetric(float64(len(s.m.T)), "triangles")
	b.ReportMetric(float64(len(spots)), "spots")
	b.ReportMetric(100*area/s.m.Area(), "%area")
}

func thin(tb testing.TB, s solid, limit float64) []Spot { tb.Helper(); return s.thin(tb, limit) }
func gaps(tb testing.TB, s solid, limit float64) []Spot { tb.Helper(); return s.gaps(tb, limit) }

func BenchmarkB1Thin390um(b *testing.B)   { benchB1(b, 0.39, true, thin) }
func BenchmarkB1Thin450um(b *testing.B)   { benchB1(b, 0.45, true, thin) }
func BenchmarkB1Thin800um(b *testing.B)   { benchB1(b, 0.80, true, thin) }
func BenchmarkB1Gaps200um(b *testing.B)   { benchB1(b, 0.20, true, gaps) }
func BenchmarkB1Smooth450um(b *testing.B) { benchB1(b, 0.45, false, thin) }

func BenchmarkB1Thickness(b *testing.B) {
	s := contoured(b, contourtest.B1())
	start := cost.Start()
	defer func() { start.Report(b) }()
	for b.Loop() {
		if _, err := Thickness(context.Background(), s.m, s.n, 1, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
