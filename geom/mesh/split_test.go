package mesh_test

import (
	"math"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

// Splitting leaves the surface where it is: the same volume, area, genus and
// tags, no edge longer than asked, every edge still of two triangles.
func TestSplit(t *testing.T) {
	torus := meshtest.Torus(3, 1, 24, 12)
	torus.Tag = make([]uint32, len(torus.T))
	for i := range torus.Tag {
		torus.Tag[i] = uint32(i % 3)
	}
	box := meshtest.Box(vec.Box{Max: vec.P{X: 7, Y: 1, Z: 0.3}})
	for name, m := range map[string]*mesh.Mesh{"torus": torus, "box": box} {
		s := m.Split(0.4, 1<<20)
		if math.Abs(s.Volume()-m.Volume()) > 1e-9 || math.Abs(s.Area()-m.Area()) > 1e-9 || s.Genus() != m.Genus() {
			t.Errorf("%s: volume %g, area %g, genus %d; it had %g, %g, %d", name, s.Volume(), s.Area(), s.Genus(), m.Volume(), m.Area(), m.Genus())
		}
		uses := map[[2]uint32]int{}
		area := map[uint32]float64{}
		for i, c := range s.T {
			a, b, d := s.Corners(i)
			for k := range 3 {
				uses[[2]uint32{c[k], c[(k+1)%3]}]++
			}
			if l := max(b.Sub(a).Len(), d.Sub(b).Len(), a.Sub(d).Len()); l > 0.4 {
				t.Fatalf("%s: an edge of %g mm", name, l)
			}
			if len(s.Tag) > 0 {
				area[s.Tag[i]] += b.Sub(a).Cross(d.Sub(a)).Len() / 2
			}
		}
		for e, n := range uses {
			if n != 1 || uses[[2]uint32{e[1], e[0]}] != 1 {
				t.Fatalf("%s: edge %v is used %d times", name, e, n)
			}
		}
		for i, c := range m.T {
			if len(m.Tag) > 0 {
				a, b, d := m.V[c[0]], m.V[c[1]], m.V[c[2]]
				area[m.Tag[i]] -= b.Sub(a).Cross(d.Sub(a)).Len() / 2
			}
		}
		for tag, left := range area {
			if math.Abs(left) > 1e-9 {
				t.Errorf("%s: tag %d has changed by %g mm2", name, tag, left)
			}
		}
	}
	if n := len(torus.Split(1e-6, 1000).T); n > 4000 {
		t.Errorf("%d triangles, where 1000 should be enough", n)
	}
	if torus.Split(100, 1<<20).V[0] != torus.V[0] || len(torus.Split(100, 1<<20).T) != len(torus.T) {
		t.Error("a mesh of short edges is split")
	}
}
