package manifold_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

// The judge agrees with the plain judge of meshtest on closed surfaces whose
// vertices were moved: whatever crosses, the topology stays sound.
func TestMovedVerticesKeepTopology(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := meshtest.Torus(5, 2, 12, 7)
		d := rapid.Float64Range(-3, 3)
		for range 3 {
			v := rapid.IntRange(0, len(m.V)-1).Draw(t, "v")
			m.V[v] = m.V[v].Add(vec.P{X: d.Draw(t, "x"), Y: d.Draw(t, "y"), Z: d.Draw(t, "z")})
		}
		r := manifold.Judge(m)
		for _, k := range []manifold.Kind{manifold.Open, manifold.Crowded, manifold.Flipped, manifold.Pinched, manifold.Duplicate} {
			if r.Count[k] != 0 {
				t.Fatalf("%d x %s", r.Count[k], k)
			}
		}
		if r.Genus() != 1 || len(r.Bodies) != 1 {
			t.Fatal(r.String())
		}
	})
}

// The judge finds exactly the crossings that relating all pairs finds.
func TestCrossingsAgreeWithAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := meshtest.Torus(5, 2, 9, 6)
		d := rapid.Float64Range(-4, 4)
		for range 4 {
			v := rapid.IntRange(0, len(m.V)-1).Draw(t, "v")
			m.V[v] = m.V[v].Add(vec.P{X: d.Draw(t, "x"), Y: d.Draw(t, "y"), Z: d.Draw(t, "z")})
		}
		r := manifold.Judge(m)
		if want := manifold.AllCrossings(m); r.Count[manifold.Crossing] != want {
			t.Fatalf("%d crossings, all pairs have %d", r.Count[manifold.Crossing], want)
		}
	})
}

// On triangles thrown together at random the judge counts what plain counting
// finds.
func TestTopologyAgreesWithPlainCounting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &mesh.Mesh{}
		for i := range 8 { // no three on a line
			x := float64(i)
			m.V = append(m.V, vec.P{X: x, Y: x * x, Z: x * x * x})
		}
		for range rapid.IntRange(1, 24).Draw(t, "triangles") {
			p := rapid.Permutation([]uint32{0, 1, 2, 3, 4, 5, 6, 7}).Draw(t, "corners")
			m.T = append(m.T, [3]uint32(p[:3]))
		}
		r := manifold.Judge(m)
		for k, want := range plainly(m) {
			if r.Count[k] != want {
				t.Fatalf("%d x %s, plain counting finds %d", r.Count[k], k, want)
			}
		}
	})
}

func plainly(m *mesh.Mesh) map[manifold.Kind]int {
	n := map[manifold.Kind]int{manifold.Open: 0, manifold.Crowded: 0, manifold.Flipped: 0, manifold.Pinched: 0, manifold.Duplicate: 0}
	edges := map[[2]uint32][]bool{} // up or down
	same := map[[3]uint32]int{}
	at := map[uint32][]int{} // triangles at a vertex
	for i, t := range m.T {
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			e := [2]uint32{min(a, b), max(a, b)}
			edges[e] = append(edges[e], a < b)
			at[a] = append(at[a], i)
		}
		slices.Sort(t[:])
		if same[t]++; same[t] > 1 {
			n[manifold.Duplicate]++
		}
	}
	for _, e := range edges {
		switch {
		case len(e) == 1:
			n[manifold.Open]++
		case len(e) > 2:
			n[manifold.Crowded]++
		case e[0] == e[1]:
			n[manifold.Flipped]++
		}
	}
	for v, ts := range at {
		reached := map[int]bool{ts[0]: true}
		for grown := true; grown; {
			grown = false
			for _, t := range ts {
				for u := range reached {
					if !reached[t] && neighbours(m.T[t], m.T[u], v) {
						reached[t], grown = true, true
						break
					}
				}
			}
		}
		if len(reached) < len(ts) {
			n[manifold.Pinched]++
		}
	}
	return n
}

// neighbours reports whether two triangles share an edge at v.
func neighbours(t, u [3]uint32, v uint32) bool {
	for _, a := range t {
		if a != v && slices.Contains(u[:], a) {
			return true
		}
	}
	return false
}
