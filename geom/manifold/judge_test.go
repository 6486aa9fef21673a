package manifold_test

import (
	"context"
	"math"
	"reflect"
	"strings"
	"testing"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

func cube(x, y, z, side float64) *mesh.Mesh { return meshtest.Cube(vec.P{X: x, Y: y, Z: z}, side) }

// expect fails t unless the report counts exactly what is wanted.
func expect(t *testing.T, r manifold.Report, want map[manifold.Kind]int) {
	t.Helper()
	sound := true
	for k := range manifold.Kinds {
		if r.Count[k] != want[k] {
			t.Errorf("%d x %s, want %d", r.Count[k], k, want[k])
		}
		sound = sound && (want[k] == 0 || k == manifold.Touch)
	}
	if r.OK() != sound {
		t.Errorf("OK is %v: %s", r.OK(), r.String())
	}
}

func TestSoundMeshes(t *testing.T) {
	hollow := meshtest.Join(cube(0, 0, 0, 10), cube(2, 2, 2, 3).Flip(), cube(3, 3, 3, 1))
	tilted := func(m *mesh.Mesh) *mesh.Mesh {
		return m.Transform(vec.Shift(vec.P{X: 7, Y: -3, Z: 11}).After(vec.Turn(vec.P{X: 1, Y: 2, Z: 3}, 0.7)))
	}
	for _, c := range []struct {
		name                 string
		m                    *mesh.Mesh
		bodies, voids, genus int
	}{
		{"empty", &mesh.Mesh{}, 0, 0, 0},
		{"cube", cube(1, 2, 3, 4), 1, 0, 0},
		{"tilted cube", tilted(cube(1, 2, 3, 4)), 1, 0, 0},
		{"sphere", meshtest.Sphere(2, 60), 1, 0, 0},
		{"cylinder", tilted(meshtest.Cylinder(2, 5, 90)), 1, 0, 0},
		{"tube", tilted(meshtest.Tube(3, 2, 1, 64)), 1, 0, 1},
		{"torus", meshtest.Torus(5, 1, 90, 30), 1, 0, 1},
		{"mirrored torus", meshtest.Torus(5, 1, 90, 30).Transform(vec.MirrorX()), 1, 0, 1},
		{"hollow cube with a cube in it", hollow, 2, 1, 0},
		{"linked rings", meshtest.Join(meshtest.Torus(5, 1, 90, 30), meshtest.Torus(5, 1, 90, 30).
			Transform(vec.Shift(vec.P{X: 5}).After(vec.Turn(vec.P{X: 1}, math.Pi/2)))), 2, 0, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, m := range []*mesh.Mesh{c.m, c.m.Float32()} {
				r := manifold.Judge(m)
				expect(t, r, nil)
				if len(r.Bodies) != c.bodies || r.Voids() != c.voids || r.Genus() != c.genus {
					t.Errorf("%d bodies, %d voids, genus %d; want %d, %d, %d",
						len(r.Bodies), r.Voids(), r.Genus(), c.bodies, c.voids, c.genus)
				}
				if math.Abs(r.Volume-m.Volume()) > 1e-9*r.Volume || math.Abs(r.Area-m.Area()) > 1e-9*r.Area {
					t.Errorf("volume %g, area %g; the mesh has %g, %g", r.Volume, r.Area, m.Volume(), m.Area())
				}
			}
		})
	}
}

func without(m *mesh.Mesh, t int) *mesh.Mesh {
	r := &mesh.Mesh{V: m.V}
	r.T = append(append(r.T, m.T[:t]...), m.T[t+1:]...)
	return r
}

func with(m *mesh.Mesh, ts ...[3]uint32) *mesh.Mesh {
	return &mesh.Mesh{V: m.V, T: append(append([][3]uint32(nil), m.T...), ts...)}
}

func turnOver(m *mesh.Mesh, t int) *mesh.Mesh {
	r := with(m)
	r.T[t] = [3]uint32{r.T[t][0], r.T[t][2], r.T[t][1]}
	return r
}

// wedge is a long thin tetrahedron pair: a box whose top is let down to the
// given angle.
func wedge(angle float64) *mesh.Mesh {
	z := 10 * math.Tan(angle)
	return &mesh.Mesh{
		V: []vec.P{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}, {X: 10, Z: z}, {X: 10, Y: 10, Z: z}},
		T: [][3]uint32{{0, 2, 1}, {0, 3, 2}, {0, 4, 5}, {0, 5, 3}, {1, 2, 5}, {1, 5, 4}, {0, 1, 4}, {3, 5, 2}},
	}
}

func TestBrokenMeshes(t *testing.T) {
	const (
		open, crowded, flipped, pinched     = manifold.Open, manifold.Crowded, manifold.Flipped, manifold.Pinched
		duplicate, degenerate, folded       = manifold.Duplicate, manifold.Degenerate, manifold.Folded
		crossing, overlap                   = manifold.Crossing, manifold.Overlap
		tjunction, inward, contained, touch = manifold.TJunction, manifold.Inward, manifold.Contained, manifold.Touch
	)
	type counts = map[manifold.Kind]int
	box := func(x0, y0, z0, x1, y1, z1 float64) *mesh.Mesh {
		return meshtest.Box(vec.Box{Min: vec.P{X: x0, Y: y0, Z: z0}, Max: vec.P{X: x1, Y: y1, Z: z1}})
	}
	unit := cube(0, 0, 0, 1)
	// a vertex moved to 0.05 um from the edge opposite
	sliver := with(unit)
	sliver.V = append(append([]vec.P(nil), unit.V...), vec.P{X: 0.5, Y: 0, Z: 0.5 + 5e-5/math.Sqrt2})
	sliver.V[8].X, sliver.V[8].Z = 0.5-5e-5/math.Sqrt2, 0.5+5e-5/math.Sqrt2
	sliver.T[5] = [3]uint32{0, 5, 8} // was 0, 5, 4: a flat face divided at a point by its diagonal
	sliver.T = append(sliver.T, [3]uint32{5, 4, 8}, [3]uint32{4, 0, 8})
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want counts
	}{
		{"a triangle missing", without(unit, 4), counts{open: 3}},
		{"a triangle turned over", turnOver(unit, 4), counts{flipped: 3}},
		{"inside out", unit.Flip(), counts{inward: 1}},
		{"two cubes share an edge", meshtest.Join(unit, cube(1, 1, 0, 1)).Weld(), counts{crowded: 1}},
		{"two cubes share a vertex", meshtest.Join(unit, cube(1, 1, 1, 1)).Weld(), counts{pinched: 1}},
		{"two cubes share a face", meshtest.Join(unit, cube(1, 0, 0, 1)).Weld(), counts{crowded: 5, duplicate: 2}},
		{"a triangle twice", with(unit, unit.T[3]), counts{crowded: 3, duplicate: 1}},
		{"a triangle and its back", with(unit, [3]uint32{unit.T[3][0], unit.T[3][2], unit.T[3][1]}), counts{crowded: 3, duplicate: 1}},
		{"a pillow", &mesh.Mesh{V: unit.V, T: [][3]uint32{{0, 1, 2}, {0, 2, 1}}}, counts{duplicate: 1, folded: 3}},
		{"a cube in a cube", meshtest.Join(cube(0, 0, 0, 3), cube(1, 1, 1, 1)), counts{contained: 1}},
		{"a void without a body", cube(0, 0, 0, 3).Flip(), counts{inward: 1}},
		{"a void in a void", meshtest.Join(cube(0, 0, 0, 5), cube(1, 1, 1, 3).Flip(), cube(2, 2, 2, 1).Flip()), counts{inward: 1}},
		{"a sliver", sliver, counts{degenerate: 1}},
		{"a triangle of no area", with(unit, [3]uint32{0, 1, 1}), counts{degenerate: 1}},
		{"a wedge of 0.002", wedge(0.002), nil},
		{"a wedge of 0.0009", wedge(0.0009), counts{folded: 1}},
		{"a tip of three triangles on a face", meshtest.Join(unit, meshtest.Moved(tip(), 0.4, 0.5, 1)), counts{touch: 3}},
		{"a bar through a plate", meshtest.Join(box(0, 0, 0, 9, 9, 1), box(4, 4.3, -3, 5, 5.1, 3)), counts{crossing: 20}},
		{"a cube stands on a larger one", meshtest.Join(cube(0, 0, 0, 9), cube(6.1, 3.3, 9, 1)), counts{overlap: 2, touch: 8}},
		{"a vertex on an edge of one neighbour only", tVertex(), counts{open: 3, tjunction: 1, touch: 2}},
		{"a bow tie", bowtie(), counts{open: 6, pinched: 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := manifold.Judge(c.m)
			if c.want[crossing] > 0 { // how many pairs is a matter of diagonals; that there are is not
				if r.Count[crossing] < 8 {
					t.Errorf("%d crossings", r.Count[crossing])
				}
				return
			}
			expect(t, r, c.want)
		})
	}
}

// tip is a tetrahedron that stands on its tip at the origin.
func tip() *mesh.Mesh {
	return &mesh.Mesh{
		V: []vec.P{{}, {X: 1, Z: 1}, {X: -1, Y: 1, Z: 1}, {X: -1, Y: -1, Z: 1}},
		T: [][3]uint32{{0, 2, 1}, {0, 3, 2}, {0, 1, 3}, {1, 2, 3}},
	}
}

// tVertex is a cube with an edge divided by a vertex on one side only.
func tVertex() *mesh.Mesh {
	m := cube(0, 0, 0, 1)
	m.V = append(m.V, vec.P{X: 0.5}) // on the edge 0-1; triangle 4 is {0, 1, 5}
	m.T[4] = [3]uint32{0, 8, 5}
	m.T = append(m.T, [3]uint32{8, 1, 5})
	return m
}

// bowtie is two triangles that share one vertex.
func bowtie() *mesh.Mesh {
	return &mesh.Mesh{
		V: []vec.P{{}, {X: 1}, {X: 1, Y: 1}, {X: -1}, {X: -1, Y: -1}},
		T: [][3]uint32{{0, 1, 2}, {0, 3, 4}},
	}
}

func TestUnfit(t *testing.T) {
	m := cube(0, 0, 0, 1)
	m.V[3].X = math.NaN()
	r := manifold.Judge(m)
	if r.OK() || r.Unfit == nil || !strings.Contains(r.String(), "vertex 3") {
		t.Error(r.String())
	}
}

func TestDefectsSayWhereAndWho(t *testing.T) {
	m := meshtest.Join(cube(0, 0, 0, 1), cube(5, 5, 5, 1))
	m.Tag = make([]uint32, len(m.T))
	for i := range m.Tag {
		m.Tag[i] = uint32(100 + i/12)
	}
	m.T[16], m.Tag[16] = [3]uint32{m.T[16][0], m.T[16][2], m.T[16][1]}, 300
	r := manifold.Judge(m)
	expect(t, r, map[manifold.Kind]int{manifold.Flipped: 3})
	for _, d := range r.Defects {
		if len(d.T) != 2 || d.T[0] != 16 && d.T[1] != 16 {
			t.Errorf("triangles %v, 16 is the one turned over", d.T)
		}
		if !reflect.DeepEqual(d.Tags, []uint32{101, 300}) {
			t.Errorf("tags %v", d.Tags)
		}
		if b := (vec.Box{Min: vec.P{X: 5, Y: 5, Z: 5}, Max: vec.P{X: 6, Y: 6, Z: 6}}); !b.Has(d.At) {
			t.Errorf("place %v", d.At)
		}
	}
	if !reflect.DeepEqual(r.Bodies[0].Tags, []uint32{100}) || !reflect.DeepEqual(r.Bodies[1].Tags, []uint32{101, 300}) {
		t.Errorf("bodies owned by %v and %v", r.Bodies[0].Tags, r.Bodies[1].Tags)
	}
	if s := r.String(); !strings.Contains(s, "3 flipped edges at (") || !strings.HasPrefix(s, "not sound: 24 triangles, 2 bodies") {
		t.Error(s)
	}
}

func TestCrossingPlace(t *testing.T) {
	a := &mesh.Mesh{
		V: []vec.P{{X: -1, Y: -1}, {X: 1, Y: -1}, {Y: 2}, {Z: -1}, {Y: 0.5, Z: 1}, {Y: -0.5, Z: 1}},
		T: [][3]uint32{{0, 1, 2}, {3, 4, 5}},
	}
	r := manifold.Judge(a)
	if r.Count[manifold.Crossing] != 1 {
		t.Fatal(r.String())
	}
	for _, d := range r.Defects {
		if d.Kind == manifold.Crossing && d.At.Len() > 1e-15 {
			t.Errorf("crossing at %v, the segment's middle is the origin", d.At)
		}
	}
}

// A mesh with one vertex pushed through the opposite wall.
func dented() *mesh.Mesh {
	m := meshtest.Sphere(3, 40)
	m.V[0].Z = 3.5
	return m
}

func TestSameForAnyNumberOfWorkers(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"crossing": meshtest.Join(meshtest.Torus(5, 2, 120, 60), meshtest.Moved(meshtest.Torus(5, 2, 120, 60), 1.1, 0.7, 0.3)),
		"open":     without(without(dented(), 77), 301),
	} {
		one, err := manifold.JudgeCtx(context.Background(), m, manifold.Options{Workers: 1, Keep: 50})
		if err != nil || one.OK() {
			t.Fatal(name, err)
		}
		for _, n := range []int{2, 5} {
			many, _ := manifold.JudgeCtx(context.Background(), m, manifold.Options{Workers: n, Keep: 50})
			if !reflect.DeepEqual(one, many) {
				t.Errorf("%s: the report of %d workers differs", name, n)
			}
		}
	}
}

func TestKeepBoundsTheListNotTheCount(t *testing.T) {
	m := meshtest.Join(meshtest.Torus(5, 2, 60, 30), meshtest.Moved(meshtest.Torus(5, 2, 60, 30), 1.1, 0.7, 0.3))
	all := manifold.Judge(m)
	some, _ := manifold.JudgeCtx(context.Background(), m, manifold.Options{Keep: 5})
	if all.Count != some.Count || len(some.Defects) != 5 || len(all.Defects) != all.Count[manifold.Crossing] {
		t.Errorf("%d kept of %d, all: %d", len(some.Defects), some.Count[manifold.Crossing], len(all.Defects))
	}
}

func TestCancelAndProgress(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := manifold.JudgeCtx(ctx, meshtest.Sphere(1, 20), manifold.Options{}); err == nil {
		t.Error("a cancelled judgement came to an end")
	}
	last, total := 0, 0
	_, err := manifold.JudgeCtx(context.Background(), meshtest.Sphere(1, 200), manifold.Options{
		Progress: func(d, n int) {
			if d <= last {
				t.Errorf("progress went from %d to %d", last, d)
			}
			last, total = d, n
		},
	})
	if err != nil || last != total {
		t.Errorf("ended at %d of %d: %v", last, total, err)
	}
}

// Files that would take for ever end soon: a fan whose boxes all meet, and
// triangles that all share an edge.
func TestHostileMeshes(t *testing.T) {
	fan := &mesh.Mesh{V: []vec.P{{}}}
	const n = 7000
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		fan.V = append(fan.V, vec.P{X: c, Y: s, Z: s * c})
		fan.T = append(fan.T, [3]uint32{0, uint32(i + 1), uint32((i+1)%n + 1)})
	}
	if r := manifold.Judge(fan); r.Unfit == nil || r.OK() {
		t.Error(r.String())
	}
	book := &mesh.Mesh{V: []vec.P{{}, {Z: 1}}}
	const pages = 1000
	for i := range pages {
		s, c := math.Sincos(2 * math.Pi * float64(i) / pages)
		book.V = append(book.V, vec.P{X: c, Y: s})
		book.T = append(book.T, [3]uint32{0, 1, uint32(i + 2)})
	}
	r := manifold.Judge(book)
	if r.Count[manifold.Crowded] != 1 || r.Count[manifold.Open] != 2*pages || r.Count[manifold.Pinched] != 0 {
		t.Error(r.String())
	}
}

// gridPlate is a box of n by n by 1 cells, each face divided: flat faces with
// many vertices in one plane.
func gridPlate(n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	at := func(i, j, k int) uint32 { return uint32((k*(n+1)+j)*(n+1) + i) }
	for k := range 2 {
		for j := range n + 1 {
			for i := range n + 1 {
				m.V = append(m.V, vec.P{X: float64(i) * 0.037, Y: float64(j) * 0.041, Z: float64(k)})
			}
		}
	}
	quad := func(a, b, c, d uint32) { m.T = append(m.T, [3]uint32{a, b, c}, [3]uint32{a, c, d}) }
	for j := range n {
		for i := range n {
			quad(at(i, j, 0), at(i, j+1, 0), at(i+1, j+1, 0), at(i+1, j, 0))
			quad(at(i, j, 1), at(i+1, j, 1), at(i+1, j+1, 1), at(i, j+1, 1))
		}
		quad(at(j, 0, 0), at(j+1, 0, 0), at(j+1, 0, 1), at(j, 0, 1))
		quad(at(j+1, n, 0), at(j, n, 0), at(j, n, 1), at(j+1, n, 1))
		quad(at(0, j+1, 0), at(0, j, 0), at(0, j, 1), at(0, j+1, 1))
		quad(at(n, j, 0), at(n, j+1, 0), at(n, j+1, 1), at(n, j, 1))
	}
	return m
}
