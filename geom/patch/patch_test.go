package patch

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

func compiled(tb testing.TB, f sdf.Field) *sdf.Code {
	tb.Helper()
	c, err := sdf.Compile(f)
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

// meshed meshes f, which must be accepted.
func meshed(t *testing.T, f sdf.Field, tol float64) (*mesh.Mesh, Report) {
	t.Helper()
	m, r, err := Mesh(context.Background(), compiled(t, f), Options{Tol: tol})
	if err != nil {
		t.Fatal(err)
	}
	return m, r
}

// Solids whose volume and genus are known.
func TestKnown(t *testing.T) {
	ring := func(outer, inner, h float64) sdf.Field {
		return sdf.Difference{
			From: sdf.Cylinder{R: outer, Z0: 0, Z1: h},
			Cut:  []sdf.Field{sdf.Cylinder{R: inner, Z0: -1, Z1: h + 1}},
		}
	}
	for _, c := range []struct {
		name   string
		f      sdf.Field
		volume float64
		genus  int
	}{
		{"box", sdf.Box{Half: vec.P{X: 1, Y: 2, Z: 3}}, 48, 0},
		{"cylinder", sdf.Cylinder{R: 1, Z0: 0, Z1: 2}, 2 * math.Pi, 0},
		{"frustum", sdf.Cone{R0: 1, Z0: 0, R1: 0.5, Z1: 1}, math.Pi / 3 * 1.75, 0},
		{"cone", sdf.Cone{R0: 1, Z0: 0, R1: 0, Z1: 1}, math.Pi / 3, 0},
		{"ring", ring(2, 1, 1), 3 * math.Pi, 1},
		{"half ball", sdf.Intersection{sdf.Sphere{R: 1}, sdf.HalfSpace{N: vec.P{Z: 1}, D: 0}}, 2 * math.Pi / 3, 0},
		{"half ring", sdf.Intersection{sdf.Torus{Major: 2, Minor: 0.5}, sdf.HalfSpace{N: vec.P{Z: 1}, D: 0}}, math.Pi * math.Pi * 2 * 0.25, 1},
		{"quarter ring", sdf.Intersection{sdf.Torus{Major: 2, Minor: 0.5}, sdf.HalfSpace{N: vec.P{X: 1}, D: 0}}, math.Pi * math.Pi * 2 * 0.25, 0},
		{"peg", sdf.Intersection{sdf.Capsule{B: vec.P{Z: 2}, R: 0.5}, sdf.HalfSpace{N: vec.P{Z: -1}, D: -1}}, math.Pi*0.25 + math.Pi*2/3*0.125, 0},
		{"ball", sdf.Sphere{R: 1}, 4 * math.Pi / 3, 0},
		{"torus", sdf.Torus{Major: 2, Minor: 0.5}, math.Pi * math.Pi * 2 * 0.5, 1},
		{"capsule", sdf.Capsule{B: vec.P{Z: 2}, R: 0.5}, math.Pi*0.5 + math.Pi*4/3*0.125, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, r := meshed(t, c.f, 0)
			j := manifold.Judge(m)
			t.Logf("%+v %d triangles, volume %.5f", r, len(m.T), j.Volume)
			if !j.OK() || j.Genus() != c.genus || len(j.Bodies) != 1 {
				t.Errorf("judged: %s", j.String())
			}
			if off, most := math.Abs(j.Volume-c.volume), j.Area*DefaultTol; off > most {
				t.Errorf("volume is %g, not %g", j.Volume, c.volume)
			}
		})
	}
}

// The bench solid is accepted, by any number of workers, and sound in a file.
func TestB1(t *testing.T) {
	c := compiled(t, contourtest.B1())
	m, r, err := Mesh(context.Background(), c, Options{})
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := Mesh(context.Background(), c, Options{Workers: 1})
	if err != nil || !reflect.DeepEqual(m, again) {
		t.Errorf("one worker makes another mesh (%v)", err)
	}
	if j := manifold.Judge(m.Float32().Weld()); !j.OK() {
		t.Errorf("as a file holds it: %s", j.String())
	}
	j := manifold.Judge(m)
	t.Logf("%+v %d triangles, volume %.3f", r, len(m.T), j.Volume)
	if !j.OK() || j.Genus() != contourtest.B1Genus || len(j.Bodies) != 1 {
		t.Errorf("judged: %s", j.String())
	}
	if off := math.Abs(j.Volume - contourtest.B1Volume); off > 0.3 {
		t.Errorf("volume is %g, not %g", j.Volume, contourtest.B1Volume)
	}
}

// What has no chart is refused.
func TestRefused(t *testing.T) {
	for _, f := range []sdf.Field{
		sdf.Wire{Path: []outline.Seg{{At: vec.P2{X: -1}}, {At: vec.P2{X: 1}}}, R: 0.2},
		sdf.Difference{
			From: sdf.Box{Half: vec.P{X: 2, Y: 2, Z: 2}},
			Cut:  []sdf.Field{sdf.Wire{Path: []outline.Seg{{At: vec.P2{X: -1}}, {At: vec.P2{X: 3}}}, R: 0.2}},
		},
	} {
		_, _, err := Mesh(context.Background(), compiled(t, f), Options{})
		var r *Refused
		if !errors.As(err, &r) {
			t.Errorf("%T: %v", f, err)
		}
	}
}

// The normals of a ball point away from its middle.
func TestNormals(t *testing.T) {
	o := vec.P{X: 1, Y: 2, Z: 3}
	c := compiled(t, sdf.At(sdf.Sphere{R: 0.7}, vec.Place{O: o, X: vec.P{X: 1}, Y: vec.P{Y: 1}, Z: vec.P{Z: 1}}))
	m, r, err := Mesh(context.Background(), c, Options{Normals: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Normals) != len(m.T) {
		t.Fatalf("normals of %d triangles, the mesh has %d", len(r.Normals), len(m.T))
	}
	for i, v := range m.T {
		for k := range v {
			if n := m.V[v[k]].Sub(o).Unit(); n.Sub(r.Normals[i][k]).Len() > 1e-9 {
				t.Fatalf("the normal at %v is %v, not %v", m.V[v[k]], r.Normals[i][k], n)
			}
		}
	}
}

// The triangles of a ball are not many more than the fewest regular ones: those
// with the side s, s^2 = 6 r tol, which leave it by the tolerance.
func TestFew(t *testing.T) {
	for _, tol := range []float64{0.01, 0.002} {
		m, _ := meshed(t, sdf.Sphere{R: 1}, tol)
		fewest := 4 * math.Pi / (math.Sqrt(3) / 4 * 6 * tol)
		t.Logf("at %g: %d triangles, at best %.0f", tol, len(m.T), fewest)
		if got := float64(len(m.T)); got < fewest || got > 1.8*fewest {
			t.Errorf("at %g: %d triangles, at best %.0f", tol, len(m.T), fewest)
		}
	}
}
