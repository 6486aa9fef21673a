package wall

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// pillar is an upright pillar of the given width that stands on a cylinder of which
// it is cut clean: its flat sides meet the hollow of the cylinder at the given angle
// of metal, radians.
func pillar(width, angle float64) sdf.Field {
	r := width / 2 / math.Cos(angle)
	return sdf.Difference{
		From: sdf.At(box(width, 3+r, 2), vec.Shift(vec.P{Y: (3 - r) / 2})),
		Cut:  []sdf.Field{sdf.At(sdf.Cylinder{R: r, Z0: -2, Z1: 2}, vec.Shift(vec.P{Y: -r}))},
	}
}

// TestPillars: a pillar is as wide as its sides are apart, however sharp the corners
// are at which they end. Of less than 60 degrees these are edges, of more nothing.
func TestPillars(t *testing.T) {
	for _, w := range []float64{0.6, 0.9, 1.35} {
		for _, degrees := range []float64{40, 50, 58, 62, 64, 66, 70, 75, 80} {
			exact := contoured(t, pillar(w, degrees*math.Pi/180))
			for _, s := range []solid{exact, {exact.m, nil}} {
				what := fmt.Sprintf("pillar with corners of %g degrees, smoothed %v", degrees, s.n == nil)
				walls := func(limit float64) []Spot {
					return slices.DeleteFunc(s.thin(t, limit), func(s Spot) bool { return s.Edge && degrees < 60 })
				}
				clear(t, what, w-1e-3, walls(w-1e-3))
				found(t, what, w+1e-3, walls(w+1e-3), w, 1e-6)
			}
		}
	}
}
