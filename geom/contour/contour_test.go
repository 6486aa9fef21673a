package contour

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
)

// badEdges counts the edges that are not shared by exactly two opposed
// triangles.
func badEdges(m *mesh.Mesh) int {
	n := map[[2]uint32]int{}
	for _, t := range m.T {
		for i := range t {
			a, b := t[i], t[(i+1)%3]
			if a < b {
				n[[2]uint32{a, b}] += 1
			} else {
				n[[2]uint32{b, a}] += 1 << 16
			}
		}
	}
	bad := 0
	for _, c := range n {
		if c != 1+1<<16 {
			bad++
		}
	}
	return bad
}

func genus(m *mesh.Mesh) int {
	used := map[uint32]bool{}
	for _, t := range m.T {
		for _, i := range t {
			used[i] = true
		}
	}
	edges := len(m.T) * 3 / 2
	return 1 - (len(used)-edges+len(m.T))/2
}

func volume(m *mesh.Mesh) (v, a float64) {
	for _, t := range m.T {
		p, q, r := m.V[t[0]], m.V[t[1]], m.V[t[2]]
		v += p.Dot(q.Cross(r)) / 6
		a += q.Sub(p).Cross(r.Sub(p)).Len() / 2
	}
	return v, a
}

func TestTryB1(t *testing.T) {
	c, err := sdf.Compile(contourtest.B1())
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range []float64{0.1, 0.05, 0} {
		start := time.Now()
		m, class, r, err := raw(context.Background(), c, Options{Cell: h})
		if err != nil {
			t.Fatal(err)
		}
		took := time.Since(start)
		v, a := volume(m)
		worst, sum := 0.0, 0.0
		for i, p := range m.V {
			d := math.Abs(c.Dist(p))
			worst = max(worst, d)
			sum += d
			_ = i
		}
		cw := 0.0
		over := 0
		for _, tr := range m.T {
			p := m.V[tr[0]].Add(m.V[tr[1]]).Add(m.V[tr[2]]).Mul(1.0 / 3)
			d := math.Abs(c.Dist(p))
			cw = max(cw, d)
			if d > 0.005 {
				over++
			}
		}
		_ = class
		fmt.Printf("h=%g %v surfaces %d cells %d tris %d bad %d genus %d (one body) vol %.3f area %.2f faults %d vertex max %.2f um mean %.4f centroid max %.1f over5 %d\n", h, took, c.Surfaces(), r.Cells, len(m.T), badEdges(m), genus(m), v, a, r.Fallbacks, worst*1e3, sum/float64(len(m.V))*1e3, cw*1e3, over)
	}
}
