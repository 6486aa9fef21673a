package outline

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// The constructors. All shapes are centred at the origin: round and lobed ones
// by their centre, the others by the middle of their bounding box. They fail
// with an error that names the bad size.

// sized returns an error unless v is a positive length that an outline may have.
func sized(what string, v float64) error {
	if !(v > 0 && v <= farthest) {
		return fmt.Errorf("%s %g is not a positive length", what, v)
	}
	return nil
}

// counted returns an error unless n lies between least and mostCorners.
func counted(what string, n, least int) error {
	if n < least || n > mostCorners {
		return fmt.Errorf("%d %s, not between %d and %d", n, what, least, mostCorners)
	}
	return nil
}

// mostCorners bounds the corners of a regular polygon and the lobes of a
// scallop: at 10,000 on a 30 mm plate each is a hundredth of a millimetre.
const mostCorners = 10_000

// arcBulge returns the bulge of an arc that sweeps the angle in radians,
// counter-clockwise positive.
func arcBulge(sweep float64) float64 { return math.Tan(sweep / 4) }

// circle returns the counter-clockwise circle of radius r round c.
func circle(c vec.P2, r float64) Loop {
	return Loop{{vec.P2{X: c.X + r, Y: c.Y}, 1}, {vec.P2{X: c.X - r, Y: c.Y}, 1}}
}

// Circle returns the disc of radius r in mm.
func Circle(r float64) (Outline, error) {
	if err := sized("circle radius", r); err != nil {
		return Outline{}, err
	}
	return New(circle(vec.P2{}, r))
}

// Ring returns the disc of radius outer with a round hole of radius inner.
func Ring(outer, inner float64) (Outline, error) {
	if err := sized("ring's inner radius", inner); err != nil {
		return Outline{}, err
	}
	if !(outer > inner) {
		return Outline{}, fmt.Errorf("ring of outer radius %g and inner radius %g", outer, inner)
	}
	return New(circle(vec.P2{}, outer), circle(vec.P2{}, inner).Reversed())
}

// RoundedRect returns the rectangle w wide and h high whose corners are rounded
// by the radius r: 0 for sharp corners, at most half the shorter side.
func RoundedRect(w, h, r float64) (Outline, error) {
	if err := sized("rectangle width", w); err != nil {
		return Outline{}, err
	}
	if err := sized("rectangle height", h); err != nil {
		return Outline{}, err
	}
	if !(r >= 0 && r <= min(w, h)/2) {
		return Outline{}, fmt.Errorf("corner radius %g of a rectangle %g x %g", r, w, h)
	}
	x, y := w/2, h/2
	if r == 0 {
		return New(quartered([]Seg{{At: vec.P2{X: x, Y: y}}}, 0, 0))
	}
	return New(quartered([]Seg{{vec.P2{X: x, Y: y - r}, quarterBulge}, {At: vec.P2{X: x - r, Y: y}}}, 0, 0))
}

// quarterBulge is the bulge of a quarter circle, tan(pi/8).
const quarterBulge = math.Sqrt2 - 1

// Slot returns the rectangle w wide and h high whose shorter ends are half
// circles.
func Slot(w, h float64) (Outline, error) {
	o, err := RoundedRect(w, h, min(w, h)/2)
	if err != nil {
		return Outline{}, fmt.Errorf("slot: %w", err)
	}
	return o, nil
}

// Cushion returns a rectangle w wide and h high over its bulged sides: each
// side is an arc that rises by rise over its ends, the corners are rounded by
// the radius r where side and corner share their tangents. rise 0 is
// RoundedRect, r 0 leaves the corners sharp.
func Cushion(w, h, rise, r float64) (Outline, error) {
	if rise == 0 {
		return RoundedRect(w, h, r)
	}
	if err := sized("cushion width", w); err != nil {
		return Outline{}, err
	}
	if err := sized("cushion height", h); err != nil {
		return Outline{}, err
	}
	x, y := w/2-rise, h/2-rise // the sharp corner
	if !(rise > 0 && x > 0 && y > 0 && r >= 0) {
		return Outline{}, fmt.Errorf("cushion %g x %g with sides that rise %g and corners of radius %g", w, h, rise, r)
	}
	if r == 0 { // bulge = rise over half the chord
		return New(quartered([]Seg{{At: vec.P2{X: x, Y: y}}}, rise/x, rise/y))
	}
	// Radii from chord and rise; a corner circle that touches both arcs from
	// inside has its centre at radius - r from the centres of both.
	rs := (float64(y*y) + float64(rise*rise)) / (2 * rise)
	rt := (float64(x*x) + float64(rise*rise)) / (2 * rise)
	cs, ct := vec.P2{X: w/2 - rs}, vec.P2{Y: h/2 - rt}
	c, ok := crossLeft(cs, rs-r, ct, rt-r)
	from, to := angle(c.Sub(cs)), angle(c.Sub(ct))
	if !ok || !(from > 0 && to < math.Pi/2 && from < to) {
		return Outline{}, fmt.Errorf("corners of radius %g do not fit a cushion %g x %g with sides that rise %g", r, w, h, rise)
	}
	return New(quartered([]Seg{
		{c.Add(c.Sub(cs).Unit().Mul(r)), arcBulge(to - from)},
		{At: c.Add(c.Sub(ct).Unit().Mul(r))},
	}, arcBulge(math.Pi-2*to), arcBulge(2*from)))
}

// angle returns the direction of v, counter-clockwise from +x.
func angle(v vec.P2) float64 { return math.Atan2(v.Y, v.X) }

// crossLeft returns the common point of two circles that lies left of the way
// from the centre a to the centre b.
func crossLeft(a vec.P2, ra float64, b vec.P2, rb float64) (vec.P2, bool) {
	ab := b.Sub(a)
	l2 := ab.Dot(ab)
	x := (l2 + float64(ra*ra) - float64(rb*rb)) / 2
	y2 := float64(l2*ra*ra) - float64(x*x)
	if !(l2 > 0 && ra > 0 && rb > 0 && y2 >= 0) {
		return vec.P2{}, false
	}
	return a.Add(ab.Mul(x / l2)).Add(ab.Left().Mul(math.Sqrt(y2) / l2)), true
}

// quartered completes a loop that is the same in all four quarters, from the
// chain of its first quarter, counter-clockwise. The mirror images are exact;
// they are joined by arcs of the bulges top and side across the y and x axis,
// or not at all where they meet on it.
func quartered(q []Seg, top, side float64) Loop {
	var all Loop
	add := func(x, y float64, bulge float64) {
		all = append(all, Seg{vec.P2{X: x, Y: y}, bulge})
	}
	n := len(q)
	for _, sign := range [2]float64{1, -1} { // first and second quarter, third and fourth
		for i, s := range q {
			if i == n-1 {
				s.Bulge = top
			}
			add(sign*s.At.X, sign*s.At.Y, s.Bulge)
		}
		for i := n - 1; i >= 0; i-- {
			bulge := side
			if i > 0 {
				bulge = q[i-1].Bulge
			}
			add(-sign*q[i].At.X, sign*q[i].At.Y, bulge)
		}
	}
	var l Loop
	for i, s := range all {
		if s.At != all[(i+1)%len(all)].At {
			l = append(l, s)
		}
	}
	return l
}

// Polygon returns the polygon through the points, in order, either way round.
func Polygon(points ...vec.P2) (Outline, error) {
	l := make(Loop, len(points))
	for i, p := range points {
		l[i].At = p
	}
	if len(points) < 3 {
		return Outline{}, fmt.Errorf("polygon of %d points", len(points))
	}
	o, err := New(l)
	if err != nil {
		return Outline{}, fmt.Errorf("polygon: %w", err)
	}
	return o, nil
}

// RegularPolygon returns the regular polygon of n corners on a circle of
// diameter across, one corner at the top (+y). Its corners are rounded by the
// radius r, which takes the tips off the diameter; 0 leaves them sharp. r must
// be less than the radius of the inscribed circle.
func RegularPolygon(n int, across, r float64) (Outline, error) {
	if err := counted("corners", n, 3); err != nil {
		return Outline{}, err
	}
	if err := sized("polygon's diameter", across); err != nil {
		return Outline{}, err
	}
	half := math.Pi / float64(n)
	inner := across / 2 * math.Cos(half)
	if !(r >= 0 && r < inner) {
		return Outline{}, fmt.Errorf("corner radius %g of a polygon with an inscribed circle of radius %g", r, inner)
	}
	var l Loop
	for i := range n {
		b := float64(-2 * half * float64(i)) // bearings fall: counter-clockwise
		if r == 0 {
			l = append(l, Seg{At: vec.Bearing(across/2, b)})
			continue
		}
		// the corner's arc turns by 2 half about a centre on the corner's ray
		c := vec.Bearing((inner-r)/math.Cos(half), b)
		l = append(l,
			Seg{c.Add(vec.Bearing(r, b+half)), arcBulge(2 * half)},
			Seg{c.Add(vec.Bearing(r, b-half)), 0})
	}
	return New(l)
}
