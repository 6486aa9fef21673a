package contour

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// A wire beside a block, and a tunnel through it, of radii from a quarter of the
// tolerance on: they are there whole, or it is told that they are not.
func TestSlender(t *testing.T) {
	const tol = 0.05
	block := sdf.Box{Half: vec.P{X: 1, Y: 0.8, Z: 0.6}}
	for _, r := range []float64{0.25, 0.5, 1, 1.5, 3} {
		for _, turn := range []float64{0, 0.7} {
			rod := sdf.At(sdf.Cylinder{R: r * tol, Z0: -2, Z1: 2}, vec.Turn(vec.P{X: 1, Y: 0.3}, math.Pi/2+turn))
			for name, f := range map[string]sdf.Field{
				"wire":   sdf.Union{block, sdf.At(rod, vec.Shift(vec.P{X: 3}))},
				"tunnel": sdf.Difference{From: block, Cut: []sdf.Field{rod}},
			} {
				m, rep, err := Mesh(context.Background(), compile(t, f), Options{Tol: tol})
				if err != nil {
					t.Fatal(err)
				}
				j := closed(t, m)
				whole := len(j.Bodies) == 2 && j.Genus() == 0
				if name == "tunnel" {
					whole = len(j.Bodies) == 1 && j.Genus() == 1 && j.Voids() == 0
				}
				if !whole && len(rep.Unresolved) == 0 {
					t.Errorf("%s of %g tolerances, turned %g: %d bodies of genus %d, and nothing is told", name, r, turn, len(j.Bodies), j.Genus())
				}
				if r >= 1 && !whole {
					t.Errorf("%s of %g tolerances, turned %g: %d bodies of genus %d", name, r, turn, len(j.Bodies), j.Genus())
				}
			}
		}
	}
}
