package contour

import (
	"context"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
)

// topology are the defects that no mesh may have, resolved or not.
var topology = []manifold.Kind{manifold.Open, manifold.Crowded, manifold.Flipped, manifold.Pinched, manifold.Inward}

// closed returns what the judge found, and fails where the mesh is not a
// closed, outward 2-manifold.
func closed(t interface {
	Helper()
	Fatalf(string, ...any)
}, m *mesh.Mesh) manifold.Report {
	t.Helper()
	r := manifold.Judge(m)
	if r.Unfit != nil {
		t.Fatalf("unfit: %v", r.Unfit)
	}
	for _, k := range topology {
		if r.Count[k] > 0 {
			t.Fatalf("%d times: %v, of %d triangles", r.Count[k], k, len(m.T))
		}
	}
	return r
}

func compile(t testing.TB, f sdf.Field) *sdf.Code {
	t.Helper()
	c, err := sdf.Compile(f)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// raw returns the mesh before its reduction.
func raw(ctx context.Context, c *sdf.Code, o Options) (*mesh.Mesh, []uint8, Report, error) {
	m, err := newMesher(c, o)
	if err != nil {
		return nil, nil, Report{}, err
	}
	out, class, err := m.build(ctx)
	if err != nil {
		return nil, nil, Report{}, err
	}
	return out, class, m.report(), nil
}

func TestB1(t *testing.T) {
	m, r, err := Mesh(context.Background(), compile(t, contourtest.B1()), Options{})
	if err != nil {
		t.Fatal(err)
	}
	j := closed(t, m)
	if len(j.Bodies) != 1 || j.Genus() != contourtest.B1Genus {
		t.Errorf("%d bodies of genus %d, want one of genus %d", len(j.Bodies), j.Genus(), contourtest.B1Genus)
	}
	if r.Reached > DefaultTol {
		t.Errorf("reached %g mm, asked for %g", r.Reached, DefaultTol)
	}
	// B1's curved walls stand mostly outside their chords: the mesh has at most
	// its area times the tolerance less
	if v := j.Volume; v > contourtest.B1Volume+0.001 || v < contourtest.B1Volume-contourtest.B1Area*DefaultTol/4 {
		t.Errorf("volume %.4f mm3, true %.4f", v, contourtest.B1Volume)
	}
	if a := j.Area; math.Abs(a-contourtest.B1Area) > 0.001*contourtest.B1Area {
		t.Errorf("area %.3f mm2, true %.2f", a, contourtest.B1Area)
	}
	for _, s := range r.Unresolved {
		if s.Width > 4*DefaultTol {
			t.Errorf("a width of %g mm at %v is called unresolved", s.Width, s.At)
		}
	}
}

// The same field gives the same bytes, on any number of workers.
func TestSameBytes(t *testing.T) {
	c := compile(t, sdf.Difference{
		From: sdf.Union{sdf.Tag(sdf.Box{Half: vec.P{X: 1, Y: 1, Z: 0.3}}, 1), sdf.Tag(sdf.Sphere{R: 0.7}, 2)},
		Cut:  []sdf.Field{sdf.Cylinder{R: 0.3, Z0: -2, Z1: 2}, sdf.At(sdf.Torus{Major: 0.7, Minor: 0.1}, vec.Shift(vec.P{Z: 0.3}))},
	})
	var first *mesh.Mesh
	for _, n := range []int{1, 2, 5, 2} {
		m, _, err := Mesh(context.Background(), c, Options{Tol: 0.01, Workers: n})
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = m
		} else if !reflect.DeepEqual(first, m) {
			t.Errorf("%d workers made another mesh", n)
		}
	}
}

// Volumes and areas of solids with closed formulas; the mesh's volume is off by
// at most its area times the tolerance.
func TestFormulas(t *testing.T) {
	const tol = 0.003
	pi := math.Pi
	square, err := outline.RoundedRect(2, 1.4, 0.4)
	if err != nil {
		t.Fatal(err)
	}
	ring, err := outline.Ring(1, 0.7)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []struct {
		name         string
		f            sdf.Field
		volume, area float64
		genus        int
	}{
		{"box", sdf.Box{Half: vec.P{X: 1, Y: 0.5, Z: 0.25}}, 1, 2 * (2*1 + 2*0.5 + 1*0.5), 0},
		{"sphere", sdf.Sphere{R: 1}, 4 * pi / 3, 4 * pi, 0},
		{"torus", sdf.Torus{Major: 1, Minor: 0.3}, 2 * pi * pi * 0.09, 4 * pi * pi * 0.3, 1},
		{"frustum", sdf.Cone{R0: 1, Z0: 0, R1: 0.4, Z1: 1}, pi / 3 * (1 + 0.4 + 0.16), pi * (1 + 0.16 + 1.4*math.Hypot(0.6, 1)), 0},
		{"cone", sdf.Cone{R0: 1, Z0: 0, R1: 0, Z1: 1}, pi / 3, pi * (1 + math.Sqrt2), 0},
		{"capsule", sdf.Capsule{A: vec.P{X: -0.5}, B: vec.P{X: 0.5, Y: 0.3}, R: 0.4}, pi*0.16*math.Hypot(1, 0.3) + 4*pi/3*0.064, 2*pi*0.4*math.Hypot(1, 0.3) + 4*pi*0.16, 0},
		{"rounded prism", sdf.Prism{Outline: square, Z0: 0, Z1: 0.5}, 0.5 * (2.8 - (4-pi)*0.16), 2*(2.8-(4-pi)*0.16) + 0.5*(6.8-(8-2*pi)*0.4), 0},
		{"ring prism", sdf.Prism{Outline: ring, Z0: 0, Z1: 0.5}, 0.5 * pi * 0.51, 2*pi*0.51 + 0.5*2*pi*1.7, 1},
		{"napkin ring", sdf.Difference{From: sdf.Sphere{R: 1}, Cut: []sdf.Field{sdf.Cylinder{R: 0.8, Z0: -2, Z1: 2}}},
			pi * 1.2 * 1.2 * 1.2 / 6, 2*pi*1.2 + 2*pi*0.8*1.2, 1},
		{"bicylinder", sdf.Intersection{sdf.Cylinder{R: 1, Z0: -2, Z1: 2}, sdf.At(sdf.Cylinder{R: 1, Z0: -2, Z1: 2}, vec.Turn(vec.P{X: 1}, pi/2))}, 16.0 / 3, 16, 0},
		{"turned ring", sdf.Revolve{Outline: ring.Moved(vec.P2{X: 3})}, 2 * pi * 3 * pi * 0.51, 2 * pi * 3 * 2 * pi * 1.7, 1},
		{"wire", sdf.Wire{Path: []outline.Seg{{At: vec.P2{X: 1}, Bulge: 1}, {At: vec.P2{X: -1}, Bulge: 1}}, Closed: true, R: 0.2}, 2 * pi * pi * 0.04, 4 * pi * pi * 0.2, 1},
	} {
		m, r, err := Mesh(context.Background(), compile(t, s.f), Options{Tol: tol})
		if err != nil {
			t.Errorf("%s: %v", s.name, err)
			continue
		}
		j := closed(t, m)
		if math.Abs(j.Volume-s.volume) > s.area*tol {
			t.Errorf("%s: volume %.5f, by formula %.5f", s.name, j.Volume, s.volume)
		}
		if math.Abs(j.Area-s.area) > 0.005*s.area {
			t.Errorf("%s: area %.4f, by formula %.4f", s.name, j.Area, s.area)
		}
		shells := 1
		if s.name == "turned ring" {
			shells = len(j.Bodies) // a hollow ring: its void has a genus of its own
		}
		if len(j.Bodies) != shells || s.name != "turned ring" && j.Genus() != s.genus {
			t.Errorf("%s: %d bodies, genus %d", s.name, len(j.Bodies), j.Genus())
		}
		if r.Reached > tol {
			t.Errorf("%s: reached %g, asked for %g", s.name, r.Reached, tol)
		}
		if len(r.Unresolved) > 0 {
			t.Errorf("%s: unresolved %v", s.name, r.Unresolved)
		}
	}
}

// A gap of a fifth of a millimetre and one of a hundredth stay open; a wall of
// a hundredth stays.
func TestThinPlaces(t *testing.T) {
	block := sdf.Box{Half: vec.P{X: 1, Y: 1, Z: 0.5}}
	slot := func(w float64) sdf.Field { return sdf.Box{Half: vec.P{X: w / 2, Y: 2, Z: 2}} }
	for _, s := range []struct {
		name   string
		f      sdf.Field
		bodies int
	}{
		{"wide slot", sdf.Difference{From: block, Cut: []sdf.Field{slot(0.2)}}, 2},
		{"fine slot", sdf.Difference{From: block, Cut: []sdf.Field{slot(0.01)}}, 2},
		{"fine wall", sdf.Difference{From: block, Cut: []sdf.Field{
			sdf.At(slot(0.8), vec.Shift(vec.P{X: 0.405})), sdf.At(slot(0.8), vec.Shift(vec.P{X: -0.405})),
		}}, 3},
		{"near touch", sdf.Union{sdf.Sphere{R: 1}, sdf.At(sdf.Sphere{R: 1}, vec.Shift(vec.P{X: 2.01}))}, 2},
	} {
		m, r, err := Mesh(context.Background(), compile(t, s.f), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if j := closed(t, m); len(j.Bodies) != s.bodies || j.Genus() != 0 {
			t.Errorf("%s: %d bodies of genus %d, want %d of genus 0; unresolved %v", s.name, len(j.Bodies), j.Genus(), s.bodies, r.Unresolved)
		}
	}
}

// Random fields close, and come near their tolerance.
func TestRandomFields(t *testing.T) {
	trees := map[string]*rapid.Generator[sdf.Field]{
		"round numbers": rapid.Custom(func(t *rapid.T) sdf.Field { return roundTree(t, rapid.IntRange(0, 2).Draw(t, "depth")) }),
		"any numbers":   sdftest.Tree(2),
	}
	for name, g := range trees {
		rapid.Check(t, func(t *rapid.T) {
			c, err := sdf.Compile(g.Draw(t, name))
			if err != nil {
				t.Skip(err)
			}
			m, _, err := Mesh(context.Background(), c, Options{Tol: 0.1})
			if err != nil {
				t.Skip(err)
			}
			closed(t, m)
		})
	}
}

func TestRefusals(t *testing.T) {
	plate := sdf.Box{Half: vec.P{X: 5000, Y: 5000, Z: 0.5}}
	var sieve sdf.Union
	for i := range 40 {
		sieve = append(sieve, sdf.At(sdf.Torus{Major: 2000, Minor: 0.2}, vec.Shift(vec.P{Z: float64(i)})))
	}
	for name, s := range map[string]struct {
		f    sdf.Field
		o    Options
		want string
	}{
		"no bounds":    {sdf.HalfSpace{N: vec.P{Z: 1}}, Options{}, "bounds"},
		"empty":        {sdf.Intersection{sdf.Sphere{R: 1}, sdf.At(sdf.Sphere{R: 1}, vec.Shift(vec.P{X: 9}))}, Options{}, "empty"},
		"nothing left": {sdf.Difference{From: sdf.Sphere{R: 1}, Cut: []sdf.Field{sdf.Sphere{R: 2}}}, Options{}, "thick"},
		"too many":     {sieve, Options{}, "million cells"},
		"fine cells":   {plate, Options{Cell: 0.01}, "million cells"},
		"bad tol":      {sdf.Sphere{R: 1}, Options{Tol: math.NaN()}, "tolerance"},
		"bad cell":     {sdf.Sphere{R: 1}, Options{Cell: -1}, "cell size"},
		"liar":         {liar{}, Options{Tol: 0.05}, "bounds"},
	} {
		_, _, err := Mesh(context.Background(), compile(t, s.f), s.o)
		if err == nil || !strings.Contains(err.Error(), s.want) {
			t.Errorf("%s: error %v, want one about %q", name, err, s.want)
		}
	}
	if _, _, err := Mesh(context.Background(), compile(t, plate), Options{}); err != nil {
		t.Errorf("a plate of ten metres: %v", err)
	}
}

// liar is a field that reaches beyond its bounds.
type liar struct{}

func (liar) Dist(p vec.P) float64 { return p.X }
func (liar) Bounds() vec.Box {
	return vec.Box{Min: vec.P{X: -1, Y: -1, Z: -1}, Max: vec.P{X: 1, Y: 1, Z: 1}}
}
func (liar) Exact() sdf.Exact { return 0 }

func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	last := 0
	_, _, err := Mesh(ctx, compile(t, contourtest.B1()), Options{Progress: func(done, total int) {
		if done < last || total <= 0 {
			t.Errorf("progress %d of %d after %d", done, total, last)
		}
		last = done
		time.AfterFunc(time.Millisecond, cancel)
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	if last == 0 {
		t.Error("no progress told")
	}
}

// Of a ball the normals asked for point away from its middle; at the edges of a
// box each is that of its triangle's face.
func TestNormals(t *testing.T) {
	m, r, err := Mesh(context.Background(), compile(t, sdf.Union{sdf.Sphere{R: 1}, sdf.At(sdf.Box{Half: vec.P{X: 0.4, Y: 0.5, Z: 0.6}}, vec.Shift(vec.P{X: 3}))}), Options{Tol: 0.01, Normals: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Normals) != len(m.T) {
		t.Fatalf("normals of %d triangles, there are %d", len(r.Normals), len(m.T))
	}
	for i := range m.T {
		a, b, c := m.Corners(i)
		for k, p := range [3]vec.P{a, b, c} {
			want := p
			if p.X > 1.5 {
				want = b.Sub(a).Cross(c.Sub(a)).Unit()
			}
			if n := r.Normals[i][k]; n.Dot(want) < 0.995 { // asked for a little way into the triangle
				t.Fatalf("triangle %d, corner at %v: normal %v, want %v", i, p, n, want)
			}
		}
	}
}

// A wire that comes near itself has no smooth surface where its spans meet, and the
// gap between them is told, however thin.
func TestBentWire(t *testing.T) {
	at := func(x, y float64) outline.Seg { return outline.Seg{At: vec.P2{X: x, Y: y}} }
	wire := sdf.Wire{Path: []outline.Seg{at(-3, 0), at(1, 0), at(3, -1.5), at(5, 0.4), at(3, 2.3), at(1, 0.805), at(-3, 0.805)}, R: 0.4}
	_, r, err := Mesh(context.Background(), compile(t, wire), Options{Tol: 0.01, Cell: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Unresolved) == 0 {
		t.Error("a gap of 5 um in cells of 100 um is not told")
	}
}

// The vertices of cells of one size lie on the surface, also in blocks that one face
// alone passes, and those of tidied meshes have kept their places.
func TestCellVertices(t *testing.T) {
	c := compile(t, sdf.Union{sdf.Sphere{R: 2}, sdf.At(sdf.Torus{Major: 2, Minor: 0.3}, vec.Shift(vec.P{Z: 0.1})), sdf.At(sdf.Box{Half: vec.P{X: 1, Y: 3, Z: 0.4}}, vec.TurnZ(0.3))})
	m, _, err := Mesh(context.Background(), c, Options{Tol: 0.01, Cell: 0.07, Raw: true})
	if err != nil {
		t.Fatal(err)
	}
	off := 0
	for _, p := range m.V {
		if math.Abs(c.Dist(p)) > 1e-6 {
			off++
		}
	}
	if off > len(m.V)/1000 {
		t.Errorf("%d of %d vertices are off the surface", off, len(m.V))
	}
	for _, tr := range m.T {
		for k, v := range tr {
			if l := m.V[v].Sub(m.V[tr[(k+1)%3]]).Len(); l > 8*0.07 {
				t.Fatalf("an edge of %g mm in cells of 0.07 mm", l)
			}
		}
	}
}

// A sheet thinner than its cells once came with its sides exchanged (field 58); a
// void is a shell that rightly faces inwards.
func TestFacesOutwards(t *testing.T) {
	sheet, _ := numbered(58)
	ball := sdf.Difference{From: sdf.Sphere{R: 1}, Cut: []sdf.Field{sdf.Sphere{R: 0.5}}}
	for _, c := range []struct {
		f      sdf.Field
		across float64 // cells
		voids  int
	}{{sheet, 30, 0}, {ball, 15, 1}} {
		code, err := sdf.Compile(c.f)
		if err != nil {
			t.Fatal(err)
		}
		size := code.Bounds().Size()
		m, _, err := Mesh(context.Background(), code, Options{Cell: max(size.X, size.Y, size.Z) / c.across})
		if err != nil {
			t.Fatal(err)
		}
		r := manifold.Judge(m)
		if n := r.Count[manifold.Inward]; n > 0 || r.Voids() != c.voids {
			t.Errorf("%d shells face inwards, %d voids, not %d", n, r.Voids(), c.voids)
		}
	}
}
