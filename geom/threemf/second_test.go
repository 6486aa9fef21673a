package threemf_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/stl"
	"waxwright/geom/threemf"
	"waxwright/geom/vec"
)

// save writes m as an STL or 3MF file and returns its path.
func save(t *testing.T, m *mesh.Mesh, ext string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "mesh"+ext)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if ext == ".stl" {
		err = stl.Write(f, m, "a mesh to be judged")
	} else {
		err = threemf.Write(f, &threemf.Model{Title: "judged", Objects: []threemf.Object{{Name: "mesh", Mesh: m}}})
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// Our judge, volume, area and genus agree with those of manifold-3d on sound
// meshes, in both formats.
func TestManifold3DAgreesOnSoundMeshes(t *testing.T) {
	tilt := vec.Shift(vec.P{X: 3, Y: -7, Z: 11}).After(vec.Turn(vec.P{X: 1, Y: 2, Z: 3}, 0.7))
	ring := meshtest.Torus(5, 1, 60, 24)
	type job struct {
		name string
		m    *mesh.Mesh
	}
	var jobs []job
	var paths []string
	for _, c := range []job{
		{"box", meshtest.Box(vec.Box{Min: vec.P{X: 1}, Max: vec.P{X: 3, Y: 5, Z: 1.2}}).Transform(tilt)},
		{"sphere", meshtest.Sphere(2.5, 48)},
		{"torus", meshtest.Torus(5, 1.5, 60, 24).Transform(tilt)},
		{"tube", meshtest.Tube(3, 2, 1, 40).Transform(vec.MirrorX())},
		{"hollow", meshtest.Join(meshtest.Cube(vec.P{}, 5), meshtest.Cube(vec.P{X: 1, Y: 1, Z: 1}, 2).Flip())},
		{"linked", meshtest.Join(ring, ring.Transform(vec.Shift(vec.P{X: 5}).After(vec.Turn(vec.P{X: 1}, math.Pi/2))))},
		{"slender", meshtest.Cylinder(0.4, 12, 160).Transform(tilt)},
	} {
		for _, ext := range []string{".stl", ".3mf"} {
			jobs = append(jobs, job{c.name + ext, c.m})
			paths = append(paths, save(t, c.m, ext))
		}
	}
	for i, got := range meshtest.Manifold3D(t, paths...) {
		r := manifold.Judge(jobs[i].m.Float32().Weld())
		if len(got) != 1 || got[0].Status != "NoError" || !r.OK() {
			t.Errorf("%s: manifold-3d says %+v, we say %s", jobs[i].name, got, r.String())
			continue
		}
		s := got[0]
		// manifold-3d may move what it takes for degenerate, within its own
		// tolerance of some 1e-5 of the size.
		if math.Abs(s.Volume-r.Volume) > 1e-5*r.Volume || math.Abs(s.Area-r.Area) > 1e-5*r.Area {
			t.Errorf("%s: volume %g and area %g, we say %g and %g", jobs[i].name, s.Volume, s.Area, r.Volume, r.Area)
		}
		// its genus is 1 - Euler/2 over all surfaces together
		shells := len(r.Bodies) + r.Voids()
		if s.Bodies != shells || s.Genus != r.Genus()+1-shells {
			t.Errorf("%s: %d surfaces of genus %d, we say %d and %d", jobs[i].name, s.Bodies, s.Genus, shells, r.Genus())
		}
	}
}

// The solids that manifold-3d builds are sound for our judge, and our measures
// agree with its own and with the closed formulas: torus (Pappus), ball, cap
// and napkin ring, frustum, crossing rods and their common part (Steinmetz),
// plate with holes. A mesh with corners on the surface loses at most 4/3 of
// the chord on every curved face.
func TestReferenceSolids(t *testing.T) {
	const pi = math.Pi
	for _, c := range []struct {
		name   string
		params []float64
		volume float64
		genus  int
	}{
		{"torus", []float64{3, 1}, 2 * pi * pi * 3, 1},
		{"ball", []float64{2}, 4.0 / 3 * pi * 8, 0},
		{"cap", []float64{3, 1}, pi / 3 * (9 - 1), 0}, // pi h2 (3R - h) / 3
		{"frustum", []float64{2, 1, 3}, pi / 3 * 3 * (4 + 2 + 1), 0},
		{"napkin", []float64{3, 2}, pi / 6 * 8, 1}, // pi h3 / 6, whatever the ball
		{"rods", []float64{1, 6}, 2*pi*6 - 16.0/3, 0},
		{"bicylinder", []float64{1}, 16.0 / 3, 0},
		{"plate", []float64{10, 8, 1.5, 0.8, -2, 0, 2, 0, 0, 2.5}, 1.5 * (80 - 3*pi*0.64), 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			const chord = 0.002
			m, s := meshtest.Reference(t, c.name, chord, c.params...)
			r := manifold.Judge(m)
			if s.Status != "NoError" || !r.OK() || len(r.Bodies) != 1 {
				t.Fatalf("%s; we say %s", s.Status, r.String())
			}
			if r.Genus() != c.genus || s.Genus != c.genus {
				t.Errorf("genus %d and %d, want %d", r.Genus(), s.Genus, c.genus)
			}
			if math.Abs(r.Volume-s.Volume) > 1e-5*s.Volume {
				t.Errorf("volume %g, manifold-3d says %g", r.Volume, s.Volume)
			}
			if d := math.Abs(r.Volume - c.volume); d > 4.0/3*chord*r.Area {
				t.Errorf("volume %g is %g from the formula's %g", r.Volume, d, c.volume)
			}
		})
	}
}

func TestDeviation(t *testing.T) {
	m, _ := meshtest.Reference(t, "torus", 0.005, 5, 2)
	// chords both ways round add up; ours are under 0.0007 each
	if d := meshtest.Deviation(m, meshtest.Torus(5, 2, 240, 120)); d > 2*(0.005+0.0007) {
		t.Errorf("two meshes of one torus are %g apart", d)
	}
	if d := meshtest.Deviation(m, meshtest.Torus(5, 2.05, 240, 120)); d < 0.04 || d > 0.06 {
		t.Errorf("a torus 0.05 thicker is %g away", d)
	}
}

// lib3mf in strict mode opens what we write without a warning and finds all of
// it.
func TestLib3MFStrict(t *testing.T) {
	path := filepath.Join(t.TempDir(), "piece.3mf")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	model := threemf.Sample()
	model.Objects[1].Placed = vec.Shift(vec.P{X: 9.123456789}).After(vec.Turn(vec.P{X: 1, Y: 1}, 0.3))
	if err := threemf.Write(f, model); err != nil {
		t.Fatal(err)
	}
	f.Close()
	r := meshtest.OpenLib3MF(t, path)[0]
	if r.Error != "" || len(r.Warnings) > 0 {
		t.Fatalf("error %q, warnings %q", r.Error, r.Warnings)
	}
	if !r.Millimetres || !r.Thumbnail || r.Items != 3 || len(r.Objects) != 3 || len(r.Materials) != 2 || len(r.Metadata) != 6 {
		t.Fatalf("%+v", r)
	}
	for i, o := range r.Objects {
		want := model.Objects[i]
		if o.Name != want.Name || o.Vertices != len(want.Mesh.V) || o.Triangles != len(want.Mesh.T) || !o.Manifold {
			t.Errorf("object %d is %+v", i, o)
		}
		if o.Material == 0 || r.Materials[o.Material-1].Name != want.Material.Name {
			t.Errorf("object %d has material %d of %v", i, o.Material, r.Materials)
		}
	}
	if c := r.Materials[0].RGBA; c != [4]uint8{226, 182, 92, 255} {
		t.Errorf("colour %v", c)
	}
	if f := r.Metadata[4]; f.Space != threemf.Namespace || f.Name != "digest" || f.Value != "0123abcd" {
		t.Errorf("metadata %+v", f)
	}
}
