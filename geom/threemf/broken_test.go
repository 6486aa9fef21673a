package threemf_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/stl"
	"waxwright/geom/threemf"
	"waxwright/geom/vec"
)

// The corpus of broken files, testdata/broken, with what is to be found in
// each in its table.csv. A new file starts with an entry in corpus below and a
// line in the table; -write makes the files anew.
const brokenDir = "../../testdata/broken"

var writeCorpus = flag.Bool("write", false, "write the corpus of broken files anew")

// corpus returns the content of every file by name.
func corpus(t testing.TB) map[string][]byte {
	cube := func(x, y, z, side float64) *mesh.Mesh { return meshtest.Cube(vec.P{X: x, Y: y, Z: z}, side) }
	box := func(x0, y0, z0, x1, y1, z1 float64) *mesh.Mesh {
		return meshtest.Box(vec.Box{Min: vec.P{X: x0, Y: y0, Z: z0}, Max: vec.P{X: x1, Y: y1, Z: z1}})
	}
	with := func(m *mesh.Mesh, change func(*mesh.Mesh)) *mesh.Mesh {
		r := meshtest.Join(m)
		change(r)
		return r
	}
	unit := cube(0, 0, 0, 1)
	edge := func(m *mesh.Mesh) { // the edge 0-1 divided by a vertex in one of its two triangles
		m.V = append(m.V, vec.P{X: 0.5})
		m.T[4] = [3]uint32{0, 8, 5}
		m.T = append(m.T, [3]uint32{8, 1, 5})
	}
	z := 10 * math.Tan(0.0005)
	wedge := &mesh.Mesh{
		V: []vec.P{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}, {X: 10, Z: z}, {X: 10, Y: 10, Z: z}},
		T: [][3]uint32{{0, 2, 1}, {0, 3, 2}, {0, 4, 5}, {0, 5, 3}, {1, 2, 5}, {1, 5, 4}, {0, 1, 4}, {3, 5, 2}},
	}
	// a bar in the lower right triangle of the plate's top and bottom: each of
	// its eight side triangles crosses both
	barred := meshtest.Join(box(0, 0, 0, 9, 9, 1), box(6, 2, -3, 7, 3, 3))
	meshes := map[string]*mesh.Mesh{
		"sound.stl":        meshtest.Torus(3, 1, 12, 8),
		"hollow.stl":       meshtest.Join(cube(0, 0, 0, 5), cube(1, 1, 1, 2).Flip()),
		"open.stl":         with(unit, func(m *mesh.Mesh) { m.T = m.T[:11] }),
		"flipped.stl":      with(unit, func(m *mesh.Mesh) { m.T[4] = [3]uint32{0, 5, 1} }),
		"shared-edge.stl":  meshtest.Join(unit, cube(1, 1, 0, 1)),
		"shared-point.stl": meshtest.Join(unit, cube(1, 1, 1, 1)),
		"shared-face.stl":  meshtest.Join(unit, cube(1, 0, 0, 1)),
		"crossing.stl":     barred,
		"contained.stl":    meshtest.Join(cube(0, 0, 0, 3), cube(1, 1, 1, 1)),
		"inside-out.stl":   unit.Flip(),
		"void-in-void.stl": meshtest.Join(cube(0, 0, 0, 5), cube(1, 1, 1, 3).Flip(), cube(2, 2, 2, 1).Flip()),
		"folded.stl":       wedge,
		"t-junction.stl":   with(unit, edge),
		"no-area.stl":      with(unit, func(m *mesh.Mesh) { edge(m); m.T = append(m.T, [3]uint32{0, 1, 8}) }),
		"duplicate.stl":    with(unit, func(m *mesh.Mesh) { m.T = append(m.T, m.T[3]) }),
		"flap.stl":         with(unit, func(m *mesh.Mesh) { m.T = append(m.T, [3]uint32{1, 7, 2}, [3]uint32{1, 2, 7}) }),
		"sliver.stl": with(unit, func(m *mesh.Mesh) { // a point 0.05 um from the diagonal of a side
			m.V = append(m.V, vec.P{X: 0.5 - 5e-5/math.Sqrt2, Z: 0.5 + 5e-5/math.Sqrt2})
			m.T[5] = [3]uint32{0, 5, 8}
			m.T = append(m.T, [3]uint32{5, 4, 8}, [3]uint32{4, 0, 8})
		}),
		"standing.stl": meshtest.Join(cube(0, 0, 0, 9), cube(6, 3, 9, 1)),
		"bow-tie.stl":  {V: []vec.P{{}, {X: 1}, {X: 1, Y: 1}, {X: -1}, {X: -1, Y: -1}}, T: [][3]uint32{{0, 1, 2}, {0, 3, 4}}},
		"empty.stl":    {},
		"sound.3mf":    meshtest.Torus(3, 1, 12, 8),
		"open.3mf":     with(unit, func(m *mesh.Mesh) { m.T = m.T[:11] }),
		"crossing.3mf": barred,
		"touching.3mf": meshtest.Join(unit, cube(1, 1, 1, 1)), // not welded: two vertices at one place
	}
	files := map[string][]byte{}
	for name, m := range meshes {
		var b bytes.Buffer
		var err error
		if strings.HasSuffix(name, ".stl") {
			err = stl.Write(&b, m, "broken on purpose: "+name)
		} else {
			err = threemf.Write(&b, &threemf.Model{Title: "broken on purpose", Objects: []threemf.Object{{Name: name, Mesh: m}}})
		}
		if err != nil {
			t.Fatal(name, err)
		}
		files[name] = b.Bytes()
	}
	brokenBytes(t, files)
	return files
}

// brokenBytes adds the files whose bytes, not whose meshes, are at fault.
func brokenBytes(t testing.TB, files map[string][]byte) {
	sound := files["open.stl"]
	at := func(off int, v uint32) []byte {
		b := bytes.Clone(sound)
		binary.LittleEndian.PutUint32(b[off:], v)
		return b
	}
	files["truncated.stl"] = sound[:len(sound)-60]
	files["half-header.stl"] = sound[:50]
	files["wrong-count.stl"] = at(80, 7)
	files["huge-count.stl"] = at(80, math.MaxUint32)
	files["nan.stl"] = at(84+50+12, math.Float32bits(float32(math.NaN())))
	files["infinite.stl"] = at(84+50+12, math.Float32bits(float32(math.Inf(1))))
	facet := "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"
	files["text-open.stl"] = []byte("solid one triangle\n" + facet + "endsolid\n")
	files["text-truncated.stl"] = []byte("solid one triangle\n" + facet)
	files["text-nan.stl"] = []byte("solid one triangle\n" + strings.Replace(facet, "1 0 0", "1 nan 0", 1) + "endsolid\n")
	files["text-junk.stl"] = []byte("solid nothing\n" + strings.Repeat("wax and wick and wire\n", 100))
	files["junk.stl"] = bytes.Repeat([]byte("wax and wick and wire\n"), 20)

	doc := func(old, new string) []byte {
		s := `<?xml version="1.0" encoding="UTF-8"?><model unit="millimeter" xml:lang="en-US" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources><object id="1" type="model" name="corner"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices><triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh></object></resources><build><item objectid="1"/></build></model>`
		return archived(t, strings.Replace(s, old, new, 1))
	}
	files["same-vertex.3mf"] = doc(`v3="1"`, `v3="0"`)
	files["beyond.3mf"] = doc(`v3="1"`, `v3="4"`)
	files["nan.3mf"] = doc(`x="1"`, `x="nan"`)
	files["no-object.3mf"] = doc(`objectid="1"`, `objectid="2"`)
	files["duplicate.3mf"] = doc(`v1="1" v2="2" v3="3"`, `v1="0" v2="2" v3="1"`)
	files["truncated.3mf"] = files["sound.3mf"][:400]
	files["bomb.3mf"] = archived(t, strings.Repeat(" ", 9<<20))
}

// archived packs a model document into a 3MF archive.
func archived(t testing.TB, doc string) []byte {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range [][2]string{
		{"[Content_Types].xml", `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>`},
		{"_rels/.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>`},
		{"3D/3dmodel.model", doc},
	} {
		part, err := w.Create(f[0])
		if err == nil {
			_, err = io.WriteString(part, f[1])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// entry is a line of the table.
type entry struct {
	file, read, defects, bodies, manifold3d, lib3mf string
}

func table(t *testing.T) []entry {
	t.Helper()
	f, err := os.Open(filepath.Join(brokenDir, "table.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var es []entry
	for _, row := range rows[1:] {
		es = append(es, entry{row[0], row[1], row[2], row[3], row[4], row[5]})
	}
	return es
}

// readErrors are the words the table has for what a reader may say.
var readErrors = map[string][]error{
	"ok":         nil,
	"truncated":  {stl.ErrTruncated},
	"count":      {stl.ErrCount},
	"not finite": {stl.ErrNotFinite},
	"syntax":     {stl.ErrSyntax},
	"archive":    {threemf.ErrArchive},
	"document":   {threemf.ErrDocument},
	"too large":  {threemf.ErrTooLarge},
}

// kinds are the words the table has for defects.
var kinds = [manifold.Kinds]string{
	"open", "crowded", "flipped", "pinched", "duplicate", "degenerate", "folded",
	"crossing", "overlap", "t-junction", "inward", "contained", "touch",
}

// load reads a file of the corpus: the meshes of all its objects as one.
func load(path string) (*mesh.Mesh, error) {
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if strings.HasSuffix(path, ".stl") {
		return stl.Parse(b, stl.Limits{})
	}
	model, err := threemf.Parse(b, threemf.Limits{})
	if err != nil {
		return nil, err
	}
	m := &mesh.Mesh{}
	for _, o := range model.Objects {
		m.Append(o.Mesh)
	}
	return m, nil
}

func TestBrokenFiles(t *testing.T) {
	files := corpus(t)
	if *writeCorpus {
		for name, b := range files {
			if err := os.WriteFile(filepath.Join(brokenDir, name), b, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	listed := map[string]bool{}
	for _, e := range table(t) {
		listed[e.file] = true
		t.Run(e.file, func(t *testing.T) {
			m, err := load(filepath.Join(brokenDir, e.file))
			if e.read != "ok" {
				for _, want := range readErrors[e.read] {
					if errors.Is(err, want) {
						return
					}
				}
				t.Fatalf("reader says %v, want %q", err, e.read)
			}
			if err != nil {
				t.Fatal(err)
			}
			r := manifold.Judge(m)
			var found []string
			for k, n := range r.Count {
				if n > 0 {
					found = append(found, fmt.Sprintf("%s=%d", kinds[k], n))
				}
			}
			if got := strings.Join(found, " "); got != e.defects {
				t.Errorf("found %q, want %q", got, e.defects)
			}
			if got := fmt.Sprint(len(r.Bodies)); got != e.bodies {
				t.Errorf("%s bodies, want %s", got, e.bodies)
			}
		})
	}
	for name, b := range files {
		if !listed[name] {
			t.Errorf("%s is not in the table", name)
		}
		on, err := os.ReadFile(filepath.Join(brokenDir, name))
		if err != nil {
			t.Error(err)
		} else if strings.HasSuffix(name, ".stl") && !bytes.Equal(on, b) { // a 3MF's bytes depend on the packer
			t.Errorf("%s is not what its maker makes; run with -write", name)
		}
	}
}

// What the second judges say of the corpus is in the table, with the reasons
// where they differ from us.
func TestSecondJudgesOnBrokenFiles(t *testing.T) {
	ask := func(column func(entry) string) (es []entry, paths []string) {
		for _, e := range table(t) {
			path, err := filepath.Abs(filepath.Join(brokenDir, e.file))
			if err != nil {
				t.Fatal(err)
			}
			if column(e) != "-" {
				es, paths = append(es, e), append(paths, path)
			}
		}
		return es, paths
	}
	es, paths := ask(func(e entry) string { return e.manifold3d })
	for i, got := range meshtest.Manifold3D(t, paths...) {
		if got[0].Status != es[i].manifold3d {
			t.Errorf("%s: manifold-3d says %s (volume %g, genus %d, %d bodies), the table %s",
				es[i].file, got[0].Status, got[0].Volume, got[0].Genus, got[0].Bodies, es[i].manifold3d)
		}
	}
	es, paths = ask(func(e entry) string { return e.lib3mf })
	for i, r := range meshtest.OpenLib3MF(t, paths...) {
		said := "ok"
		switch {
		case r.Error != "":
			said = "error"
		case len(r.Warnings) > 0:
			said = "warning"
		case len(r.Objects) == 0 || !r.Objects[0].Manifold:
			said = "not manifold"
		}
		if said != es[i].lib3mf {
			t.Errorf("%s: lib3mf says %s (%s %v), the table %s", es[i].file, said, r.Error, r.Warnings, es[i].lib3mf)
		}
	}
}
