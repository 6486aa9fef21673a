package contour

import (
	"context"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

// meshOf returns the living triangles of a net.
func meshOf(n *net) *mesh.Mesh {
	m := &mesh.Mesh{V: n.at}
	for t := 0; t < len(n.org); t += 3 {
		if n.org[t] != dead {
			m.T = append(m.T, [3]uint32{n.org[t], n.org[t+1], n.org[t+2]})
		}
	}
	return m
}

// Whatever edges are collapsed and turned, the mesh stays closed and
// two-manifold and keeps its handles, as long as the link condition is asked.
func TestNetKeepsTopology(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"sphere": meshtest.Sphere(1, 8),
		"torus":  meshtest.Torus(2, 1, 9, 5),
		"tube":   meshtest.Tube(2, 1, 1, 7),
	} {
		genus := m.Genus()
		rapid.Check(t, func(t *rapid.T) {
			n, err := newNet(context.Background(), m.V, m.T, 1)
			if err != nil {
				t.Fatal(err)
			}
			rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
			for range rapid.IntRange(0, 400).Draw(t, "moves") {
				e := rnd.Int32N(int32(len(n.org)))
				if n.org[e] == dead {
					continue
				}
				p, q, x, y := n.org[e], n.dest(e), n.org[prev(e)], n.org[prev(n.twin[e])]
				switch {
				case rnd.IntN(3) > 0:
					if n.linked(e) {
						n.collapse(e)
					}
				case x != y && n.between(x, y) < 0 && n.valence(p, 4) > 3 && n.valence(q, 4) > 3:
					n.flip(e)
				}
				for _, v := range [4]uint32{p, q, x, y} {
					if n.out[v] >= 0 && n.valence(v, 10000) == 10000 {
						t.Fatalf("%s: there is no way round vertex %d", name, v)
					}
				}
			}
			left := meshOf(n)
			again, err := newNet(context.Background(), left.V, left.T, 1) // closed, one fan at each vertex
			if err != nil {
				t.Fatal(err)
			}
			if g := left.Genus(); g != genus {
				t.Fatalf("%s: genus %d has become %d with %d triangles", name, genus, g, len(left.T))
			}
			for v, h := range n.out {
				if (h < 0) != (again.out[v] < 0) || h >= 0 && n.org[h] != uint32(v) {
					t.Fatalf("%s: half-edge %d does not leave vertex %d", name, h, v)
				}
			}
		})
	}
}

// cross agrees with the judge of meshes.
func TestCross(t *testing.T) {
	counts := [2]int{}
	rapid.Check(t, func(t *rapid.T) {
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		point := func() vec.P { return vec.P{X: rnd.Float64(), Y: rnd.Float64(), Z: rnd.Float64()} }
		flat := false
		m := &mesh.Mesh{V: []vec.P{point(), point(), point(), point(), point(), point()}, T: [][3]uint32{{0, 1, 2}, {3, 4, 5}}}
		if rapid.Bool().Draw(t, "shared") {
			m.T[1][rnd.IntN(3)] = uint32(rnd.IntN(3))
		} else if flat = rapid.Bool().Draw(t, "flat"); flat { // a corner in the other's plane
			m.V[3] = m.V[0].Lerp(m.V[1], 0.5).Lerp(m.V[2], rnd.Float64()*2)
		}
		a, b, c := m.Corners(0)
		f, ok := newFacet(0, m.T[0], a, b, c)
		if !ok {
			return
		}
		a, b, c = m.Corners(1)
		r := manifold.Judge(m)
		want := r.Count[manifold.Crossing] > 0
		touch := flat || r.Count[manifold.Touch] > 0 // may be taken for a crossing
		if got := cross(&f, m.T[1], [3]vec.P{a, b, c}); got != want && !(got && touch) {
			t.Fatalf("cross says %v of %v, the judge %v", got, m, want)
		}
		if want {
			counts[1]++
		} else {
			counts[0]++
		}
	})
	if counts[0] == 0 || counts[1] == 0 {
		t.Errorf("%d pairs crossed, %d did not", counts[1], counts[0])
	}
}
