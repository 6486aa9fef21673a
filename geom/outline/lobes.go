package outline

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// DeepestNotch returns how deep the notches of a scallop can be in mm: there
// neighbouring lobes touch along the ray between them. Deeper ones would
// overlap.
func DeepestNotch(across float64, lobes int) float64 {
	// a lobe that fills its wedge of half angle a touches both sides: with its
	// centre at q its radius is q sin a and it touches at q cos a
	sin, cos := math.Sincos(math.Pi / float64(lobes))
	return across / 2 * (1 - cos/(1+sin))
}

// Scallop returns equal round lobes round a circle, one at the top (+y). The
// lobes' tips lie on the diameter across, the notches depth inside it; depth
// must be less than DeepestNotch. The notches are rounded by the radius round,
// which makes them shallower; 0 leaves them sharp.
func Scallop(across float64, lobes int, depth, round float64) (Outline, error) {
	if err := counted("lobes", lobes, 3); err != nil {
		return Outline{}, err
	}
	if err := sized("scallop's diameter", across); err != nil {
		return Outline{}, err
	}
	if deepest := DeepestNotch(across, lobes); !(depth > 0 && depth < deepest) {
		return Outline{}, fmt.Errorf("notches %g deep between %d lobes of a scallop %g across: the deepest are %.4g", depth, lobes, across, deepest)
	}
	if !(round >= 0 && round <= farthest) {
		return Outline{}, fmt.Errorf("radius %g of a scallop's notches", round)
	}
	half := math.Pi / float64(lobes)
	sin, cos := math.Sincos(half)
	tip, notch := across/2, across/2-depth
	// the lobe's circle through its tip and the notches beside it
	q := (tip - notch) * (tip + notch) / (2 * (tip - float64(notch*cos)))
	r := tip - q
	// seen from the lobe's centre, how far the notch or the start of its
	// rounding lies from the tip
	wide := math.Atan2(notch*sin, float64(notch*cos)-q)
	var c float64 // distance of the rounding's centre
	if round > 0 {
		s := q * sin
		c = float64(q*cos) + math.Sqrt(float64((r+round)*(r+round))-float64(s*s))
		wide = math.Atan2(c*sin, float64(c*cos)-q)
	}
	var l Loop
	for i := range lobes {
		b := float64(-2 * half * float64(i)) // bearings fall: counter-clockwise
		if round == 0 {
			l = append(l, Seg{vec.Bearing(notch, b+half), arcBulge(2 * wide)})
			continue
		}
		o := vec.Bearing(q, b)
		l = append(l,
			Seg{o.Add(vec.Bearing(r, b+wide)), arcBulge(2 * wide)},
			// the rounding turns back by what the lobe turned too far
			Seg{o.Add(vec.Bearing(r, b-wide)), arcBulge(2*half - 2*wide)})
	}
	return New(l)
}

// Pear returns a drop: a half circle of diameter across at the bottom, its
// sides arcs that leave the half circle without a kink and meet at the top.
// The top is rounded by the radius tip, 0 leaves it pointed. The height
// includes all and must exceed across; tip must be less than half of across.
//
// The origin is the middle of the height; the widest place lies
// (height-across)/2 below it.
func Pear(across, height, tip float64) (Outline, error) {
	if err := sized("pear's width", across); err != nil {
		return Outline{}, err
	}
	if !(height > across && height <= farthest) {
		return Outline{}, fmt.Errorf("pear %g high and %g across: it has to be higher than wide", height, across)
	}
	r := across / 2
	if !(tip >= 0 && tip < r) {
		return Outline{}, fmt.Errorf("pear's tip radius %g is not less than half its width %g", tip, across)
	}
	// About the centre of the half circle: the right side's centre lies on the
	// x axis at r-R, the tip's at h-tip on the y axis; they touch from inside
	// where (R-r)^2 + (h-tip)^2 = (R-tip)^2.
	h := height - r
	side := (float64(r*r) + float64(h*(h-2*tip))) / (2 * (r - tip))
	turn := math.Atan2(h-tip, side-r) // sweep of a side
	y0 := r - height/2                // of the half circle's centre
	l := Loop{{vec.P2{X: -r, Y: y0}, 1}, {vec.P2{X: r, Y: y0}, arcBulge(turn)}}
	if tip == 0 {
		l = append(l, Seg{vec.P2{Y: height / 2}, arcBulge(turn)})
		return New(l)
	}
	sin, cos := math.Sincos(turn)
	x, y := tip*cos, height/2-tip+float64(tip*sin)
	l = append(l,
		Seg{vec.P2{X: x, Y: y}, arcBulge(math.Pi - 2*turn)},
		Seg{vec.P2{X: -x, Y: y}, arcBulge(turn)})
	return New(l)
}
