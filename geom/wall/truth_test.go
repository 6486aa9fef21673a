package wall

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// failer is a test, of rapid's or not.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatal(args ...any)
}

// solid is a mesh and what knows its normals.
type solid struct {
	m *mesh.Mesh
	n Normals
}

// contoured meshes a field at the default tolerance.
func contoured(t testing.TB, f sdf.Field) solid {
	t.Helper()
	c, err := sdf.Compile(f)
	if err != nil {
		t.Fatal(err)
	}
	m, _, err := contour.Mesh(context.Background(), c, contour.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return solid{m, Field(m, c)}
}

func (s solid) thin(t failer, limit float64) []Spot {
	t.Helper()
	spots, err := Thin(context.Background(), s.m, s.n, limit, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return spots
}

func (s solid) gaps(t failer, limit float64) []Spot {
	t.Helper()
	spots, err := Gaps(context.Background(), s.m, s.n, limit, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return spots
}

// clear fails t if there are spots.
func clear(t failer, what string, limit float64, spots []Spot) {
	t.Helper()
	if len(spots) > 0 {
		t.Errorf("%s is clear at %g, but %d spots were found, the first %+v", what, limit, len(spots), spots[0])
	}
}

// found fails t unless the first spot is a wall of the given width, to tol.
func found(t failer, what string, limit float64, spots []Spot, width, tol float64) {
	t.Helper()
	if len(spots) == 0 {
		t.Errorf("%s: nothing found at %g", what, limit)
		return
	}
	if s := spots[0]; s.Edge || math.Abs(s.Width-width) > tol {
		t.Errorf("%s at %g: want a wall of %g within %g, got %+v", what, limit, width, tol, s)
	}
}

func box(x, y, z float64) sdf.Field { return sdf.Box{Half: vec.P{X: x / 2, Y: y / 2, Z: z / 2}} }

func TestPlate(t *testing.T) {
	b := vec.Box{Min: vec.P{X: -5, Y: -3, Z: -0.25}, Max: vec.P{X: 5, Y: 3, Z: 0.25}}
	for what, s := range map[string]solid{
		"plate of 12 triangles": {meshtest.Box(b), nil},
		"contoured plate":       contoured(t, box(10, 6, 0.5)),
	} {
		clear(t, what, 0.48, s.thin(t, 0.48))
		spots := s.thin(t, 0.52)
		found(t, what, 0.52, spots, 0.5, 1e-6)
		if len(spots) != 1 || math.Abs(spots[0].Area-120) > 1e-6 {
			t.Errorf("%s: want both sides, 120 mm2, as one spot, got %+v", what, spots)
		}
	}
}

func TestCube(t *testing.T) {
	for what, s := range map[string]solid{
		"cube of 12 triangles": {meshtest.Cube(vec.P{}, 3), nil},
		"contoured cube":       contoured(t, box(3, 3, 3)),
	} {
		for _, limit := range []float64{0.4, 0.8, 1.5, 2.9} {
			clear(t, what, limit, s.thin(t, limit))
		}
	}
}

// TestWedge: at the distance x from the edge of a wedge of 14 degrees the ray
// measures x tan 14, the ball 2 x tan 7. So 0.80 is reached at x = 3.209 and
// 3.258.
func TestWedge(t *testing.T) {
	sin, cos := math.Sincos(14 * math.Pi / 180)
	s := contoured(t, sdf.Facets{Planes: []sdf.HalfSpace{
		{N: vec.P{Z: -1}},
		{N: vec.P{X: -sin, Z: cos}},
		{N: vec.P{X: 1}, D: 6},
		{N: vec.P{Y: 1}, D: 2},
		{N: vec.P{Y: -1}, D: 2},
	}})
	spots, err := Thin(context.Background(), s.m, s.n, 0.8, Options{Spacing: 0.02})
	if err != nil {
		t.Fatal(err)
	}
	reach := 0.0
	for _, p := range spots {
		reach = max(reach, p.Box.Max.X)
	}
	if reach < 3.2 || reach > 3.26 {
		t.Errorf("a 14 degree wedge is under 0.80 up to x = 3.2 to 3.26, got %.4f", reach)
	}
	if len(spots) != 2 || !spots[0].Edge || spots[1].Edge {
		t.Errorf("want the edge and the wall behind it, got %+v", spots)
	}
}

func TestRod(t *testing.T) {
	for what, s := range map[string]solid{
		"rod of 24 sides, smoothed": {meshtest.Cylinder(0.405, 8, 24), nil},
		"rod of 48 sides, smoothed": {meshtest.Cylinder(0.405, 8, 48), nil},
		"contoured rod":             contoured(t, sdf.Cylinder{R: 0.405, Z0: 0, Z1: 8}),
	} {
		clear(t, what, 0.79, s.thin(t, 0.79))
		clear(t, what, 0.805, s.thin(t, 0.805))
		found(t, what, 0.83, s.thin(t, 0.83), 0.81, 0.005)
		found(t, what, 0.815, s.thin(t, 0.815), 0.81, 0.005)
	}
}

// TestRodWithoutField: on a reduced mesh of slivers the guessed normals make
// the width as uncertain as the mesh, by twice the chord error on both sides.
func TestRodWithoutField(t *testing.T) {
	s := solid{contoured(t, sdf.Cylinder{R: 0.405, Z0: 0, Z1: 8}).m, nil}
	clear(t, "rod", 0.79, s.thin(t, 0.79))
	found(t, "rod", 0.83, s.thin(t, 0.83), 0.81, 4*contour.DefaultTol)
}

// vFloor is a slab with a V groove whose bottom lies 0.70 above the slab's.
func vFloor(t testing.TB) solid {
	n := vec.P{Y: 0.5 / 0.6, Z: -1}
	l := n.Len()
	n = n.Mul(1 / l)
	groove := sdf.Facets{Planes: []sdf.HalfSpace{
		{N: vec.P{Z: 1}, D: 2},
		{N: n, D: -0.7 / l},
		{N: vec.P{Y: -n.Y, Z: n.Z}, D: -0.7 / l},
		{N: vec.P{X: 1}, D: 9},
		{N: vec.P{X: -1}, D: 9},
	}}
	slab := sdf.At(box(8, 6, 1.2), vec.Shift(vec.P{Z: 0.6}))
	return contoured(t, sdf.Difference{From: slab, Cut: []sdf.Field{groove}})
}

func TestVFloor(t *testing.T) {
	exact := vFloor(t)
	for what, s := range map[string]solid{"V floor": exact, "V floor, smoothed": {exact.m, nil}} {
		clear(t, what, 0.68, s.thin(t, 0.68))
		clear(t, what, 0.695, s.thin(t, 0.695))
		for _, limit := range []float64{0.705, 0.72, 0.80} {
			spots := s.thin(t, limit)
			found(t, what, limit, spots, 0.7, 1e-3)
			if len(spots) != 1 || spots[0].Extent < 7.5 {
				t.Errorf("%s: want one spot 8 mm long, got %+v", what, spots)
			}
		}
	}
}

func TestOverlappedSlab(t *testing.T) {
	plate := box(8, 6, 1.2)
	s := contoured(t, sdf.Union{
		sdf.At(plate, vec.Shift(vec.P{Z: 0.6})),
		sdf.At(plate, vec.Shift(vec.P{Z: 1.4})),
	})
	clear(t, "slab", 1.5, s.thin(t, 1.5))
	found(t, "slab", 2.1, s.thin(t, 2.1), 2, 1e-6)
}
