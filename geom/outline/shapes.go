package outline

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// circle returns the counter-clockwise circle of radius r round c.
func circle(c vec.P2, r float64) Loop {
	return Loop{{vec.P2{X: c.X + r, Y: c.Y}, 1}, {vec.P2{X: c.X - r, Y: c.Y}, 1}}
}

// arcBulge returns the bulge of an arc that sweeps the angle, counter-clockwise
// positive.
func arcBulge(sweep float64) float64 { return math.Tan(sweep / 4) }

// sized returns an error unless v is a positive length that an outline may have.
func sized(what string, v float64) error {
	if !(v > 0 && v <= farthest) {
		return fmt.Errorf("%s %g is not a positive length", what, v)
	}
	return nil
}

var _ = errors.New
