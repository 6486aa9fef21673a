package build

import (
	"bytes"
	"context"
	"errors"
	"image/png"
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
	"waxwright/recipes/piece"
)

// read compiles a recipe that has no faults.
func read(t *testing.T, src string) *piece.Piece {
	t.Helper()
	p, diags := piece.Read([]byte(src), "test.hcl", nil)
	if diags.Faulty() {
		t.Fatal(diags)
	}
	return p
}

func build(t *testing.T, p *piece.Piece, o Options) *Model {
	t.Helper()
	m, err := Make(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

const disc = `piece "disc" { finish = "as-cast" }
plate "disc" {
  form      = "circle"
  across    = 10
  thickness = 2
}
`

// TestExamples makes every example as the command does, on one and on two
// workers: the same files byte for byte, which are read back and judged by us,
// by manifold-3d and by lib3mf.
func TestExamples(t *testing.T) {
	recipes, err := filepath.Glob("../../examples/*/*.hcl")
	if err != nil || len(recipes) < 3 {
		t.Fatalf("%d examples: %v", len(recipes), err)
	}
	for _, recipe := range recipes {
		t.Run(filepath.Base(filepath.Dir(recipe)), func(t *testing.T) {
			src, err := os.ReadFile(recipe)
			if err != nil {
				t.Fatal(err)
			}
			p := read(t, string(src))
			one := build(t, p, Options{Workers: 1})
			two := build(t, p, Options{Workers: 2})
			if r := one.Remarks(); len(r) > 0 {
				t.Error(r)
			}
			dir1, dir2 := t.TempDir(), t.TempDir()
			names, err := Write(context.Background(), OS{}, one, dir1)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Write(context.Background(), OS{}, two, dir2); err != nil {
				t.Fatal(err)
			}
			a, b := contents(t, dir1), contents(t, dir2)
			if len(a) != len(names)+1 {
				t.Errorf("%d files were named and %d written", len(names), len(a)-1)
			}
			var paths []string
			for _, name := range names {
				if a[name] != b[name] {
					t.Errorf("%s differs on one and on two workers", name)
				}
				paths = append(paths, filepath.Join(dir1, name))
			}
			for i := range one.Castings {
				c := &one.Castings[i]
				if !(c.Reached > 0 && c.Reached <= one.Tol) {
					t.Errorf("casting %s deviates by %g mm, %g were asked for", c.Name, c.Reached, one.Tol)
				}
				m, err := stl.Parse([]byte(a[one.File(c)]), stl.Limits{})
				if err != nil {
					t.Fatal(err)
				}
				sameSolid(t, one.File(c), m, c)
			}
			bundle(t, one, []byte(a[one.Bundle()]))
			secondJudges(t, one, paths)
		})
	}
}

// sameSolid judges a mesh that was read back.
func sameSolid(t *testing.T, name string, m *mesh.Mesh, c *Casting) {
	t.Helper()
	r := manifold.Judge(m)
	if !r.OK() {
		t.Errorf("%s: %s", name, r.String())
	}
	if len(r.Bodies) != 1 || r.Voids() != 0 || r.Genus() != c.Report.Genus() || r.Triangles != len(c.Mesh.T) {
		t.Errorf("%s: %s, want 1 body, genus %d, %d triangles", name, r.String(), c.Report.Genus(), len(c.Mesh.T))
	}
	if v := c.Mesh.Volume(); math.Abs(r.Volume-v) > 1e-5*v { // float32 has 24 bits
		t.Errorf("%s: volume %g, want %g", name, r.Volume, v)
	}
}

// bundle reads a 3MF file back.
func bundle(t *testing.T, m *Model, b []byte) {
	t.Helper()
	got, err := threemf.Parse(b, threemf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if img, err := png.Decode(bytes.NewReader(got.Thumbnail)); err != nil || img.Bounds().Dx() != thumbSide {
		t.Errorf("thumbnail of %d bytes: %v", len(got.Thumbnail), err)
	}
	if got.Title != m.Piece.Title || got.Designer != m.Piece.Designer {
		t.Errorf("title %q, designer %q", got.Title, got.Designer)
	}
	if len(got.Objects) != m.Pieces() {
		t.Fatalf("%d objects for %d castings", len(got.Objects), m.Pieces())
	}
	var boxes []vec.Box
	i := 0
	for k := range m.Castings {
		for range m.Castings[k].Quantity {
			o := got.Objects[i]
			if o.Material.Name != m.Piece.Alloy.Name || o.Material.Color.A != 255 {
				t.Errorf("object %q is made of %v", o.Name, o.Material)
			}
			sameSolid(t, o.Name, o.Mesh, &m.Castings[k])
			boxes = append(boxes, o.Mesh.Bounds())
			i++
		}
	}
	for i, b := range boxes {
		if b.Min.Z < 0 || b.Min.Z > 0.0011 {
			t.Errorf("%q stands at z = %g", got.Objects[i].Name, b.Min.Z)
		}
		for _, c := range boxes[:i] {
			if c.Max.X+airBetween > b.Min.X+0.01 {
				t.Errorf("%q stands too near to another: %v, %v", got.Objects[i].Name, c, b)
			}
		}
	}
	meta := map[string]string{}
	for _, f := range got.Metadata {
		meta[f.Name] = f.Value
	}
	if len(meta["Recipe"]) != 64 || meta["Tolerance"] != "0.005 mm" || meta["Alloy"] != m.Piece.Alloy.Name || meta["Application"] != "waxwright" {
		t.Errorf("metadata %v", meta)
	}
}

// secondJudges asks manifold-3d about every file and lib3mf about the 3MF file.
func secondJudges(t *testing.T, m *Model, paths []string) {
	t.Run("second judges", func(t *testing.T) {
		for i, seen := range meshtest.Manifold3D(t, paths...) {
			for j, s := range seen {
				if s.Status != "NoError" || s.Bodies != 1 {
					t.Errorf("%s, object %d: manifold-3d says %+v", filepath.Base(paths[i]), j+1, s)
				}
			}
			if i < len(m.Castings) {
				s, r := seen[0], m.Castings[i].Report
				if s.Genus != r.Genus() || math.Abs(s.Volume-r.Volume) > 1e-5*r.Volume {
					t.Errorf("%s: manifold-3d finds genus %d and %g mm3, we %d and %g", filepath.Base(paths[i]), s.Genus, s.Volume, r.Genus(), r.Volume)
				}
			}
		}
		l := meshtest.OpenLib3MF(t, paths[len(paths)-1])[0]
		if l.Error != "" || len(l.Warnings) > 0 || !l.Millimetres || l.Items != m.Pieces() {
			t.Errorf("lib3mf: %q, warnings %q, mm %v, %d items", l.Error, l.Warnings, l.Millimetres, l.Items)
		}
		for _, o := range l.Objects {
			if !o.Manifold || o.Material == 0 {
				t.Errorf("lib3mf: object %q: manifold %v, material %d", o.Name, o.Manifold, o.Material)
			}
		}
	})
}

// TestWeight weighs a disc of bronze: pi r^2 h, 8.8 g/cm3.
func TestWeight(t *testing.T) {
	p := read(t, strings.Replace(disc, `{ finish = "as-cast" }`, "{\n alloy = \"bronze\"\n finish = \"as-cast\"\n}", 1))
	m := build(t, p, Options{})
	want := math.Pi * 25 * 2 * 8.8 / 1000
	if got := m.Grams(); math.Abs(got-want) > 0.0015*want { // chords of 0.005 mm on r = 5
		t.Errorf("a disc of bronze weighs %g g, want %g", got, want)
	}
	if s := m.Castings[0].Size(); math.Abs(s.X-10) > 0.01 || math.Abs(s.Z-2) > 1e-9 {
		t.Errorf("size %v", s)
	}
}

// lopsided is a pair of which no casting is its own mirror image, but one.
const lopsided = `piece "lopsided" {
  pair = "mirrored"
}
plate "wing" {
  form      = "circle"
  across    = 10
  thickness = 1
}
opening "eye" {
  in     = plate.wing
  form   = "circle"
  across = 3
  at     = 60
  out    = 2
}
link "ring" {
  hangs_from = plate.wing
  wire       = 0.8
  bore       = 3
}
`

// TestMirrored makes a handed pair: the twin is the mirror image, weighs the
// same to the last digit, and hangs mirrored beside its sister.
func TestMirrored(t *testing.T) {
	m := build(t, read(t, lopsided), Options{Tol: 0.02})
	if len(m.Remarks()) > 0 {
		t.Error(m.Remarks())
	}
	if len(m.Castings) != 3 || m.Pieces() != 4 {
		t.Fatalf("%d files for %d castings, want 3 for 4", len(m.Castings), m.Pieces())
	}
	wing, ring, twin := &m.Castings[0], &m.Castings[1], &m.Castings[2]
	if twin.Name != "wing-mirrored" || !twin.Mirrored || ring.Handed || ring.Quantity != 2 {
		t.Errorf("the twin is %q, mirrored %v; the ring is handed %v, %d off", twin.Name, twin.Mirrored, ring.Handed, ring.Quantity)
	}
	if wing.Grams != twin.Grams || wing.Mesh.Volume() != twin.Mesh.Volume() {
		t.Errorf("one weighs %v g, the other %v", wing.Grams, twin.Grams)
	}
	if r := manifold.Judge(twin.Mesh.Float32().Weld()); !r.OK() || r.Volume != twin.Report.Volume {
		t.Errorf("the twin: %s, reported %g", r.String(), twin.Report.Volume)
	}
	// As worn, every corner of the twin is the mirror image of the same corner
	// of its sister, in one upright plane between the two.
	plane := math.NaN()
	for i, v := range wing.Mesh.V {
		a, b := wing.Worn[0].Point(v), twin.Worn[0].Point(twin.Mesh.V[i])
		if math.IsNaN(plane) {
			plane = (a.X + b.X) / 2
		}
		if math.Abs((a.X+b.X)/2-plane) > 1e-9 || math.Abs(a.Y-b.Y) > 1e-9 || math.Abs(a.Z-b.Z) > 1e-9 {
			t.Fatalf("corner %d is worn at %v and %v", i, a, b)
		}
	}
	if twin.Worn[0].Mirrored() {
		t.Error("the mirrored mesh is mirrored again")
	}
	scene := m.Scene(true)
	if len(scene.Items) != 4 {
		t.Errorf("the picture shows %d castings of 4", len(scene.Items))
	}
}

// TestLoose makes a piece with a bit that hangs on nothing.
func TestLoose(t *testing.T) {
	p := read(t, `piece "loose" {}
plate "disc" {
  form      = "circle"
  across    = 10
  thickness = 1
}
opening "moat" {
  in     = plate.disc
  form   = "circle"
  across = 6
}
stones "heart" {
  layout = "one"
  cut  = "round"
  gem  = "citrine"
  size = 3
}
bezel "heart" {
  on    = plate.disc
  holds = stones.heart
}
`)
	m := build(t, p, Options{Tol: 0.02})
	r := m.Remarks()
	if !r.Faulty() || len(r) != 1 || !strings.Contains(r[0].Summary, "bezel.heart: a loose body") || r[0].Span.Line != 18 {
		t.Errorf("remarks %v", r)
	}
	if len(m.Castings[0].Report.Bodies) != 2 {
		t.Errorf("%d bodies", len(m.Castings[0].Report.Bodies))
	}
}

// TestLimits refuses what is too large, before any work is done.
func TestLimits(t *testing.T) {
	p := read(t, disc)
	for _, tol := range []float64{-1, 1e-9, 3, math.NaN(), math.Inf(1)} {
		if _, err := Make(context.Background(), p, Options{Tol: tol}); err == nil || !strings.Contains(err.Error(), "tolerance") {
			t.Errorf("tolerance %g: %v", tol, err)
		}
	}
	p.Owners = make([]piece.Owner, MaxParts+1)
	if _, err := Make(context.Background(), p, Options{}); err == nil || !strings.Contains(err.Error(), "parts") {
		t.Errorf("too many parts: %v", err)
	}
}

// TestCancel ends the work on a piece, and on its files.
func TestCancel(t *testing.T) {
	p := read(t, disc)
	ctx, cancel := context.WithCancel(context.Background())
	_, err := Make(ctx, p, Options{Progress: func(done, _ int) {
		if done > 0 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("Make: %v", err)
	}
	dir := filepath.Join(t.TempDir(), "out")
	if _, err := Write(ctx, OS{}, build(t, p, Options{Tol: 0.05}), dir); !errors.Is(err, context.Canceled) {
		t.Errorf("Write: %v", err)
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("a cancelled Write left its folder")
	}
}

// TestProgress counts to the end, never back.
func TestProgress(t *testing.T) {
	last, whole := -1, 0
	build(t, read(t, lopsided), Options{Tol: 0.02, Progress: func(done, total int) {
		if done < last || done > total || whole != 0 && total != whole {
			t.Errorf("%d of %d after %d of %d", done, total, last, whole)
		}
		last, whole = done, total
	}})
	if last != whole || whole == 0 {
		t.Errorf("ended at %d of %d", last, whole)
	}
}

// TestCache makes a piece twice, the second time from memory.
func TestCache(t *testing.T) {
	var k Cache
	o := Options{Tol: 0.02, Cache: &k}
	a := build(t, read(t, disc), o)
	b := build(t, read(t, disc), o)
	if a.Castings[0].Mesh != b.Castings[0].Mesh {
		t.Error("the same field was meshed twice")
	}
	o.Tol = 0.03
	if c := build(t, read(t, disc), o); c.Castings[0].Mesh == a.Castings[0].Mesh {
		t.Error("another tolerance got the same mesh")
	}
	o.Tol = 0.02
	if c := build(t, read(t, strings.Replace(disc, "= 10", "= 11", 1)), o); c.Castings[0].Mesh == a.Castings[0].Mesh {
		t.Error("another field got the same mesh")
	}
}

// TestTurned lays a turned casting out as the recipe says; what is worn, and
// its weight, stay.
func TestTurned(t *testing.T) {
	src := `piece "oval" { finish = "as-cast" }
plate "oval" {
  form      = "ellipse"
  across    = 6
  height    = 10
  thickness = 1
  turn      = 90
}
`
	m := build(t, read(t, src), Options{Tol: 0.01})
	c := &m.Castings[0]
	if s := c.Size(); math.Abs(s.X-10) > 0.03 || math.Abs(s.Y-6) > 0.03 {
		t.Errorf("laid out it measures %v", s)
	}
	if b := c.Worn[0].Box(c.Mesh.Bounds()).Size(); math.Abs(b.X-10) > 0.03 {
		t.Errorf("worn it measures %v", b)
	}
}

// TestHeader keeps to 80 bytes, whatever the names.
func TestHeader(t *testing.T) {
	p := read(t, strings.Replace(disc, `"disc" {`, `"`+strings.Repeat("long ", 15)+`" {`, 1))
	m := build(t, p, Options{Tol: 0.05})
	var b bytes.Buffer
	c := &m.Castings[0]
	if err := stl.Write(&b, c.Mesh, m.header(c)); err != nil {
		t.Fatal(err)
	}
	head := strings.TrimRight(b.String()[:80], "\x00")
	if !strings.HasPrefix(head, "long-long-") || !strings.HasSuffix(head, " | waxwright") || !strings.Contains(head, "| mm, not scaled |") {
		t.Errorf("header %q", head)
	}
}

// A mesh that is farther off than its tolerance is said to be so, and where, also
// for a piece that is made larger.
func TestStray(t *testing.T) {
	m := build(t, read(t, lopsided), Options{Tol: 0.02})
	c := &m.Castings[0]
	if c.Reached > m.Tol {
		t.Fatalf("%g mm off", c.Reached)
	}
	m.Piece.Scale = 2
	c.Reached, c.ReachedAt = 0.019, vec.P{X: 1.5}
	c.scale(2)
	if r := m.Remarks(); len(r) > 0 {
		t.Error(r)
	}
	c.Reached = 0.042
	if r := m.Remarks(); len(r) != 1 || !strings.Contains(r[0].Summary, "0.042 mm off at (3.00, 0.00, 0.00)") {
		t.Error(r)
	}
}

// Loose bits of one block are told of once, and where a stone reaches beyond its plate
// the cure of what holds it is the plate's.
func TestLooseBeyond(t *testing.T) {
	src, err := os.ReadFile("../../testdata/faulty/overhang.hcl")
	if err != nil {
		t.Fatal(err)
	}
	beside := "post \"ear\" {\n on = plate.disc\n xy = [0, -9]\n}\n" // nothing to do with the stone
	r := build(t, read(t, string(src)+beside), Options{Tol: 0.02}).Remarks()
	if len(r) != 2 || !strings.Contains(r[0].Summary, "4 loose bodies") || !strings.Contains(r[0].Detail, "reaches 0.43 mm beyond plate.disc") ||
		!strings.Contains(r[1].Summary, "post.ear: a loose body") || !strings.Contains(r[1].Detail, "move the post onto metal") {
		t.Errorf("remarks %v", r)
	}
}
