package wall

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/cost"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

func (s solid) necks(t failer, heavy, ratio float64, feeds ...vec.P) []Neck {
	t.Helper()
	necks, err := Necks(context.Background(), s.m, heavy, ratio, feeds, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return necks
}

// beads returns balls of the given radii along x, 5 apart, on a wire of radius
// neck.
func beads(t testing.TB, neck float64, radii ...float64) solid {
	u := sdf.Union{sdf.Capsule{B: vec.P{X: 5 * float64(len(radii)-1)}, R: neck}}
	for i, r := range radii {
		u = append(u, sdf.At(sdf.Sphere{R: r}, vec.Shift(vec.P{X: 5 * float64(i)})))
	}
	return contoured(t, u)
}

// near fails t unless the neck is that of the ball at x with the given radii.
func near(t failer, what string, n Neck, x, r, neck float64) {
	t.Helper()
	if n.At.Sub(vec.P{X: x}).Len() > 0.02 || math.Abs(n.Diameter-2*r) > 0.02 {
		t.Errorf("%s: want the ball of %g at x = %g, got %+v", what, 2*r, x, n)
	}
	if n.Width > 2*neck+0.01 || n.Width < 2*neck*0.97 || math.Abs(n.Through.Z) > 0.1 {
		t.Errorf("%s: want a neck of %g half-way up, got %+v", what, 2*neck, n)
	}
}

func TestNecks(t *testing.T) {
	s := beads(t, 0.4, 1.5, 1.2)
	necks := s.necks(t, 2, 0.5)
	if len(necks) != 1 {
		t.Fatalf("want the lesser bead, got %+v", necks)
	}
	near(t, "lesser bead", necks[0], 5, 1.2, 0.4)
	if necks = s.necks(t, 2.5, 0.5); len(necks) > 0 {
		t.Errorf("the lesser bead is not 2.5 heavy, got %+v", necks)
	}
	if necks = s.necks(t, 2, 0.5, vec.P{X: 5, Y: 1}); len(necks) != 1 {
		t.Fatalf("want the greater bead if the lesser is fed, got %+v", necks)
	}
	near(t, "greater bead", necks[0], 0, 1.5, 0.4)
	if necks = s.necks(t, 2, 0.5, vec.P{X: 5}, vec.P{}); len(necks) > 0 {
		t.Errorf("both beads are fed, got %+v", necks)
	}
}

func TestNecksInARow(t *testing.T) {
	s := beads(t, 0.35, 1.1, 1.4, 1.2)
	necks := s.necks(t, 2, 0.5, vec.P{})
	if len(necks) != 2 {
		t.Fatalf("want two beads, got %+v", necks)
	}
	near(t, "middle", necks[0], 5, 1.4, 0.35)
	near(t, "end", necks[1], 10, 1.2, 0.35)
}

// TestNoNecks: sections that grow, or do not change, have none.
func TestNoNecks(t *testing.T) {
	for what, s := range map[string]solid{
		"cube":            {m: meshtest.Cube(vec.P{}, 3)},
		"ball":            {m: meshtest.Sphere(1.5, 24)},
		"ring":            {m: meshtest.Torus(3, 1, 48, 16)},
		"cone":            contoured(t, sdf.Cone{R0: 0.5, Z0: 0, R1: 2, Z1: 6}),
		"two cubes apart": {m: meshtest.Join(meshtest.Cube(vec.P{}, 3), meshtest.Cube(vec.P{X: 4}, 2.5))},
		"thick wire":      beads(t, 0.65, 1.5, 1.2),
	} {
		if necks := s.necks(t, 2, 0.5); len(necks) > 0 {
			t.Errorf("%s has no neck, got %+v", what, necks)
		}
	}
}

// TestNeckOfPlate: a boss on a plate is fed through the plate's thickness, or
// not at all thinly if the plate is as thick as half the boss.
func TestNeckOfPlate(t *testing.T) {
	bosses := func(z float64) solid {
		return contoured(t, sdf.Union{
			box(11, 4, z),
			sdf.At(sdf.Sphere{R: 1.3}, vec.Shift(vec.P{X: -3.5})),
			sdf.At(sdf.Sphere{R: 1.2}, vec.Shift(vec.P{X: 3.5})),
		})
	}
	necks := bosses(0.8).necks(t, 2, 0.5)
	if len(necks) != 1 {
		t.Fatalf("want the lesser boss, got %+v", necks)
	}
	near(t, "boss", necks[0], 3.5, 1.2, 0.4)
	if necks = bosses(1.3).necks(t, 2, 0.5); len(necks) > 0 {
		t.Errorf("a plate of 1.3 feeds a boss of 2.4, got %+v", necks)
	}
}

func BenchmarkB1Necks(b *testing.B) {
	s := contoured(b, contourtest.B1())
	start := cost.Start()
	var necks []Neck
	for b.Loop() {
		necks = s.necks(b, 1.5, 0.5)
	}
	start.Report(b)
	b.ReportMetric(float64(len(necks)), "necks")
}
