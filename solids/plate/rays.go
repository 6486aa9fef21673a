package plate

import (
	"fmt"
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Rays are grooves in the face that run outwards from round the middle. A ray
// grows evenly from Width[0] at the radius From to Width[1] at the radius To,
// and its depth grows with it up to Depth at To, so that its walls are plane
// (V) or conical (round) and close in one line.
type Rays struct {
	Count    int
	From, To float64    // mm from the middle
	Width    [2]float64 // mm across at From and at To
	Depth    float64    // mm at To
	Phase    float64    // bearing of the first ray, radians
	Round    bool       // round bottom instead of V
}

// Cut returns the cutter of all rays. It fails when a size is not positive,
// the widths shrink outwards, or the rays have no length.
func (r Rays) Cut() (sdf.Field, error) {
	switch {
	case r.Count < 1:
		return nil, fmt.Errorf("rays: count %d is less than 1", r.Count)
	case !(r.From >= 0 && r.To > r.From):
		return nil, fmt.Errorf("rays: they end at %.4g mm from the middle and begin at %.4g", r.To, r.From)
	case !(r.Width[0] > 0 && r.Width[1] >= r.Width[0]):
		return nil, fmt.Errorf("rays: width goes from %.4g to %.4g; it has to be positive and may not shrink outwards", r.Width[0], r.Width[1])
	case !(r.Depth > 0):
		return nil, fmt.Errorf("rays: depth %.4g is not positive", r.Depth)
	}
	one := r.vee()
	if r.Round {
		one = r.round()
	}
	all := make(sdf.Union, r.Count)
	for i := range all {
		b := r.Phase + 2*math.Pi*float64(i)/float64(r.Count)
		all[i] = sdf.At(one, vec.TurnZ(-b))
	}
	return all, nil
}

// span is the common part of both kinds: the ray lies along +y, from From to
// past To, under the face and a little proud of it.
func (r Rays) span() sdf.Intersection {
	return sdf.Intersection{
		sdf.HalfSpace{N: vec.P{Y: -1}, D: -r.From},
		sdf.HalfSpace{N: vec.P{Y: 1}, D: r.To},
		sdf.HalfSpace{N: vec.P{Z: 1}, D: proud},
	}
}

// vee is one V ray. Each wall is the plane through the rim of the groove and
// its bottom line: it holds (w0/2, From, 0), (w1/2, To, 0) and (0, To, -Depth).
func (r Rays) vee() sdf.Field {
	a := vec.P{X: r.Width[0] / 2, Y: r.From}
	b := vec.P{X: r.Width[1] / 2, Y: r.To}
	c := vec.P{Y: r.To, Z: -r.Depth}
	n := b.Sub(a).Cross(c.Sub(a)).Unit() // points out of the groove: +x, -z
	if n.X < 0 {
		n = n.Neg()
	}
	right := sdf.HalfSpace{N: n, D: n.Dot(a)}
	n.X = -n.X
	left := sdf.HalfSpace{N: n, D: right.D}
	return append(r.span(), right, left)
}

// round is one ray with a round bottom. With equal widths it is a cylinder
// through rim and bottom; else a circular cone whose tip T lies where the
// width is nothing, and whose axis leans up by the angle a at which the rim
// point (w/2, L, 0) and the bottom point (0, L, -d), seen from T, lie at the
// same angle from it: tan a = (L/d)(1 - |bottom|/|rim|).
func (r Rays) round() sdf.Field {
	w, d := r.Width[1], r.Depth
	grow := r.Width[1] - r.Width[0]
	if grow < 1e-6*w { // a cone tip a million widths away is a cylinder
		radius := (w*w/4 + d*d) / (2 * d)
		tube := sdf.Cylinder{R: radius, Z0: r.From, Z1: r.To}
		lay := vec.Place{O: vec.P{Z: radius - d}, X: vec.P{X: 1}, Y: vec.P{Z: -1}, Z: vec.P{Y: 1}}
		return append(r.span(), sdf.At(tube, lay))
	}
	length := (r.To - r.From) * w / grow
	rim := math.Hypot(length, w/2)
	bottom := math.Hypot(length, d)
	lean := math.Atan(length / d * (1 - bottom/rim))
	s, c := math.Sincos(lean)
	half := math.Acos(length * c / rim)
	reach := 1.5 * length // past the rim even where the axis leans
	cone := sdf.Cone{R0: 0, Z0: 0, R1: reach * math.Tan(half), Z1: reach}
	lay := vec.Place{O: vec.P{Y: r.To - length}, X: vec.P{X: 1}, Y: vec.P{Y: s, Z: -c}, Z: vec.P{Y: c, Z: s}}
	return append(r.span(), sdf.At(cone, lay))
}
