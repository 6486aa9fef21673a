package meshtest

import (
	"math"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Want is what a mesh should measure. A field left at its zero is not asked,
// except that of Tol: a relative tolerance, 0 meaning 1e-9, which covers the
// rounding of sums.
type Want struct {
	Volume, Area float64 // mm3, mm2
	Centroid     *vec.P
	Bounds       vec.Box // not asked where it is the zero Box
	Genus        *int    // of the whole surface
	Bodies       int
	Tol          float64
}

// Genus returns a pointer to g, for Want.
func Genus(g int) *int { return &g }

// Conform fails t unless m is closed, two-manifold and outward, and measures
// what is wanted. It shares no code with package manifold and looks for no
// crossings: it is the plain judge that the fast one is checked against.
func Conform(t testing.TB, m *mesh.Mesh, want Want) {
	t.Helper()
	if err := m.Check(); err != nil {
		t.Fatal(err)
	}
	if len(m.T) == 0 {
		t.Fatal("mesh has no triangles")
	}
	edges(t, m)
	fans(t, m)
	tol := want.Tol
	if tol == 0 {
		tol = 1e-9
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if want != 0 && math.Abs(got-want) > tol*math.Abs(want) {
			t.Errorf("%s is %.12g, want %.12g within %g", what, got, want, tol)
		}
	}
	near("volume", m.Volume(), want.Volume)
	near("area", m.Area(), want.Area)
	size := m.Bounds().Size().Len()
	if c := want.Centroid; c != nil {
		if d := m.Centroid().Sub(*c).Len(); d > tol*size {
			t.Errorf("centroid is %v, want %v within %g", m.Centroid(), *c, tol*size)
		}
	}
	if b := want.Bounds; b != (vec.Box{}) {
		got := m.Bounds()
		if got.Min.Sub(b.Min).Len() > tol*size || got.Max.Sub(b.Max).Len() > tol*size {
			t.Errorf("bounds are %v, want %v", got, b)
		}
	}
	shells := m.Shells()
	for i, s := range shells {
		if outer := s.Depth%2 == 0; s.Volume == 0 || outer != (s.Volume > 0) {
			t.Errorf("shell %d at depth %d has volume %g: it faces the wrong way", i, s.Depth, s.Volume)
		}
	}
	if g := m.Genus(); want.Genus != nil && g != *want.Genus {
		t.Errorf("genus is %d, want %d", g, *want.Genus)
	}
	if n := len(mesh.Bodies(shells)); want.Bodies != 0 && n != want.Bodies {
		t.Errorf("%d bodies, want %d", n, want.Bodies)
	}
}

// edges fails t unless every edge is run through once in each direction.
func edges(t testing.TB, m *mesh.Mesh) {
	t.Helper()
	count := map[[2]uint32]int{}
	for i, tri := range m.T {
		for k := range 3 {
			a, b := tri[k], tri[(k+1)%3]
			if a == b {
				t.Fatalf("triangle %d names vertex %d twice", i, a)
			}
			count[[2]uint32{a, b}]++
		}
	}
	bad := 0
	for e, n := range count {
		if n != 1 || count[[2]uint32{e[1], e[0]}] != 1 {
			bad++
		}
	}
	if bad > 0 {
		t.Fatalf("%d of %d directed edges lack their one opposite", bad, len(count))
	}
}

// fans fails t unless the triangles at every vertex form one closed fan.
func fans(t testing.TB, m *mesh.Mesh) {
	t.Helper()
	next := make([]map[uint32]uint32, len(m.V)) // round a vertex: neighbour to neighbour
	for _, tri := range m.T {
		for k := range 3 {
			v := tri[k]
			if next[v] == nil {
				next[v] = map[uint32]uint32{}
			}
			next[v][tri[(k+1)%3]] = tri[(k+2)%3]
		}
	}
	for v, round := range next {
		for start := range round {
			n := 1
			for at := round[start]; at != start && n <= len(round); at = round[at] {
				n++
			}
			if n != len(round) {
				t.Fatalf("vertex %d at %v has more than one fan", v, m.V[v])
			}
			break
		}
	}
}
