package sdf

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// kind says what a surface is.
type kind uint8

const (
	plane    kind = iota // u.p - a
	cylinder             // axis o + t u, radius a
	cone                 // apex o, opens along u; a, b are sine and cosine of the half angle
	sphere               // centre o, radius a
	torus                // centre o, axis u, radii a and b
	capsule              // from o by the length a along u, radius b
	wall                 // an outline drawn along u
	rounded              // the same with rounded edges; see section
	leaning              // an outline drawn along u by walls that lean: d b + t a
	revolve              // an outline in (distance from the axis o + t u, t)
	wire                 // within a of a path in the plane through o square to u
	opaque               // any Field: values asked, slopes from differences
	blended              // the blend of two surfaces; see pairing
)

// surface is a smooth oriented surface in world space: a 1-Lipschitz function
// that is negative inside. It is C1 near its zero set but at the apex of a
// cone, at corners of an outline, and where an opaque field has edges.
type surface struct {
	kind    kind
	o       vec.P
	u, x, y vec.P // axis or normal; x and y complete the frame of outlines
	a, b    float64
	edge    section
	shape   outline.Part
	field   Field
	by      vec.Place
	pair    *pairing
	rough   bool    // it has edges that can't be taken apart
	tips    []vec.P // points of the surface without a normal
	reach   float64 // |f(p) - f(c)| <= reach * h in the cube of half edge h about c
}

// section is how the wall of a rounded prism runs into its ends: radius top at
// z1, radius bottom at z0; a radius of 0 leaves that end to a plane of its own.
type section struct{ z0, z1, bottom, top float64 }

// at returns the distance of a point at height z whose outline distance is d,
// and its slopes along d and z.
func (e *section) at(d, z float64) (v, dd, dz float64) {
	v = math.Inf(-1)
	if e.top > 0 {
		v, dd, dz = rounding(d, z-e.z1, e.top)
	}
	if e.bottom > 0 {
		if w, wd, wz := rounding(d, e.z0-z, e.bottom); w > v {
			v, dd, dz = w, wd, -wz
		}
	}
	return v, dd, dz
}

// rounding is roundCorner with its slopes.
func rounding(u, v, r float64) (d, du, dv float64) {
	u, v = u+r, v+r
	switch {
	case u > 0 && v > 0:
		l := math.Sqrt(float64(u*u) + float64(v*v))
		return l - r, u / l, v / l
	case u > v:
		return u - r, 1, 0
	}
	return v - r, 0, 1
}

// part returns what of the shape the leaf asks.
func (s *surface) part(l *leaf) outline.Part {
	if l.spans == nil {
		return s.shape
	}
	return s.shape.Of(l.spans)
}

// flat returns p in the frame of an outline: x, y and height.
func (s *surface) flat(p vec.P) (vec.P2, float64) {
	w := p.Sub(s.o)
	return vec.P2{X: s.x.Dot(w), Y: s.y.Dot(w)}, s.u.Dot(w)
}

// across returns the part of p - o square to the axis, and the height.
func (s *surface) across(p vec.P) (vec.P, float64) {
	w := p.Sub(s.o)
	t := w.Dot(s.u)
	return vec.P{X: w.X - float64(s.u.X*t), Y: w.Y - float64(s.u.Y*t), Z: w.Z - float64(s.u.Z*t)}, t
}

// value returns the surface's function at p.
func (s *surface) value(p vec.P, l *leaf) float64 {
	switch s.kind {
	case plane:
		return s.u.Dot(p) - s.a
	case cylinder:
		q, _ := s.across(p)
		return q.Len() - s.a
	case cone:
		q, t := s.across(p)
		return float64(q.Len()*s.b) - float64(t*s.a)
	case sphere:
		return p.Sub(s.o).Len() - s.a
	case torus:
		q, t := s.across(p)
		r := q.Len() - s.a
		return math.Sqrt(float64(r*r)+float64(t*t)) - s.b
	case capsule:
		w := p.Sub(s.o)
		t := min(max(w.Dot(s.u), 0), s.a)
		return w.Sub(s.u.Mul(t)).Len() - s.b
	case opaque:
		return s.field.Dist(s.by.Local(p))
	case blended:
		a, b := s.pair.values(p)
		return smooth(a, b, s.a)
	}
	v, _ := s.shaped(p, l, false)
	return v
}

// slope returns value and gradient at p. The gradient of an opaque field is a
// central difference.
func (s *surface) slope(p vec.P, l *leaf) (float64, vec.P) {
	switch s.kind {
	case plane:
		return s.u.Dot(p) - s.a, s.u
	case cylinder:
		q, _ := s.across(p)
		d := q.Len()
		return d - s.a, scaled(q, d, s.sideways())
	case cone:
		q, t := s.across(p)
		d := q.Len()
		g := scaled(q, d, s.sideways())
		return float64(d*s.b) - float64(t*s.a), g.Mul(s.b).Sub(s.u.Mul(s.a))
	case sphere:
		w := p.Sub(s.o)
		d := w.Len()
		return d - s.a, scaled(w, d, vec.P{Z: 1})
	case torus:
		q, t := s.across(p)
		d := q.Len()
		r := d - s.a
		v := math.Sqrt(float64(r*r) + float64(t*t))
		if v == 0 {
			return -s.b, s.u
		}
		return v - s.b, scaled(q, d, s.sideways()).Mul(r / v).Add(s.u.Mul(t / v))
	case capsule:
		w := p.Sub(s.o)
		t := min(max(w.Dot(s.u), 0), s.a)
		w = w.Sub(s.u.Mul(t))
		d := w.Len()
		return d - s.b, scaled(w, d, s.sideways())
	case opaque:
		return s.opaqueSlope(p)
	case blended:
		return s.blendSlope(p)
	}
	return s.shaped(p, l, true)
}

// shaped answers value and slope for the kinds that hold an outline or path.
func (s *surface) shaped(p vec.P, l *leaf, slope bool) (v float64, g vec.P) {
	ask := outline.Part.DistNormal
	if l.run {
		ask = outline.Part.RunDist
	}
	switch s.kind {
	case wall, rounded:
		q, z := s.flat(p)
		var d float64
		var n vec.P2
		if slope || l.run {
			d, n = ask(s.part(l), q)
		} else {
			d = s.part(l).Dist(q)
		}
		side := s.x.Mul(n.X).Add(s.y.Mul(n.Y))
		if s.kind == wall {
			return d, side
		}
		v, dd, dz := s.edge.at(d, z)
		return v, side.Mul(dd).Add(s.u.Mul(dz))
	case leaning:
		return s.leaning(p, l)
	case revolve:
		q, t := s.across(p)
		rho := q.Len()
		d, n := ask(s.part(l), vec.P2{X: rho, Y: t})
		return d, scaled(q, rho, s.sideways()).Mul(n.X).Add(s.u.Mul(n.Y))
	}
	q, z := s.flat(p) // wire
	d, n := s.part(l).Away(q)
	e := math.Sqrt(float64(d*d) + float64(z*z))
	if e == 0 {
		return -s.a, s.u
	}
	side := s.x.Mul(n.X).Add(s.y.Mul(n.Y))
	return e - s.a, side.Mul(d / e).Add(s.u.Mul(z / e))
}

// scaled returns w / d, or other for a vector without length.
func scaled(w vec.P, d float64, other vec.P) vec.P {
	if d == 0 {
		return other
	}
	return vec.P{X: w.X / d, Y: w.Y / d, Z: w.Z / d}
}

// sideways returns some unit vector square to the axis.
func (s *surface) sideways() vec.P { return s.u.Square() }

// slopeStep is the half step in mm of central differences: rounding and
// truncation both stay below 1e-9 for millimetre radii.
const slopeStep = 1e-5

func (s *surface) opaqueSlope(p vec.P) (float64, vec.P) {
	f := func(x, y, z float64) float64 {
		return s.field.Dist(s.by.Local(vec.P{X: p.X + x, Y: p.Y + y, Z: p.Z + z}))
	}
	const e = slopeStep
	g := vec.P{
		X: f(e, 0, 0) - f(-e, 0, 0),
		Y: f(0, e, 0) - f(0, -e, 0),
		Z: f(0, 0, e) - f(0, 0, -e),
	}
	return f(0, 0, 0), g.Mul(1 / (2 * e))
}

// setReach fills in the support radius: the greatest sum of the absolute
// coordinates that a gradient of the surface can have.
func (s *surface) setReach() {
	switch s.kind {
	case plane:
		s.reach = math.Abs(s.u.X) + math.Abs(s.u.Y) + math.Abs(s.u.Z)
	case cylinder, wall: // gradients are square to u
		s.reach = s.shadow()
	default:
		s.reach = math.Sqrt(3)
	}
	s.reach *= 1 + 1e-12 // its own roundings
}

// shadow returns the radius of the shadow that the cube of half edge 1 throws
// along u: over its corners c the greatest |c - (c.u)u|.
func (s *surface) shadow() float64 {
	least := math.Inf(1)
	for _, c := range [4]vec.P{{X: 1, Y: 1, Z: 1}, {X: -1, Y: 1, Z: 1}, {X: 1, Y: -1, Z: 1}, {X: 1, Y: 1, Z: -1}} {
		t := c.Dot(s.u)
		least = min(least, t*t)
	}
	return math.Sqrt(max(0, 3-least))
}

// bend returns the least radius of curvature that the surface shows within r
// of p, +Inf where it is flat.
func (s *surface) bend(p vec.P, r float64, l *leaf) float64 {
	switch s.kind {
	case plane:
		return math.Inf(1)
	case cylinder, sphere:
		return s.a
	case cone:
		_, t := s.across(p)
		return max(0, t+r) * s.a / (s.b * s.b) // distance from the axis over the cosine
	case torus:
		inner := s.a - s.b // of the hole; negative where there is none
		if inner <= 0 {
			return s.b
		}
		return min(s.b, inner)
	case capsule:
		return s.b
	case wall, rounded:
		q, _ := s.flat(p)
		b := s.shapeBend(q, r, l)
		if s.kind == rounded {
			if s.edge.top > 0 {
				b = min(b, s.edge.top)
			}
			if s.edge.bottom > 0 {
				b = min(b, s.edge.bottom)
			}
		}
		return b
	case revolve:
		q, t := s.across(p)
		rho := q.Len()
		return min(s.shapeBend(vec.P2{X: rho, Y: t}, r, l), rho+r)
	case wire:
		return s.a
	case leaning:
		return s.leanBend(p, r, l)
	case blended:
		return s.blendBend(p, r)
	}
	return s.b // opaque: as guessed when it was compiled
}

// shapeBend returns the least radius of the leaf's arcs within r of q.
func (s *surface) shapeBend(q vec.P2, r float64, l *leaf) float64 {
	part := s.part(l)
	b := math.Inf(1)
	for _, i := range part.Within(nil, q, r) {
		b = min(b, part.Span(i).Radius())
	}
	return b
}
