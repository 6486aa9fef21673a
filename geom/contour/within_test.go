package contour

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Random fields whose meshes once strayed farther than their tolerance: chords
// beside a crease or a corner (5319); cells that needed to be finer since no point
// of the surface was found in them (924, 3760, 9755); the tip of a spike that was cut
// off (9043); an edge rounded with a chord too few (3359), a corner of which its crease
// had gone to another place (3807), a ridge (9323), a knife edge (6535), which take
// several stars each.
func TestWithin(t *testing.T) {
	for _, i := range fieldList(t, "5,90,190,845,1015,1287,5319,924,3760,9755,9043,3359,3807,9323,6535") {
		if v := tryField(i); v.out != "" || v.left != "" || v.off > 1 {
			t.Errorf("field %d: %s off by %.2f tolerances; %s", i, v.out, v.off, v.left)
		}
	}
}

// Stars may turn no triangle against the surface (190 would), leave no vertex that
// they take out farther than the tolerance from the mesh (1279), and cross nothing
// (928).
func TestStarsAreGuarded(t *testing.T) {
	for _, i := range fieldList(t, "190,928,1279") {
		f, tol := numbered(i)
		c, err := sdf.Compile(f)
		if err != nil {
			t.Fatal(err)
		}
		m, err := newMesher(c, Options{Tol: tol})
		if err != nil {
			t.Fatal(err)
		}
		out, err := m.reduced(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		was, against := copied(out), againstSurface(c, out)
		if changed, err := m.within(context.Background(), out); !changed || err != nil {
			t.Fatalf("field %d: nothing was replaced (%v)", i, err)
		}
		if n := againstSurface(c, out); n > against {
			t.Errorf("field %d: %d triangles face against the surface, of which %d did before", i, n, against)
		}
		if s := flaws(out); s != "" {
			t.Errorf("field %d: %s", i, s)
		}
		tree := mesh.NewTree(out)
		for _, p := range was.V {
			if _, ok := tree.Near(p, tol); !ok {
				t.Errorf("field %d: the mesh does not come to %v any more", i, p)
			}
		}
	}
}

// againstSurface counts the triangles that face against the surface nearest to their
// middles.
func againstSurface(c *sdf.Code, m *mesh.Mesh) (n int) {
	for k := range m.T {
		a, b, d := m.Corners(k)
		if _, out, _ := c.Nearest(a.Add(b).Add(d).Mul(1.0 / 3)); out.Dot(b.Sub(a).Cross(d.Sub(a))) <= 0 {
			n++
		}
	}
	return n
}

// What is measured at a few points of each triangle holds for others: meshes that
// were off by 1.3 times their tolerance and more there, and said that they were not.
func TestBetweenPoints(t *testing.T) {
	const n, most = 8, 1.1
	for _, i := range fieldList(t, "70,676") {
		f, tol := numbered(i)
		c, err := sdf.Compile(f)
		if err != nil {
			t.Fatal(err)
		}
		m, _, err := Mesh(context.Background(), c, Options{Tol: tol})
		if err != nil {
			t.Fatal(err)
		}
		far := mesh.Stray{}
		for k := range m.T {
			a, b, d := m.Corners(k)
			for x := range n + 1 {
				for y := range n + 1 - x {
					p := a.Add(b.Sub(a).Mul(float64(x) / n)).Add(d.Sub(a).Mul(float64(y) / n))
					if math.Abs(c.Dist(p)) > tol*negligible {
						far = far.Farther(mesh.Stray{By: c.Distance(p), At: p})
					}
				}
			}
		}
		if far.By > most*tol {
			t.Errorf("field %d: off by %.2f tolerances at %v", i, far.By/tol, far.At)
		}
	}
}

// Whatever disks are replaced by stars, the mesh stays closed and two-manifold and
// keeps its handles; and what is taken back leaves no trace.
func TestStarsKeepTopology(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"tetrahedron": {V: []vec.P{{}, {X: 1}, {Y: 1}, {Z: 1}}, T: [][3]uint32{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}}},
		"sphere":      meshtest.Sphere(1, 8),
		"torus":       meshtest.Torus(2, 1, 5, 4),
		"tube":        meshtest.Tube(2, 1, 1, 7),
	} {
		genus := m.Genus()
		rapid.Check(t, func(t *rapid.T) {
			out := &mesh.Mesh{V: slices.Clone(m.V), T: slices.Clone(m.T)}
			p := newPatchwork(out)
			rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
			for range rapid.IntRange(0, 100).Draw(t, "stars") {
				at := uint32(rnd.IntN(len(out.T)))
				if p.gone[at] {
					continue
				}
				s := star{patch: []uint32{at}}
				for range 1 << rnd.IntN(9) { // a patch that grows this way and that
					c := out.T[s.patch[rnd.IntN(len(s.patch))]]
					k := rnd.IntN(3)
					if o := p.beyond(c[(k+1)%3], c[k]); !slices.Contains(s.patch, o) {
						s.patch = append(s.patch, o)
					}
				}
				if !p.ring(&s) {
					continue
				}
				if rnd.IntN(3) == 0 {
					p.to(&s, vec.P{X: rnd.Float64(), Y: rnd.Float64(), Z: rnd.Float64()})
				} else if !p.from(&s, s.loop[rnd.IntN(len(s.loop))]) {
					continue
				}
				if !p.make(&s) {
					continue
				}
				was := stateOf(p)
				p.set(&s)
				if rnd.IntN(4) == 0 {
					p.undo(&s)
					if now := stateOf(p); !reflect.DeepEqual(now, was) {
						t.Fatalf("%s: %+v was undone to %+v", name, was, now)
					}
				}
			}
			p.compact()
			r := manifold.Judge(out)
			for _, k := range []manifold.Kind{manifold.Open, manifold.Crowded, manifold.Flipped, manifold.Pinched, manifold.Duplicate} {
				if r.Count[k] > 0 {
					t.Fatalf("%s: %d %v", name, r.Count[k], k)
				}
			}
			if g := out.Genus(); g != genus {
				t.Fatalf("%s: genus %d has become %d", name, genus, g)
			}
		})
	}
}

// state is all that a patchwork consists of, its lists without an order sorted.
type state struct {
	v     []vec.P
	t     [][3]uint32
	fan   [][]uint32
	gone  []bool
	fresh []uint32
}

func stateOf(p *patchwork) state {
	s := state{slices.Clone(p.out.V), slices.Clone(p.out.T), nil, slices.Clone(p.gone), slices.Sorted(slices.Values(p.fresh))}
	for _, f := range p.fan {
		s.fan = append(s.fan, slices.Sorted(slices.Values(f)))
	}
	return s
}
