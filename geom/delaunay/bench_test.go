package delaunay

import (
	"math"
	"math/rand/v2"
	"testing"
)

func BenchmarkBuild(b *testing.B) {
	rng := rand.New(rand.NewPCG(5, 6))
	const n = 100_000
	grid := make([]Point, 0, n)
	strip := make([]Point, 0, n)
	rim := make([]Point, 0, n)
	for i := range int32(n) {
		grid = append(grid, Point{i % 316 * 1000, i / 316 * 1000})
		strip = append(strip, Point{i / 4 * 100, i % 4 * 7})
		s, c := math.Sincos(float64(i) * 2 * math.Pi / n)
		rim = append(rim, Point{int32(Reach * c), int32(Reach * s)})
	}
	for _, s := range []struct {
		name   string
		points []Point
	}{
		{"random-100k", cloud(rng, n)}, {"grid-100k", grid}, {"strip-100k", strip}, {"rim-100k", rim},
		{"random-1k", cloud(rng, 1000)}, {"random-30", cloud(rng, 30)},
	} {
		b.Run(s.name, func(b *testing.B) {
			var t Triangulation
			b.ReportAllocs()
			for b.Loop() {
				if err := t.Build(s.points); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(s.points)), "ns/point")
		})
	}
}

// One face as a mesher has it: an outline with holes, flooded.
func BenchmarkFace(b *testing.B) {
	rng := rand.New(rand.NewPCG(7, 8))
	var points []Point
	var edges [][2]int32
	add := func(ps []Point, hole bool) {
		first, n := int32(len(points)), int32(len(ps))
		points = append(points, ps...)
		for i := range n {
			e := [2]int32{first + i, first + (i+1)%n}
			if hole {
				e[0], e[1] = e[1], e[0]
			}
			edges = append(edges, e)
		}
	}
	add(ring(rng, 0, 0, 4.5e8, 5e8, 400), false)
	for i := range 6 {
		a := float64(i)
		add(ring(rng, 2.5e8*math.Cos(a), 2.5e8*math.Sin(a), 5e7, 6e7, 60), true)
	}
	var t Triangulation
	b.ReportAllocs()
	for b.Loop() {
		if err := t.Build(points); err != nil {
			b.Fatal(err)
		}
		for _, e := range edges {
			if _, err := t.Constrain(e[0], e[1]); err != nil {
				b.Fatal(err)
			}
		}
		if err := t.Flood(edges); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(points)), "ns/point")
}
