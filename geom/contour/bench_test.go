package contour

import (
	"context"
	"math"
	"strconv"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/cost"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

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
	start := cost.Start()
	for b.Loop() {
		var err error
		if m, _, _, err = raw(context.Background(), c, o); err != nil {
			b.Fatal(err)
		}
	}
	start.Report(b)
	cost.Memory(b)
	judge(b, m)
}

func BenchmarkB1Cell100um(b *testing.B) { benchRaw(b, Options{Cell: 0.1}) }
func BenchmarkB1Cell50um(b *testing.B)  { benchRaw(b, Options{Cell: 0.05}) }
func BenchmarkB1Cell25um(b *testing.B)  { benchRaw(b, Options{Cell: 0.025}) }

// One goroutine, to compare with two.
func BenchmarkB1Cell50umAlone(b *testing.B) { benchRaw(b, Options{Cell: 0.05, Workers: 1}) }

func BenchmarkB1Raw5um(b *testing.B) { benchRaw(b, Options{}) }

// The whole way: cells, refinement, reduction, measured.
func BenchmarkB1Mesh5um(b *testing.B) {
	c := b1(b)
	var m *mesh.Mesh
	var r Report
	start := cost.Start()
	for b.Loop() {
		var err error
		if m, r, err = Mesh(context.Background(), c, Options{}); err != nil {
			b.Fatal(err)
		}
	}
	start.Report(b)
	cost.Memory(b)
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

// Plates with the seats of many small stones: the time for each cell that the
// surface passes.
func BenchmarkB1Seats(b *testing.B) {
	for _, n := range []int{10, 1000, 10000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			c, err := sdf.Compile(seats(n))
			if err != nil {
				b.Fatal(err)
			}
			cells := 0
			start := cost.Start()
			for b.Loop() {
				_, _, r, err := raw(context.Background(), c, Options{Cell: 0.1})
				if err != nil {
					b.Fatal(err)
				}
				cells = r.Cells
			}
			b.ReportMetric(float64(start.CPU().Microseconds())/float64(b.N)/float64(cells), "cpu-us/cell")
			b.ReportMetric(float64(cells), "cells")
		})
	}
}

// seats is a plate with n conical seats of 1.3 mm stones, 1.5 mm apart.
func seats(n int) sdf.Field {
	const pitch = 1.5
	across := int(math.Ceil(math.Sqrt(float64(n))))
	half := pitch * float64(across) / 2
	d := sdf.Difference{From: sdf.Box{Half: vec.P{X: half, Y: half, Z: 0.5}}}
	for i := range n {
		at := vec.P{X: pitch*(float64(i%across)+0.5) - half, Y: pitch*(float64(i/across)+0.5) - half}
		d.Cut = append(d.Cut, sdf.At(sdf.Cone{R0: 0.2, Z0: -0.6, R1: 0.65, Z1: 0.6}, vec.Shift(at)))
	}
	return d
}
