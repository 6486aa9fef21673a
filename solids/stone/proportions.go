package stone

import (
	"fmt"
	"math"
)

// Proportions are those of a round brilliant of 57 facets. Shares are of the
// size across the girdle unless said otherwise.
type Proportions struct {
	Table    float64 // share, from corner to corner of the octagon
	Crown    float64 // angle of the bezel facets to the girdle's plane, radians
	Pavilion float64 // angle of the pavilion mains to it, radians
	Girdle   float64 // share: thickness where the mains meet it; it is thinner between
	Star     float64 // how far the stars reach from table to girdle edge, seen from the front, as a share of that way
	Lower    float64 // how far the lower halves reach from girdle to culet, so seen, as a share
}

// Reference is the reference stone of GIA's weight ratio: Reinitz, Geurts,
// Gilbertson (GIA), "Weight Ratio within the GIA Diamond Cut Grading System":
// 57 / 34.0 / 40.7 / 2.5 / 50 / 80, total depth 60.0 %.
var Reference = Proportions{
	Table:    0.57,
	Crown:    34.0 * math.Pi / 180,
	Pavilion: 40.7 * math.Pi / 180,
	Girdle:   0.025,
	Star:     0.50,
	Lower:    0.80,
}

// CrownHeight returns the height of the table over the girdle, as a share.
func (p Proportions) CrownHeight() float64 { return (1 - p.Table) / 2 * math.Tan(p.Crown) }

// PavilionDepth returns the depth of the culet under the girdle, as a share.
func (p Proportions) PavilionDepth() float64 { return math.Tan(p.Pavilion) / 2 }

// Depth returns the total depth, as a share: crown, girdle, pavilion.
func (p Proportions) Depth() float64 { return p.CrownHeight() + p.Girdle + p.PavilionDepth() }

// Deepened returns the proportions with crown and pavilion stretched alike, so
// that the total depth is the given share; table, girdle, star and lower
// halves stay. So coloured stones are drawn, which are cut deeper. It fails
// where the depth does not exceed the girdle.
func (p Proportions) Deepened(depth float64) (Proportions, error) {
	if !(depth > p.Girdle && depth <= deepest) {
		return Proportions{}, fmt.Errorf("total depth of %.4g %% is not between the girdle's %.4g %% and %.4g %%", 100*depth, 100*p.Girdle, 100*deepest)
	}
	k := (depth - p.Girdle) / (p.CrownHeight() + p.PavilionDepth())
	p.Crown = math.Atan(k * math.Tan(p.Crown))
	p.Pavilion = math.Atan(k * math.Tan(p.Pavilion))
	return p, nil
}

// deepest is the largest total depth, as a share: no stone is deeper than it
// is wide thrice.
const deepest = 3.0

// Check reports proportions of which no convex stone can be cut, or one so
// flat or so pointed that nobody cuts it.
func (p Proportions) Check() error {
	const degree = math.Pi / 180
	// the star's tip, at cos8 table + star (1 - cos8 table), has to lie
	// under the table: outside of table / cos8 (see corners)
	star := p.Table * (1/cos8 - cos8) / (1 - float64(p.Table*cos8))
	for _, b := range []struct {
		what         string
		v, low, high float64
		unit         float64
		sign         string
	}{
		{"table", p.Table, 0.05, 0.95, 0.01, "%"},
		{"crown angle", p.Crown, 1 * degree, 85 * degree, degree, "degrees"},
		{"pavilion angle", p.Pavilion, 1 * degree, 85 * degree, degree, "degrees"},
		{"girdle", p.Girdle, 0, 0.5, 0.01, "%"},
		{"star length", p.Star, star * 1.01, 0.99, 0.01, "%"},
		{"length of the lower halves", p.Lower, 0.05, 0.99, 0.01, "%"},
	} {
		if !(b.v >= b.low && b.v <= b.high) {
			return fmt.Errorf("%s of %.4g %s is not between %.4g and %.4g", b.what, b.v/b.unit, b.sign, b.low/b.unit, b.high/b.unit)
		}
	}
	return nil
}
