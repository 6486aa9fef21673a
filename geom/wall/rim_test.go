package wall

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// contouredTo is contoured at another tolerance.
func contouredTo(t testing.TB, f sdf.Field, tol float64) solid {
	t.Helper()
	c, err := sdf.Compile(f)
	if err != nil {
		t.Fatal(err)
	}
	m, _, err := contour.Mesh(context.Background(), c, contour.Options{Tol: tol})
	if err != nil {
		t.Fatal(err)
	}
	return solid{m, Field(m, c)}
}

// places returns the spots that are walls, and no edges, and of the size that counts
// for a caster.
func places(spots []Spot) []Spot {
	return slices.DeleteFunc(spots, func(s Spot) bool { return s.Edge || s.Area < 0.25 && s.Extent < 0.5 })
}

// TestRims: a hole near the edge of a disc leaves a rim of known width. Where the
// disc's front edge is rounded by more than that, its face and the hole meet in a
// knife edge, too: the rim behind it is a wall all the same.
func TestRims(t *testing.T) {
	const r, hole = 5, 0.65
	for _, round := range []float64{0, 0.3} {
		for _, w := range []float64{0.1, 0.18, 0.8} {
			disc, err := outline.Circle(r)
			if err != nil {
				t.Fatal(err)
			}
			f := sdf.Difference{
				From: sdf.Prism{Outline: disc, Z0: -1.2, Z1: 0, RoundTop: round},
				Cut:  []sdf.Field{sdf.At(sdf.Cylinder{R: hole, Z0: -2, Z1: 1}, vec.Shift(vec.P{Y: r - hole - w}))},
			}
			for _, tol := range []float64{0.004, 0.006} {
				what := fmt.Sprintf("rim of %g beside a hole, edge rounded by %g, meshed to %g", w, round, tol)
				spots := places(contouredTo(t, f, tol).thin(t, 1.05))
				if round == 0 {
					found(t, what, 1.05, spots, w, 1e-3)
				} else if len(spots) == 0 || spots[0].Width > w+2e-3 { // it is thinner where it is rounded
					t.Errorf("%s: no wall of %g, but %+v", what, w, spots)
				}
			}
		}
	}
}

// TestSlits: a slit that narrows to nothing is a wedge of air and no gap, where its
// sides lean to each other by more than 30 degrees; so are the tips of a leaf no walls.
// Its edge is rounded, so that creases run out at the end of the slit and there is no
// telling from them whether sides meet.
func TestSlits(t *testing.T) {
	const leaf = "M -2 -2 C -2 -5 2 -5 2 -2 C 4 6 9 8 14 6 C 15 12 10 17 3 18 L 1 12 L -1 19 C -7 19 -13 14 -12 9 C -8 9 -3 6 -2 -2 Z"
	o, err := outline.FromSVG(leaf, outline.SVG{Width: 16})
	if err != nil {
		t.Fatal(err)
	}
	s := contouredTo(t, sdf.Prism{Outline: o, Z0: -1.2, Z1: 0, RoundTop: 0.3}, 0.003)
	clear(t, "slit of a leaf", 0.4, places(s.gaps(t, 0.4)))
	clear(t, "tips of a leaf", 0.9, places(s.thin(t, 0.9)))
}
