package bench

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/json"
	"io"
	"math"
	"net/http"
	"testing"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
)

// opened is a container taken apart as its description says, by other means than
// those that packed it.
type opened struct {
	head modelHead
	data []byte
}

// open takes a container apart.
func open(t testing.TB, form string, b []byte, head any) []byte {
	t.Helper()
	if len(b) < 8 || string(b[:4]) != form {
		t.Fatalf("no %s: % x", form, b[:min(len(b), 8)])
	}
	n := int(binary.LittleEndian.Uint32(b[4:8]))
	if n%4 != 0 || 8+n > len(b) {
		t.Fatalf("header of %d bytes in %d", n, len(b))
	}
	if err := json.Unmarshal(b[8:8+n], head); err != nil {
		t.Fatal(err)
	}
	return b[8+n:]
}

func openModel(t testing.TB, b []byte) opened {
	var o opened
	o.data = open(t, "WXM1", b, &o.head)
	return o
}

// mesh reads a casting back.
func (o opened) mesh(c castingHead) *mesh.Mesh {
	var m mesh.Mesh
	box := o.head.Box
	for i := range c.Positions.Count {
		at := c.Positions.At + 8*i
		axis := func(k int) float64 {
			return box[k] + (box[k+3]-box[k])*float64(binary.LittleEndian.Uint16(o.data[at+2*k:]))/65535
		}
		m.V = append(m.V, vec.P{X: axis(0), Y: axis(1), Z: axis(2)})
	}
	for i := range c.Indices.Count {
		m.T = append(m.T, o.triangle(c.Indices, i))
		m.Tag = append(m.Tag, uint32(binary.LittleEndian.Uint16(o.data[c.Owners.At+2*i:])))
	}
	return &m
}

func (o opened) triangle(b buffer, i int) (t [3]uint32) {
	for k := range t {
		if b.Wide {
			t[k] = binary.LittleEndian.Uint32(o.data[b.At+4*(3*i+k):])
		} else {
			t[k] = uint32(binary.LittleEndian.Uint16(o.data[b.At+2*(3*i+k):]))
		}
	}
	return t
}

func (o opened) floats(at, n int) []float64 {
	all := make([]float64, n)
	for i := range all {
		all[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(o.data[at+4*i:])))
	}
	return all
}

// modelled models a recipe for casting.
func modelled(t testing.TB, src string, to piece.For) *build.Model {
	t.Helper()
	p, diags := piece.ReadFor([]byte(src), "disc.hcl", piece.Options{For: to})
	if p == nil {
		t.Fatal(diags)
	}
	m, err := build.Make(t.Context(), p, build.Options{Tol: 0.02})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestContainer reads a container back: a closed mesh, as large as the casting,
// with the owners of its triangles and its stone in its place.
func TestContainer(t *testing.T) {
	m := modelled(t, disc, piece.ForCasting)
	o := openModel(t, packModel("x", m))
	if o.head.ID != "x" || len(o.head.Castings) != 1 || len(o.head.Stones) != 1 || len(o.head.Shapes) != 1 {
		t.Fatalf("header: %+v", o.head)
	}
	got, want := o.mesh(o.head.Castings[0]), m.Castings[0].Mesh
	if a, b := got.Volume(), want.Volume(); math.Abs(a-b) > 1e-3*b {
		t.Errorf("volume %g, not %g", a, b)
	}
	r := manifold.Judge(got)
	if n := r.Count[manifold.Open] + r.Count[manifold.Crowded]; n > 0 {
		t.Errorf("it is not closed any more: %s", r.String())
	}
	step := want.Bounds().Size().X / 65535
	for i, v := range want.V {
		if d := got.V[i].Sub(v); max(math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)) > 2*step {
			t.Fatalf("vertex %d is off by %v", i, d)
		}
	}
	for i, tag := range want.Tag {
		owner := m.Piece.Owners[tag-1]
		h := o.head.Owners[got.Tag[i]]
		if h.Name != numbered(owner.Address, owner.N) || h.Line != owner.Span.Line {
			t.Fatalf("triangle %d is %+v's, not %s's", i, h, owner.Address)
		}
	}
	s := o.head.Stones[0]
	if s.Gem != "citrine" || s.Group != "stones.one" || s.First != 1 || s.Matrices.Count != 1 || s.Numbers.Size != 2.5 || !s.Clear {
		t.Errorf("stone: %+v", s)
	}
	shape := o.head.Shapes[s.Shape]
	wide := 0.0
	points := o.floats(shape.Positions.At, 3*shape.Positions.Count)
	for i := 0; i < len(points); i += 3 {
		wide = max(wide, 2*math.Hypot(points[i], points[i+1]))
	}
	if math.Abs(wide-2.5) > 1e-3 {
		t.Errorf("the stone is %g mm across", wide)
	}
	if matrix := o.floats(s.Matrices.At, 16); matrix[0] != 1 || matrix[5] != 1 || matrix[10] != 1 || matrix[15] != 1 {
		t.Errorf("it lies at %v", matrix)
	}
}

// TestManyStones shares one shape among a thousand stones, and stays small.
func TestManyStones(t *testing.T) {
	m := modelled(t, disc, piece.Finished)
	c := &m.Piece.Castings[0]
	one := c.Stones[0]
	for i := range 999 {
		one.N = i + 2
		one.Place = vec.Shift(vec.P{X: 1.6 * float64(i%40), Y: 1.6 * float64(i/40)})
		c.Stones = append(c.Stones, one)
	}
	b := packModel("x", m)
	o := openModel(t, b)
	if len(o.head.Stones) != 1 || o.head.Stones[0].Matrices.Count != 1000 || len(o.head.Shapes) != 1 {
		t.Fatalf("%d runs, %d shapes", len(o.head.Stones), len(o.head.Shapes))
	}
	if n := len(gzipped(b)); n > 200_000 {
		t.Errorf("%d bytes, %d compressed", len(b), n)
	}
}

// TestModelServed serves the container of the state, compressed or not.
func TestModelServed(t *testing.T) {
	s := serveFile(t, disc)
	now := s.until("an exact model", func(now state) bool { return now.Model != nil && now.Model.Quality == "exact" })
	path := "/api/model/" + now.Model.ID
	plain := s.request(http.MethodGet, path, nil)
	plain.Header.Set("Accept-Encoding", "identity")
	_, _, want := s.do(plain)
	openModel(t, want)
	zipped := s.request(http.MethodGet, path, nil)
	zipped.Header.Set("Accept-Encoding", "gzip")
	code, h, got := s.do(zipped)
	if code != http.StatusOK || h.Get("Content-Encoding") != "gzip" || h.Get("Content-Type") != "application/octet-stream" {
		t.Fatalf("%d, %v", code, h)
	}
	in, err := gzip.NewReader(bytes.NewReader(got))
	if err != nil {
		t.Fatal(err)
	}
	if back, err := io.ReadAll(in); err != nil || !bytes.Equal(back, want) {
		t.Errorf("compressed it is something else: %v", err)
	}
	if code, _, _ := s.do(s.request(http.MethodGet, "/api/model/none", nil)); code != http.StatusNotFound {
		t.Errorf("a model that never was: %d", code)
	}
}
