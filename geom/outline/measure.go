package outline

import (
	"math"

	"waxwright/geom/vec"
)

// moments are the area of a region and its first moments about the origin.
type moments struct{ area, x, y float64 }

// under adds what lies between the origin and s: by Green's theorem the
// triangle (origin, A, B) and the circular segment between chord and arc.
func (m *moments) under(s Span) {
	tri := s.A.Cross(s.B) / 2
	m.area += tri
	m.x += tri * (s.A.X + s.B.X) / 3
	m.y += tri * (s.A.Y + s.B.Y) / 3
	if s.K == 0 {
		return
	}
	// A segment of sweep w on radius r has the area r^2 (w - sin w)/2; its
	// centroid lies 4 r sin^3(w/2) / (3 (w - sin w)) from the centre: moment
	// area*centroid = 2/3 r^3 sin^3(w/2) = chord^3/12 along the middle's
	// direction. From the chord's middle that is moment - area*(r cos(w/2)).
	w, r := s.Sweep, 1/s.K // both signed alike
	chord := s.B.Sub(s.A)
	area := float64(r*r) * lune(w) / 2
	mid := s.A.Lerp(s.B, 0.5)
	out := chord.Unit().Left().Neg() // from the chord's middle to the arc's, for a positive sweep
	l := chord.Len()
	along := float64(l*l*l)/12 - float64(math.Abs(area)*math.Abs(r)*math.Cos(w/2))
	m.area += area
	m.x += float64(area*mid.X) + float64(out.X*along)
	m.y += float64(area*mid.Y) + float64(out.Y*along)
}

// lune returns w - sin w without loss for small w.
func lune(w float64) float64 {
	if math.Abs(w) > 0.5 {
		return w - math.Sin(w)
	}
	// w^3/3! - w^5/5! + ...; the tenth term is below 1e-26 at 0.5
	sum, term, w2 := 0.0, w, w*w
	for k := 2.0; k <= 20; k += 2 {
		term = float64(term * (-w2 / (k * (k + 1))))
		sum -= term
	}
	return sum
}

// moments sums over the loop, about its first point for the sake of rounding.
func (l Loop) moments() moments {
	var m moments
	if len(l) == 0 {
		return m
	}
	o := l[0].At
	for i := range l {
		s := l.Span(i)
		s.A, s.B = s.A.Sub(o), s.B.Sub(o)
		m.under(s)
	}
	m.x += float64(m.area * o.X)
	m.y += float64(m.area * o.Y)
	return m
}

// Area returns the signed area in mm2: positive for a counter-clockwise loop.
func (l Loop) Area() float64 { return l.moments().area }

// Length returns the length of the loop in mm.
func (l Loop) Length() float64 {
	sum := 0.0
	for i := range l {
		sum += l.Span(i).Len
	}
	return sum
}

// Area returns the area of the region in mm2, holes taken off.
func (o Outline) Area() float64 {
	sum := 0.0
	for _, l := range o.Loops {
		sum += l.Area()
	}
	return sum
}

// Centroid returns the centre of area, the origin for the empty outline.
func (o Outline) Centroid() vec.P2 {
	var sum moments
	for _, l := range o.Loops {
		m := l.moments()
		sum.area += m.area
		sum.x += m.x
		sum.y += m.y
	}
	if sum.area == 0 {
		return vec.P2{}
	}
	return vec.P2{X: sum.x / sum.area, Y: sum.y / sum.area}
}

// Length returns the length of all loops in mm.
func (o Outline) Length() float64 {
	sum := 0.0
	for _, l := range o.Loops {
		sum += l.Length()
	}
	return sum
}

// At returns the point at the arc length s in mm along the loop from its first
// Seg, and the unit tangent there. s counts round and round: negative values
// and values beyond the length are welcome. The loop must not be empty.
func (l Loop) At(s float64) (p, tangent vec.P2) {
	s = math.Mod(s, l.Length())
	if s < 0 {
		s += l.Length()
	}
	for i := range l {
		span := l.Span(i)
		if s <= span.Len || i == len(l)-1 {
			return span.Point(s / span.Len), span.Tangent(s / span.Len)
		}
		s -= span.Len
	}
	panic("outline: At on an empty loop")
}

// At returns the point at the arc length s in mm along the outline's first
// loop, and the unit tangent there; see Loop.At.
func (o Outline) At(s float64) (p, tangent vec.P2) { return o.Loops[0].At(s) }
