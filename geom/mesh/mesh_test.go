package mesh_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

// prism is the area of the regular n-gon with corners at radius 1.
func prism(n int) float64 { return float64(n) / 2 * math.Sin(2*math.Pi/float64(n)) }

func TestShapes(t *testing.T) {
	sphere := 4.0 / 3 * math.Pi * 27
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want meshtest.Want
	}{
		{"box", meshtest.Box(vec.Box{Min: vec.P{X: 1, Y: 2, Z: 3}, Max: vec.P{X: 3, Y: 5, Z: 7}}), meshtest.Want{
			Volume: 24, Area: 52, Bodies: 1, Genus: meshtest.Genus(0), Centroid: &vec.P{X: 2, Y: 3.5, Z: 5},
			Bounds: vec.Box{Min: vec.P{X: 1, Y: 2, Z: 3}, Max: vec.P{X: 3, Y: 5, Z: 7}},
		}},
		{"sphere", meshtest.Sphere(3, 200), meshtest.Want{
			Volume: sphere, Area: 36 * math.Pi, Bodies: 1, Genus: meshtest.Genus(0), Centroid: &vec.P{}, Tol: 1e-3,
		}},
		{"cylinder", meshtest.Cylinder(2, 5, 24), meshtest.Want{
			Volume: 20 * prism(24), Bodies: 1, Genus: meshtest.Genus(0), Centroid: &vec.P{Z: 2.5},
			Area: 8*prism(24) + 5*24*4*math.Sin(math.Pi/24),
		}},
		{"tube", meshtest.Tube(2, 1, 5, 24), meshtest.Want{Volume: 15 * prism(24), Bodies: 1, Genus: meshtest.Genus(1)}},
		// Pappus: volume 2 pi^2 R r^2, area 4 pi^2 R r
		{"torus", meshtest.Torus(5, 2, 240, 120), meshtest.Want{
			Volume: 40 * math.Pi * math.Pi, Area: 40 * math.Pi * math.Pi, Bodies: 1, Genus: meshtest.Genus(1),
			Centroid: &vec.P{}, Tol: 1e-3,
		}},
	} {
		t.Run(c.name, func(t *testing.T) { meshtest.Conform(t, c.m, c.want) })
	}
}

// Inertia of textbook solids about the centroid, at density 1.
func TestInertia(t *testing.T) {
	near := func(t *testing.T, got, want, tol float64) {
		t.Helper()
		if math.Abs(got-want) > tol {
			t.Errorf("got %.10g, want %.10g within %g", got, want, tol)
		}
	}
	t.Run("box", func(t *testing.T) { // m/12 (b2 + c2), wherever it stands
		m := meshtest.Box(vec.Box{Min: vec.P{X: 100, Y: -50, Z: 7}, Max: vec.P{X: 102, Y: -47, Z: 12}})
		i := m.Moments().Inertia
		near(t, i[0][0], 30.0/12*(9+25), 1e-9)
		near(t, i[1][1], 30.0/12*(25+4), 1e-9)
		near(t, i[2][2], 30.0/12*(4+9), 1e-9)
		for _, k := range [][2]int{{0, 1}, {1, 2}, {2, 0}, {1, 0}} {
			near(t, i[k[0]][k[1]], 0, 1e-9)
		}
	})
	t.Run("ball", func(t *testing.T) { // 2/5 m r2
		i := meshtest.Sphere(2, 600).Moments()
		for k := range 3 {
			near(t, i.Inertia[k][k], 0.4*4*i.Mass, 2e-4*i.Inertia[k][k])
		}
	})
	t.Run("torus", func(t *testing.T) { // axis m (R2 + 3/4 r2), across m (R2/2 + 5/8 r2)
		i := meshtest.Torus(5, 2, 600, 300).Moments()
		near(t, i.Inertia[2][2], i.Mass*(25+3), 5e-4*i.Inertia[2][2])
		near(t, i.Inertia[0][0], i.Mass*(12.5+2.5), 5e-4*i.Inertia[0][0])
	})
	t.Run("corner tetrahedron", func(t *testing.T) {
		// x, y, z >= 0, x+y+z <= 1: volume 1/6, centroid 1/4 each, integral of
		// x2 is 1/60 and of xy 1/120 about the corner.
		m := &mesh.Mesh{
			V: []vec.P{{}, {X: 1}, {Y: 1}, {Z: 1}},
			T: [][3]uint32{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}},
		}
		i := m.Moments()
		near(t, i.Mass, 1.0/6, 1e-15)
		near(t, i.Centroid.Sub(vec.P{X: .25, Y: .25, Z: .25}).Len(), 0, 1e-15)
		near(t, i.Inertia[0][0], 2*(1.0/60-1.0/96), 1e-15)
		near(t, i.Inertia[0][1], -(1.0/120 - 1.0/96), 1e-15)
	})
	t.Run("two halves make a whole", func(t *testing.T) {
		whole := meshtest.Box(vec.Box{Max: vec.P{X: 4, Y: 2, Z: 1}}).Moments()
		l := meshtest.Box(vec.Box{Max: vec.P{X: 1, Y: 2, Z: 1}}).Moments()
		r := meshtest.Box(vec.Box{Min: vec.P{X: 1}, Max: vec.P{X: 4, Y: 2, Z: 1}}).Moments()
		sum := mesh.Moments{}.Plus(l.Times(3)).Plus(r.Times(3))
		near(t, sum.Mass, 3*whole.Mass, 1e-12)
		near(t, sum.Centroid.Sub(whole.Centroid).Len(), 0, 1e-12)
		for a := range 3 {
			for b := range 3 {
				near(t, sum.Inertia[a][b], 3*whole.Inertia[a][b], 1e-11)
			}
		}
	})
}

func TestMirroredWeighsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-20, 20)
		m := meshtest.Moved(meshtest.Torus(3, 1, 17, 9), c.Draw(t, "x"), c.Draw(t, "y"), c.Draw(t, "z"))
		for i := range m.V { // no symmetry that could hide a fault
			m.V[i].X += 0.1 * math.Sin(float64(i))
			m.V[i].Y += 0.1 * math.Cos(float64(3*i))
		}
		n := m.Transform(vec.MirrorX())
		if m.Volume() != n.Volume() || m.Area() != n.Area() {
			t.Fatalf("volume %v and %v, area %v and %v", m.Volume(), n.Volume(), m.Area(), n.Area())
		}
		if a, b := m.Centroid(), n.Centroid(); a.X != -b.X || a.Y != b.Y || a.Z != b.Z {
			t.Fatalf("centroids %v and %v", a, b)
		}
	})
}

func TestNesting(t *testing.T) {
	cube := func(at, side float64) *mesh.Mesh { return meshtest.Cube(vec.P{X: at, Y: at, Z: at}, side) }
	// a hollow cube with a loose cube in the hollow, which is hollow itself,
	// a second void beside it, and a neighbour outside
	m := meshtest.Join(
		meshtest.Cube(vec.P{X: 3, Y: 3, Z: 3}, 1).Flip(), // 0: void of 2
		cube(20, 1),       // 1: neighbour
		cube(2, 3),        // 2: loose cube
		cube(0, 10),       // 3: outer
		cube(1, 5).Flip(), // 4: void of 3
		meshtest.Cube(vec.P{X: 8, Y: 8, Z: 8}, 1).Flip(), // 5: void of 3
	)
	ss := m.Shells()
	parents, depths := []int{2, -1, 4, -1, 3, 3}, []int{3, 0, 2, 0, 1, 1}
	for i, s := range ss {
		if s.Parent != parents[i] || s.Depth != depths[i] {
			t.Errorf("shell %d has parent %d and depth %d, want %d and %d", i, s.Parent, s.Depth, parents[i], depths[i])
		}
		if s.Genus() != 0 || s.V != 8 || s.E != 18 {
			t.Errorf("shell %d: genus %d, %d vertices, %d edges", i, s.Genus(), s.V, s.E)
		}
	}
	bs := m.Bodies()
	if len(bs) != 3 || bs[0].Outer != 1 || bs[1].Outer != 2 || bs[2].Outer != 3 {
		t.Fatalf("bodies %v", bs)
	}
	if v := bs[2].Voids; len(v) != 2 || v[0] != 4 || v[1] != 5 {
		t.Errorf("voids of the outer cube are %v", v)
	}
	meshtest.Conform(t, m, meshtest.Want{Volume: 1000 - 125 - 1 + 27 - 1 + 1, Bodies: 3})
	if sub := m.Sub(ss[4].T); sub.Volume() != -125 || len(sub.V) != 8 {
		t.Errorf("void cut out: volume %g, %d vertices", sub.Volume(), len(sub.V))
	}
}

// A ring around a rod is beside it, though the box of the ring holds the rod's.
func TestNestingAsksMoreThanBoxes(t *testing.T) {
	m := meshtest.Join(meshtest.Tube(5, 2, 3, 40), meshtest.Moved(meshtest.Cylinder(1, 1, 12), 0, 0, 1))
	for i, s := range m.Shells() {
		if s.Depth != 0 {
			t.Errorf("shell %d has depth %d", i, s.Depth)
		}
	}
}

// A void that touches its body's wall at a vertex is still inside.
func TestNestingOfShellsThatTouch(t *testing.T) {
	tip := &mesh.Mesh{ // a tetrahedron with its first vertices on the wall x = 0
		V: []vec.P{{X: 0, Y: 5, Z: 5}, {X: 2, Y: 4, Z: 4}, {X: 2, Y: 6, Z: 4}, {X: 2, Y: 5, Z: 6}},
		T: [][3]uint32{{0, 1, 2}, {0, 2, 3}, {0, 3, 1}, {1, 3, 2}},
	}
	if tip.Volume() > 0 {
		tip = tip.Flip()
	}
	m := meshtest.Join(meshtest.Cube(vec.P{}, 10), tip)
	if ss := m.Shells(); ss[1].Depth != 1 || !ss[1].Void() {
		t.Errorf("depth %d, volume %g", ss[1].Depth, ss[1].Volume)
	}
}

func TestWeld(t *testing.T) {
	m := meshtest.Torus(4, 1, 30, 20)
	loose := &mesh.Mesh{Tag: make([]uint32, len(m.T))}
	for i := range m.T {
		a, b, c := m.Corners(i)
		n := uint32(len(loose.V))
		loose.V = append(loose.V, a, b, c)
		loose.T = append(loose.T, [3]uint32{n, n + 1, n + 2})
		loose.Tag[i] = uint32(i)
	}
	w := loose.Weld()
	if len(w.V) != len(m.V) || w.Tag[7] != 7 {
		t.Fatalf("%d vertices after welding, want %d", len(w.V), len(m.V))
	}
	meshtest.Conform(t, w, meshtest.Want{Volume: m.Volume(), Genus: meshtest.Genus(1), Bodies: 1})
	zero := mesh.NewWelder(0)
	if zero.Add(vec.P{X: math.Copysign(0, -1)}) != zero.Add(vec.P{}) {
		t.Error("-0 and 0 are two points")
	}
}

func TestTransformKeepsOutward(t *testing.T) {
	m := meshtest.Cylinder(1, 3, 7)
	at := vec.Shift(vec.P{X: 3}).After(vec.Turn(vec.P{X: 1, Y: 2, Z: 3}, 1)).After(vec.MirrorX())
	meshtest.Conform(t, m.Transform(at), meshtest.Want{Volume: m.Volume(), Area: m.Area(), Bodies: 1})
	if m.Flip().Volume() != -m.Volume() {
		t.Error("a mesh turned inside out has not the negative volume")
	}
}

func TestAppendTags(t *testing.T) {
	a, b := meshtest.Cube(vec.P{}, 1), meshtest.Cube(vec.P{X: 2}, 1)
	b.Tag = make([]uint32, 12)
	for i := range b.Tag {
		b.Tag[i] = 9
	}
	m := meshtest.Join(a, b, a)
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	if m.Tag[11] != 0 || m.Tag[12] != 9 || m.Tag[24] != 0 {
		t.Errorf("tags %v", m.Tag)
	}
}

func TestCheck(t *testing.T) {
	for name, spoil := range map[string]func(*mesh.Mesh){
		"index": func(m *mesh.Mesh) { m.T[3][1] = 8 },
		"NaN":   func(m *mesh.Mesh) { m.V[2].Y = math.NaN() },
		"inf":   func(m *mesh.Mesh) { m.V[2].Z = math.Inf(-1) },
		"tags":  func(m *mesh.Mesh) { m.Tag = []uint32{1} },
	} {
		m := meshtest.Cube(vec.P{}, 1)
		if err := m.Check(); err != nil {
			t.Fatal(err)
		}
		if spoil(m); m.Check() == nil {
			t.Errorf("%s: not noticed", name)
		}
	}
}

func TestEmpty(t *testing.T) {
	var m mesh.Mesh
	if m.Volume() != 0 || m.Area() != 0 || !m.Bounds().IsEmpty() || len(m.Shells()) != 0 || len(m.Bodies()) != 0 {
		t.Error("the empty mesh measures something")
	}
	tree := mesh.NewTree(&m)
	if _, ok := tree.Near(vec.P{}, 9); ok {
		t.Error("the empty tree is near something")
	}
	if _, ok := tree.Ray(vec.P{}, vec.P{X: 1}, 9); ok || len(tree.PairTasks()) != 0 {
		t.Error("the empty tree is met by a ray")
	}
	if n := m.Weld(); len(n.V) != 0 {
		t.Error("welding nothing gives something")
	}
}

// A mesh of one shell has the shell's volume and box, to the last bit.
func TestShellMeasuresAreTheMeshs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-9, 9)
		v := func() vec.P { return vec.P{X: c.Draw(t, "x"), Y: c.Draw(t, "y"), Z: c.Draw(t, "z")} }
		m := meshtest.Torus(5, 2, 9, 6).Transform(vec.Shift(v()).After(vec.Turn(vec.P{X: 1, Y: 2, Z: 3}, c.Draw(t, "turn"))))
		m.V[rapid.IntRange(0, len(m.V)-1).Draw(t, "i")] = v()
		ss := m.Shells()
		if len(ss) != 1 || ss[0].Volume != m.Volume() || ss[0].Box != m.Bounds() || 2*ss[0].E != 3*len(m.T) {
			t.Fatalf("%d shells, %d edges, volume %v and %v, box %v and %v", len(ss), ss[0].E, ss[0].Volume, m.Volume(), ss[0].Box, m.Bounds())
		}
	})
}
