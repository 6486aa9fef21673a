package drawing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

func sectionArea(t interface{ Fatal(...any) }, v View, depth float64, items ...Item) (area float64, loops int) {
	ls, err := Section(items, v, depth)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range ls {
		area += l.Area()
	}
	return area, len(ls)
}

// Areas of sections are those of the formulas, holes deducted, on planes
// through corners and edges too, and however the body is placed.
func TestSection(t *testing.T) {
	box := meshtest.Box(vec.Box{Min: vec.P{X: -2, Y: -1, Z: -3}, Max: vec.P{X: 2, Y: 1, Z: 3}})
	torus := meshtest.Torus(3, 1, 256, 128)
	mirror := vec.MirrorX()
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		at    vec.Place
		v     View
		depth float64
		area  float64
		loops int
		slack float64
	}{
		{"box, front", box, vec.Here, Front, 0, 8, 1, 1e-12},
		{"box, side", box, vec.Here, Side, 0.5, 12, 1, 1e-12},
		{"box, its back face", box, vec.Here, Front, -3, 8, 1, 1e-12},
		{"box, its front face", box, vec.Here, Front, 3, 0, 0, 0},
		{"box, mirrored", box, mirror, Side, 0.5, 12, 1, 1e-12},
		{"torus across its axis", torus, vec.Here, Front, 0, math.Pi * (16 - 4), 2, 0.02},
		{"torus along its axis", torus, vec.Here, Side, 0, 2 * math.Pi, 2, 0.02},
	} {
		area, loops := sectionArea(t, c.v, c.depth, Item{c.m, c.at, true, 0})
		near(t, c.name, area, c.area, c.slack)
		if loops != c.loops {
			t.Errorf("%s: %d loops, want %d", c.name, loops, c.loops)
		}
	}
	if _, err := Section([]Item{{&mesh.Mesh{V: []vec.P{{}, {X: 1}, {Z: 1}}, T: [][3]uint32{{0, 1, 2}}}, vec.Here, true, 0}}, Front, 0.5); err == nil {
		t.Error("an open mesh is cut")
	}
}

// A ball cut at a random depth and turn shows a disc of the radius that
// Pythagoras says.
func TestSectionOfBall(t *testing.T) {
	ball := meshtest.Sphere(2, 128)
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.Float64Range(-1.8, 1.8).Draw(t, "depth")
		axis := vec.P{X: rapid.Float64Range(-1, 1).Draw(t, "x"), Y: 1, Z: rapid.Float64Range(-1, 1).Draw(t, "z")}.Unit()
		at := vec.Turn(axis, rapid.Float64Range(0, 6).Draw(t, "turn"))
		area, loops := sectionArea(t, Top, depth, Item{ball, at, true, 0})
		if want := math.Pi * (4 - depth*depth); loops != 1 || math.Abs(area-want) > 0.02 {
			t.Fatalf("area %g of %d loops, want %g of one", area, loops, want)
		}
	})
}
