package stl

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

func written(t testing.TB, m *mesh.Mesh, header string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, m, header); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestRoundTrip(t *testing.T) {
	m := meshtest.Torus(3.3, 0.7, 50, 21)
	b := written(t, m, "a ring")
	if len(b) != 84+50*len(m.T) {
		t.Fatalf("%d bytes for %d triangles", len(b), len(m.T))
	}
	got, err := Parse(b, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	want := m.Float32()
	if len(got.V) != len(want.V) {
		t.Fatalf("%d vertices, want %d", len(got.V), len(want.V))
	}
	for i := range want.T {
		a, b, c := want.Corners(i)
		d, e, f := got.Corners(i)
		if a != d || b != e || c != f {
			t.Fatalf("triangle %d moved from %v %v %v to %v %v %v", i, a, b, c, d, e, f)
		}
	}
	meshtest.Conform(t, got, meshtest.Want{Volume: want.Volume(), Genus: meshtest.Genus(1), Bodies: 1})
	if !bytes.Equal(b, written(t, m, "a ring")) {
		t.Error("the same mesh gave other bytes")
	}
}

func TestNormals(t *testing.T) {
	b := written(t, meshtest.Cube(vec.P{X: 1e6, Y: 1, Z: 1}, 3), "")
	f := func(off int) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(b[off:]))) }
	for i := range 12 {
		at := 84 + 50*i
		sum := math.Abs(f(at)) + math.Abs(f(at+4)) + math.Abs(f(at+8))
		if sum != 1 {
			t.Errorf("normal of cube triangle %d is not along an axis: %g", i, sum)
		}
	}
	flat := &mesh.Mesh{V: []vec.P{{}, {X: 1}, {X: 2}}, T: [][3]uint32{{0, 1, 2}}}
	if b := written(t, flat, ""); !bytes.Equal(b[84:96], make([]byte, 12)) {
		t.Errorf("normal of a triangle without area is %v", b[84:96])
	}
	tiny := meshtest.Cube(vec.P{}, 1e-30) // squares vanish in float32, not here
	b = written(t, tiny, "")
	if f(84) == 0 && f(88) == 0 && f(92) == 0 {
		t.Error("normal of a tiny triangle is lost")
	}
}

func TestHeader(t *testing.T) {
	for in, want := range map[string]string{
		"marigold, heart":       "marigold, heart",
		"solid gold":            "STL solid gold",
		"  SOLID":               "STL   SOLID",
		"näh\nx":                "n?h?x",
		strings.Repeat("x", 99): strings.Repeat("x", 80),
	} {
		b := written(t, meshtest.Cube(vec.P{}, 1), in)
		if got := strings.TrimRight(string(b[:80]), "\x00"); got != want {
			t.Errorf("header of %q is %q, want %q", in, got, want)
		}
		if strings.HasPrefix(strings.ToLower(strings.TrimSpace(string(b[:80]))), "solid") {
			t.Errorf("header of %q starts with solid", in)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"NaN":   {V: []vec.P{{X: math.NaN()}, {}, {}}, T: [][3]uint32{{0, 1, 2}}},
		"large": {V: []vec.P{{X: 1e39}, {}, {}}, T: [][3]uint32{{0, 1, 2}}},
		"index": {V: []vec.P{{}}, T: [][3]uint32{{0, 1, 2}}},
	} {
		var b bytes.Buffer
		if err := Write(&b, m, ""); err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v after %d bytes", name, err, b.Len())
		}
	}
	if err := Write(full{}, meshtest.Sphere(1, 100), ""); !errors.Is(err, errFull) {
		t.Errorf("a full disk gave %v", err)
	}
}

var errFull = errors.New("disk is full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

const tetra = `solid a corner
 facet normal 0 0 -1
  outer loop
   vertex 0 0 0
   vertex 0 1e0 0
   vertex 1.000 0 0
  endloop
 endfacet
 FACET NORMAL 0 -1 0
  OUTER LOOP
   vertex -0 0 0
   vertex 1 0 0
   vertex 0 0 1
  ENDLOOP
 ENDFACET
endsolid
solid
facet normal 0 0 0
outer loop
vertex 0 0 0
vertex 0 0 1
vertex 0 1 0
endloop
endfacet

facet normal 0 0 0
outer loop
vertex 1 0 0
vertex 0 1 0
vertex 0 0 1
endloop
endfacet
endsolid
`

func TestText(t *testing.T) {
	for name, s := range map[string]string{"unix": tetra, "dos": strings.ReplaceAll(tetra, "\n", "\r\n")} {
		m, err := Parse([]byte(s), Limits{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		meshtest.Conform(t, m, meshtest.Want{Volume: 1.0 / 6, Bodies: 1, Genus: meshtest.Genus(0)})
	}
}

func TestReadRefuses(t *testing.T) {
	cube := written(t, meshtest.Cube(vec.P{}, 1), "cube")
	with := func(off int, v uint32) []byte {
		b := bytes.Clone(cube)
		binary.LittleEndian.PutUint32(b[off:], v)
		return b
	}
	text := func(old, new string) []byte { return []byte(strings.Replace(tetra, old, new, 1)) }
	for _, c := range []struct {
		name string
		b    []byte
		want error
		says string
	}{
		{"empty", nil, ErrTruncated, "empty"},
		{"half a header", cube[:50], ErrTruncated, "50 bytes"},
		{"cut", cube[:len(cube)-7], ErrTruncated, "counts 12 triangles, there is room for 11"},
		{"longer", append(bytes.Clone(cube), 0), ErrCount, "counts 12"},
		{"count of 4 billion", with(80, math.MaxUint32), ErrCount, "4294967295"},
		{"count too low", with(80, 3), ErrCount, "counts 3 triangles, there is room for 12"},
		{"NaN", with(84+12, math.Float32bits(float32(math.NaN()))), ErrNotFinite, "triangle 0"},
		{"infinite", with(84+50+12, 0x7f800000), ErrNotFinite, "triangle 1"},
		{"text NaN", text("1e0", "nan"), ErrNotFinite, "triangle 0"},
		{"text overflow", text("1e0", "1e300"), ErrNotFinite, "triangle 0"},
		{"text word", text("1e0", "one"), ErrSyntax, "line 5"},
		{"text vertex", text("vertex 0 1e0 0", "vertex 0 1e0"), ErrSyntax, "line 5"},
		{"text cut", []byte(tetra[:strings.Index(tetra, "  endloop")]), ErrTruncated, "missing"},
		{"text junk", []byte("solid\n" + strings.Repeat("lorem ipsum\n", 1000)), ErrSyntax, "line 2"},
		{"text then junk", []byte(tetra + "what"), ErrSyntax, `"what"`},
		{"long line", []byte("solid\n" + strings.Repeat("x", 1<<17)), ErrSyntax, "line 2 is longer"},
		{"junk", bytes.Repeat([]byte("junk"), 100), ErrCount, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := Parse(c.b, Limits{})
			if m != nil || !errors.Is(err, c.want) || !strings.Contains(fmt.Sprint(err), c.says) {
				t.Errorf("error %v, want %v with %q", err, c.want, c.says)
			}
			if len(fmt.Sprint(err)) > 200 {
				t.Errorf("error of %d bytes", len(err.Error()))
			}
		})
	}
	for _, l := range []Limits{{Triangles: 11}, {Bytes: 600}} {
		if _, err := Parse(cube, l); !errors.Is(err, ErrTooLarge) {
			t.Errorf("limits %v: %v", l, err)
		}
	}
	if _, err := Parse([]byte(tetra), Limits{Triangles: 3}); !errors.Is(err, ErrTooLarge) {
		t.Errorf("text beyond its limit: %v", err)
	}
}

// A binary file whose header starts with "solid" is still binary.
func TestSolidHeaderOfOthers(t *testing.T) {
	b := written(t, meshtest.Cube(vec.P{}, 1), "")
	copy(b, "solid by another program")
	m, err := Parse(b, Limits{})
	if err != nil || len(m.T) != 12 {
		t.Fatalf("%v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(written(f, meshtest.Cube(vec.P{}, 1), "cube"))
	f.Add([]byte(tetra))
	f.Add([]byte("solid"))
	f.Add(make([]byte, 84))
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := Parse(b, Limits{Triangles: 10_000})
		if err != nil {
			if m != nil {
				t.Fatal("a mesh beside an error")
			}
			return
		}
		if err := m.Check(); err != nil {
			t.Fatal(err)
		}
		again, err := Parse(written(t, m, ""), Limits{})
		if err != nil || len(again.T) != len(m.T) || len(again.V) != len(m.V) {
			t.Fatalf("written and read again: %v", err)
		}
	})
}

func BenchmarkSTL(b *testing.B) {
	m := meshtest.Torus(5, 2, 1000, 500) // a million triangles
	file := written(b, m, "")
	b.Run("write", func(b *testing.B) {
		for range b.N {
			var w bytes.Buffer
			w.Grow(len(file))
			if err := Write(&w, m, ""); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		for range b.N {
			if _, err := Parse(file, Limits{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
