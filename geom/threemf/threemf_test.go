package threemf

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"image/color"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

var gold = Material{"gold 750 yellow", color.RGBA{226, 182, 92, 255}}
var silver = Material{"silver 925", color.RGBA{200, 200, 205, 255}}

// png is the smallest picture: one grey dot.
var png = []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x00\x00\x00\x00:~\x9bU\x00\x00\x00\nIDATx\x9cc`\x00\x00\x00\x02\x00\x01H\xaf\xa4q\x00\x00\x00\x00IEND\xaeB`\x82")

func sample() *Model {
	parted := meshtest.Torus(3.3, 0.7, 40, 20)
	parted.Tag = make([]uint32, len(parted.T))
	for i := range parted.Tag {
		parted.Tag[i] = uint32(3 * i / len(parted.T)) // a third of nothing, then two parts
	}
	return &Model{
		Title: "Fennel <seed> & co", Designer: "A. Wren", Description: "two castings",
		Metadata: []Meta{{"Copyright", "none"}, {"digest", "0123abcd"}, {"scale", "not scaled"}},
		Objects: []Object{
			{Name: "plate", Mesh: parted, Parts: []string{"plate.sun", "bezel.heart 2"}, Material: gold, PartNumber: "p-1"},
			{Name: "post", Mesh: meshtest.Sphere(1.7, 20), Material: silver},
			{Name: "again", Mesh: meshtest.Cylinder(0.405, 11, 24), Material: gold},
		},
		Thumbnail: png,
	}
}

func written(t testing.TB, m *Model) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func same(t *testing.T, got, want *mesh.Mesh) {
	t.Helper()
	if len(got.V) != len(want.V) || len(got.T) != len(want.T) {
		t.Fatalf("%d vertices and %d triangles, want %d and %d", len(got.V), len(got.T), len(want.V), len(want.T))
	}
	for i := range want.V {
		if got.V[i] != want.V[i] {
			t.Fatalf("vertex %d is %v, want %v", i, got.V[i], want.V[i])
		}
	}
	for i := range want.T {
		if got.T[i] != want.T[i] {
			t.Fatalf("triangle %d is %v, want %v", i, got.T[i], want.T[i])
		}
	}
}

func TestRoundTrip(t *testing.T) {
	m := sample()
	got, err := Parse(written(t, m), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if got.Title != m.Title || got.Designer != m.Designer || got.Description != m.Description {
		t.Errorf("facts are %q %q %q", got.Title, got.Designer, got.Description)
	}
	if fmt.Sprint(got.Metadata) != fmt.Sprint(m.Metadata) {
		t.Errorf("metadata is %v, want %v", got.Metadata, m.Metadata)
	}
	if !bytes.Equal(got.Thumbnail, png) {
		t.Errorf("thumbnail of %d bytes", len(got.Thumbnail))
	}
	if len(got.Objects) != 3 {
		t.Fatalf("%d objects", len(got.Objects))
	}
	for i, o := range got.Objects {
		want := m.Objects[i]
		if o.Name != want.Name || o.Material != want.Material || o.PartNumber != want.PartNumber {
			t.Errorf("object %d is %q of %v, number %q", i, o.Name, o.Material, o.PartNumber)
		}
		same(t, o.Mesh, want.Mesh.Float32())
	}
}

// Coordinates of every size come back as exactly the same float32.
func TestAllDigits(t *testing.T) {
	m := meshtest.Cube(vec.P{}, 1)
	for i, x := range []float64{math.Pi, -1e-7, 1.0 / 3, 16777215.5, 1e-30, -0.1, 3.4028234663852886e38, 12.345678901} {
		m.V[i] = vec.P{X: x, Y: -x, Z: x / 7}
	}
	got, err := Parse(written(t, &Model{Objects: []Object{{Mesh: m}}}), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	same(t, got.Objects[0].Mesh, m.Float32())
}

func TestPlaced(t *testing.T) {
	m := meshtest.Cylinder(1, 2, 9)
	turn := vec.Shift(vec.P{X: 1.23456789, Y: -2, Z: 30}).After(vec.Turn(vec.P{X: 1, Y: 2, Z: 3}, 0.7))
	for name, at := range map[string]vec.Place{"turned": turn, "mirrored": turn.After(vec.MirrorX())} {
		got, err := Parse(written(t, &Model{Objects: []Object{{Mesh: m, Placed: at}}}), Limits{})
		if err != nil {
			t.Fatal(name, err)
		}
		o := got.Objects[0]
		if o.Placed != vec.Here {
			t.Errorf("%s: placed at %v", name, o.Placed)
		}
		meshtest.Conform(t, o.Mesh, meshtest.Want{Volume: m.Volume(), Bodies: 1, Tol: 1e-6})
		for i, p := range m.Transform(at).V {
			if d := o.Mesh.V[i].Sub(p).Len(); d > 4e-6 { // float32 at 30 mm: steps of 1.9e-6
				t.Fatalf("%s: vertex %d is %g off", name, i, d)
			}
		}
	}
}

func TestSameBytesAndNoClock(t *testing.T) {
	a := written(t, sample())
	for range 20 { // what has the order of a map differs now and then
		if !bytes.Equal(a, written(t, sample())) {
			t.Fatal("the same model gave other bytes")
		}
	}
	z, err := zip.NewReader(bytes.NewReader(a), int64(len(a)))
	if err != nil {
		t.Fatal(err)
	}
	year := time.Now().Format("2006")
	for _, f := range z.File {
		if got := f.Modified.Format(time.DateTime); got != "1980-01-01 00:00:00" || len(f.Extra) != 0 {
			t.Errorf("%s carries the time %v", f.Name, f.Modified)
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		s, _ := io.ReadAll(r)
		if strings.Contains(string(s), year+"-") {
			t.Errorf("%s contains the year", f.Name)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	cube := func() *mesh.Mesh { return meshtest.Cube(vec.P{}, 1) }
	nan, big, twice, few := cube(), cube(), cube(), cube()
	nan.V[1].X = math.NaN()
	big.V[1].X = 1e39
	twice.T[5] = [3]uint32{1, 1, 2}
	few.T = few.T[:3]
	one := []Object{{Name: "cube", Mesh: cube()}}
	for name, m := range map[string]*Model{
		"no objects":     {},
		"no mesh":        {Objects: []Object{{Name: "x"}}},
		"NaN":            {Objects: []Object{{Mesh: nan}}},
		"beyond float32": {Objects: []Object{{Mesh: big}}},
		"same vertex":    {Objects: []Object{{Mesh: twice}}},
		"three":          {Objects: []Object{{Mesh: few}}},
		"name":           {Objects: one, Metadata: []Meta{{"a b", "c"}}},
		"twice":          {Objects: one, Title: "x", Metadata: []Meta{{"Title", "y"}}},
		"thumbnail":      {Objects: one, Thumbnail: []byte("GIF89a")},
	} {
		var b bytes.Buffer
		if err := Write(&b, m); err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v after %d bytes", name, err, b.Len())
		}
	}
	if err := Write(full{}, sample()); !errors.Is(err, errFull) {
		t.Errorf("a full disk gave %v", err)
	}
}

var errFull = errors.New("disk is full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

// archive packs a document as others would.
func archive(t testing.TB, model string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range [][2]string{
		{"[Content_Types].xml", `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>`},
		{"_rels/.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>`},
		{"3d/3DModel.model", model},
	} {
		w, err := z.Create(f[0])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, f[1]); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const tetra = `<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices>` +
	`<triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh>`

func model(unit, resources, build string) string {
	return `<?xml version="1.0" encoding="UTF-8"?><model unit="` + unit + `" xml:lang="en-US" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>` +
		resources + `</resources><build>` + build + `</build></model>`
}

func TestUnitsAndComponents(t *testing.T) {
	b := archive(t, model("inch",
		`<object id="1" type="model" name="leaf">`+tetra+`</object>`+
			`<object id="2" type="model" name="pair"><components><component objectid="1"/>`+
			`<component objectid="1" transform="-1 0 0 0 1 0 0 0 1 -2 0 0"/></components></object>`,
		`<item objectid="2" transform="2 0 0 0 2 0 0 0 2 0 0 5" partnumber="7"/>`))
	m, err := Parse(b, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Objects) != 1 || m.Objects[0].Name != "pair" || m.Objects[0].PartNumber != "7" {
		t.Fatalf("objects %v", m.Objects)
	}
	const inch3 = 25.4 * 25.4 * 25.4
	meshtest.Conform(t, m.Objects[0].Mesh, meshtest.Want{Volume: 2 * 8 * inch3 / 6, Bodies: 2, Bounds: vec.Box{
		Min: vec.P{X: -6 * 25.4, Z: 5 * 25.4}, Max: vec.P{X: 2 * 25.4, Y: 2 * 25.4, Z: 7 * 25.4},
	}})
}

func TestReadRefuses(t *testing.T) {
	object := `<object id="1" type="model">` + tetra + `</object>`
	ok := model("millimeter", object, `<item objectid="1"/>`)
	bomb := strings.Builder{} // components that double 30 times
	bomb.WriteString(object)
	for i := range 30 {
		fmt.Fprintf(&bomb, `<object id="%d" type="model"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, i+2, i+1, i+1)
	}
	for _, c := range []struct {
		name string
		b    []byte
		want error
		says string
	}{
		{"empty", nil, ErrArchive, ""},
		{"not a zip", []byte("solid x"), ErrArchive, "zip"},
		{"cut", written(t, sample())[:900], ErrArchive, ""},
		{"no XML", archive(t, "hello"), ErrDocument, "nothing"},
		{"vertex beyond", archive(t, strings.Replace(ok, `v3="1"`, `v3="9"`, 1)), ErrDocument, "triangle[0]"},
		{"negative vertex", archive(t, strings.Replace(ok, `v3="1"`, `v3="-1"`, 1)), ErrDocument, "v3"},
		{"same vertex", archive(t, strings.Replace(ok, `v3="1"`, `v3="0"`, 1)), ErrDocument, "distinct"},
		{"no number", archive(t, strings.Replace(ok, `x="1"`, `x="one"`, 1)), ErrDocument, "x"},
		{"NaN", archive(t, strings.Replace(ok, `x="1"`, `x="NaN"`, 1)), ErrDocument, ""},
		{"infinite", archive(t, strings.Replace(ok, `x="1"`, `x="1e99"`, 1)), ErrDocument, ""},
		{"no object", archive(t, model("millimeter", object, `<item objectid="5"/>`)), ErrDocument, ""},
		{"unit", archive(t, model("furlong", object, `<item objectid="1"/>`)), ErrDocument, "unit"},
		{"doubling components", archive(t, model("millimeter", bomb.String(), `<item objectid="31"/>`)), ErrTooLarge, ""},
		{"circle of components", archive(t, model("millimeter",
			`<object id="1" type="model"><components><component objectid="2"/></components></object>`+
				`<object id="2" type="model"><components><component objectid="1"/></components></object>`, `<item objectid="1"/>`)), ErrTooLarge, ""},
		{"zeros", archive(t, strings.Repeat("\x00", 16<<20)), ErrTooLarge, "unpacks"},
		{"elements", archive(t, model("millimeter", strings.Repeat("<a/>", maxOther+1), "")), ErrTooLarge, "elements"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := Parse(c.b, Limits{})
			if m != nil || !errors.Is(err, c.want) || !strings.Contains(fmt.Sprint(err), c.says) {
				t.Errorf("error %v, want %v with %q", err, c.want, c.says)
			}
			if len(fmt.Sprint(err)) > 400 {
				t.Errorf("error of %d bytes", len(err.Error()))
			}
		})
	}
	file := written(t, sample())
	for _, l := range []Limits{{Triangles: 1000}, {Objects: 2}, {Bytes: 1000}} {
		if _, err := Parse(file, l); !errors.Is(err, ErrTooLarge) {
			t.Errorf("limits %v: %v", l, err)
		}
	}
	if m, err := Parse(archive(t, ok), Limits{}); err != nil || len(m.Objects) != 1 {
		t.Errorf("the sound one is refused: %v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(model("millimeter", `<object id="1">`+tetra+`</object>`, `<item objectid="1"/>`)))
	f.Add([]byte(model("inch", `<basematerials id="3"><base name="x" displaycolor="#ff0000"/></basematerials><object id="1" pid="3" pindex="0">`+tetra+`</object><object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 2 0 0"/></components></object>`, `<item objectid="2"/>`)))
	f.Fuzz(func(t *testing.T, doc []byte) {
		if len(doc) > 1<<16 {
			t.Skip()
		}
		m, err := Parse(archive(t, string(doc)), Limits{Triangles: 10_000})
		if err != nil {
			if m != nil {
				t.Fatal("a model beside an error")
			}
			return
		}
		for _, o := range m.Objects {
			if err := o.Mesh.Check(); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// FuzzArchive reads bytes that may not even be a zip archive.
func FuzzArchive(f *testing.F) {
	f.Add(written(f, sample()))
	f.Fuzz(func(t *testing.T, b []byte) {
		if m, err := Parse(b, Limits{Bytes: 1 << 20}); err != nil && m != nil {
			t.Fatal("a model beside an error")
		}
	})
}

func Benchmark3MF(b *testing.B) {
	m := &Model{Objects: []Object{{Name: "ring", Mesh: meshtest.Torus(5, 2, 200, 100)}}}
	file := written(b, m)
	b.Run("write 40k", func(b *testing.B) {
		for range b.N {
			if err := Write(io.Discard, m); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("read 40k", func(b *testing.B) {
		for range b.N {
			if _, err := Parse(file, Limits{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// Parts come back as they were given: the tags of their triangles, whatever the
// order was, and where the mesh was mirrored, and two objects each with its own.
func TestParts(t *testing.T) {
	m := meshtest.Sphere(1.7, 20)
	m.Tag = make([]uint32, len(m.T))
	for i := range m.Tag {
		m.Tag[i] = uint32(i*7%4) % 4 // 0: of nothing
	}
	names := []string{"plate.sun", "prongs.inner 2", `bezel.heart & <"more">`}
	at := map[[3]vec.P]string{} // part of each triangle, by its corners
	part := func(parts []string, tag uint32) string {
		if tag == 0 {
			return ""
		}
		return parts[tag-1]
	}
	f := m.Float32()
	for i := range f.T {
		p, q, r := f.Corners(i)
		at[[3]vec.P{p, q, r}] = part(names, m.Tag[i])
	}
	for _, placed := range []vec.Place{vec.Here, vec.MirrorX()} {
		got, err := Parse(written(t, &Model{Objects: []Object{
			{Name: "bare", Mesh: meshtest.Cube(vec.P{}, 1), Parts: names},
			{Name: "parted", Mesh: m, Parts: names, Placed: placed},
		}}), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if o := got.Objects[0]; len(o.Parts) > 0 || len(o.Mesh.Tag) > 0 {
			t.Errorf("a mesh without tags has the parts %q", o.Parts)
		}
		o := got.Objects[1]
		if fmt.Sprint(o.Parts) != fmt.Sprint(names) || len(o.Mesh.T) != len(m.T) {
			t.Fatalf("parts %q of %d triangles", o.Parts, len(o.Mesh.T))
		}
		back := o.Mesh
		if placed.Mirrored() {
			back = back.Transform(vec.MirrorX())
		}
		for i := range back.T {
			p, q, r := back.Corners(i)
			found := false
			for range 3 { // from whichever corner
				p, q, r = q, r, p
				want, ok := at[[3]vec.P{p, q, r}]
				if found = found || ok && want == part(o.Parts, back.Tag[i]); found {
					break
				}
			}
			if !found {
				t.Fatalf("triangle %d is of %q", i, part(o.Parts, back.Tag[i]))
			}
		}
	}
	m.Tag[5] = 4
	if err := Write(io.Discard, &Model{Objects: []Object{{Mesh: m, Parts: names}}}); err == nil {
		t.Error("a tag beyond all parts is written")
	}
	m.Tag[5] = 1
	for _, bad := range []string{"", " a", "a; b"} {
		if err := Write(io.Discard, &Model{Objects: []Object{{Mesh: m, Parts: []string{"a", "b", bad}}}}); err == nil {
			t.Errorf("a part %q is written", bad)
		}
	}
}

// What is said of parts is believed of the mesh that it was written for alone.
func TestPartsOfAnother(t *testing.T) {
	for says, want := range map[string]string{
		"4; 0 1 plate.sun; 3 3 bezel.rim 2": "[1 1 0 2] [plate.sun bezel.rim 2]",
		"4":                                 "[] []",
		"5; 0 1 plate.sun":                  "[] []", // of more triangles
		"4; 0 4 plate.sun":                  "[] []", // beyond
		"4; 2 1 plate.sun":                  "[] []",
		"4; -1 1 plate.sun":                 "[] []",
		"4; 0 1 a; 1 2 b":                   "[] []", // twice
		"4; 0 1":                            "[] []",
		"4; 0 1 ":                           "[] []",
		"":                                  "[] []",
		"plate.sun":                         "[] []",
	} {
		object := `<object id="1" type="model"><metadatagroup><metadata name="w:Parts">` + says + `</metadata></metadatagroup>` + tetra + `</object>`
		doc := strings.Replace(model("millimeter", object, `<item objectid="1"/>`), ` xmlns=`, ` xmlns:w="`+Namespace+`" xmlns=`, 1)
		m, err := Parse(archive(t, doc), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if got := fmt.Sprint(m.Objects[0].Mesh.Tag, m.Objects[0].Parts); got != want {
			t.Errorf("%q is read as %s", says, got)
		}
	}
}
