package meshtest

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// RequireNode is the environment variable that, set to "require", makes tests
// fail where node or its packages are missing, instead of being skipped.
const RequireNode = "WAXWRIGHT_NODE"

// Node runs a script of testdata/node and returns what it prints. The test is
// skipped where node or the script's packages are missing, unless RequireNode
// says otherwise. Paths among the arguments are best absolute.
func Node(t testing.TB, script string, args ...string) []byte {
	t.Helper()
	missing := func(what string) {
		t.Helper()
		if os.Getenv(RequireNode) == "require" {
			t.Fatalf("second judges: %s", what)
		}
		t.Skipf("second judges left out: %s", what)
	}
	bin, err := exec.LookPath("node")
	if err != nil {
		missing("node is not installed")
	}
	dir := filepath.Join(root(t), "testdata", "node")
	if _, err := os.Stat(filepath.Join(dir, "node_modules")); err != nil {
		missing("run npm ci in testdata/node first")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, bin, append([]string{filepath.Join(dir, script)}, args...)...)
	var out, talk bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &talk
	if err := cmd.Run(); err != nil {
		said := talk.Bytes()
		t.Fatalf("%s %v: %v\n%s", script, args, err, said[max(0, len(said)-1000):])
	}
	return out.Bytes()
}

// root returns the folder of go.mod, above the test's own.
func root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		} else if !errors.Is(err, os.ErrNotExist) || dir == filepath.Dir(dir) {
			t.Fatalf("no go.mod above the test: %v", err)
		}
		dir = filepath.Dir(dir)
	}
}

func nodeJSON(t testing.TB, to any, script string, args ...string) {
	t.Helper()
	out := Node(t, script, args...)
	if err := json.Unmarshal(out, to); err != nil {
		t.Fatalf("%s %v printed %q: %v", script, args, out, err)
	}
}

// Second is what manifold-3d thinks of a mesh.
type Second struct {
	Name      string
	Status    string  // "NoError" for a closed, oriented two-manifold mesh
	Volume    float64 // mm3; the measures hold for NoError only
	Area      float64 // mm2
	Genus     int
	Bodies    int // connected surfaces: a void is one
	Triangles int // after it has dropped what it takes for degenerate
}

// Manifold3D asks manifold-3d about STL, 3MF and plain mesh files: for each
// file in turn, what it thinks of each mesh.
func Manifold3D(t testing.TB, paths ...string) [][]Second {
	t.Helper()
	var s [][]Second
	nodeJSON(t, &s, "judge.mjs", paths...)
	if len(s) != len(paths) {
		t.Fatalf("judge.mjs answered for %d files of %d", len(s), len(paths))
	}
	return s
}

// Lib3MF is what lib3mf finds in a 3MF file, in strict mode.
type Lib3MF struct {
	Error       string
	Warnings    []string
	Millimetres bool
	Objects     []struct {
		Name                string
		Vertices, Triangles int
		Manifold            bool // manifold and oriented
		Material            int  // counted from 1 in Materials, 0 for none
	}
	Items     int
	Materials []struct {
		Name string
		RGBA [4]uint8
	}
	Metadata  []struct{ Space, Name, Value string }
	Thumbnail bool
}

// OpenLib3MF opens 3MF files with lib3mf, each in turn.
func OpenLib3MF(t testing.TB, paths ...string) []Lib3MF {
	t.Helper()
	var r []Lib3MF
	nodeJSON(t, &r, "lib3mf.mjs", paths...)
	if len(r) != len(paths) {
		t.Fatalf("lib3mf.mjs answered for %d files of %d", len(r), len(paths))
	}
	return r
}

// Reference builds a solid with manifold-3d, its corners on the true surface
// and its chords at most so far from their arcs (mm), and returns its mesh and
// measures. The solids and their parameters are listed in
// testdata/node/build.mjs: torus, ball, cap, frustum, napkin, rods,
// bicylinder, plate.
func Reference(t testing.TB, name string, chord float64, params ...float64) (*mesh.Mesh, Second) {
	t.Helper()
	path := filepath.Join(t.TempDir(), name+".mesh")
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	args := []string{name, number(chord), path}
	for _, p := range params {
		args = append(args, number(p))
	}
	var s Second
	nodeJSON(t, &s, "build.mjs", args...)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	r := bytes.NewReader(b)
	var head [2]uint32
	read := func(to any) {
		if err := binary.Read(r, binary.LittleEndian, to); err != nil {
			t.Fatal(err)
		}
	}
	read(&head)
	v, m := make([][3]float32, head[0]), &mesh.Mesh{T: make([][3]uint32, head[1])}
	read(v)
	read(m.T)
	for _, p := range v {
		m.V = append(m.V, vec.P{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])})
	}
	return m, s
}

// Deviation returns the largest distance from the corners, edge middles and
// triangle middles of each surface to the other, in mm: what two meshes of the
// same solid may differ by is the sum of their chord errors.
func Deviation(a, b *mesh.Mesh) float64 {
	return max(reach(a, b), reach(b, a))
}

func reach(from, to *mesh.Mesh) float64 {
	tree := mesh.NewTree(to)
	size := to.Bounds().Union(from.Bounds()).Size().Len()
	far := 0.0
	for i := range from.T {
		a, b, c := from.Corners(i)
		for _, p := range [...]vec.P{a, a.Lerp(b, 0.5), b.Lerp(c, 0.5), c.Lerp(a, 0.5), a.Add(b).Add(c).Mul(1.0 / 3)} {
			hit, _ := tree.Near(p, size)
			far = max(far, hit.Dist)
		}
	}
	return far
}
