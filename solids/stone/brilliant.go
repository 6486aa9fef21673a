package stone

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Brilliant is a round brilliant: 57 facets and a round girdle.
type Brilliant struct {
	Size        float64 // across the girdle, mm
	Proportions Proportions
}

// NewBrilliant returns the round brilliant of that size in mm. It fails where
// the size is not positive or no convex stone has the proportions.
func NewBrilliant(size float64, p Proportions) (Brilliant, error) {
	if err := sized(size); err != nil {
		return Brilliant{}, err
	}
	if err := p.Check(); err != nil {
		return Brilliant{}, err
	}
	return Brilliant{size, p}, nil
}

// Girdle returns the circle round the stone. Where the girdle is so thin that
// the halves meet (under 1.7 % of the size at usual angles), the stone is up
// to 1 % of its size narrower between the mains.
func (b Brilliant) Girdle() outline.Outline { return circle(b.Size / 2) }

// GirdleTop returns the girdle's thickness at the mains, mm.
func (b Brilliant) GirdleTop() float64 { return b.Proportions.Girdle * b.Size }

// Top returns the height of the table above the girdle's underside, mm.
func (b Brilliant) Top() float64 { return b.GirdleTop() + b.CrownHeight() }

// Deep returns the depth of the culet under the girdle, mm.
func (b Brilliant) Deep() float64 { return b.Proportions.PavilionDepth() * b.Size }

// CrownHeight returns the height of the table above the girdle, mm.
func (b Brilliant) CrownHeight() float64 { return b.Proportions.CrownHeight() * b.Size }

// TableSize returns the table from corner to corner, mm.
func (b Brilliant) TableSize() float64 { return b.Proportions.Table * b.Size }

// The stone repeats, mirrored, 16 times round its axis: from a main (bearing
// 0) to the middle between two mains (bearing pi/8).
var (
	cos8  = math.Cos(math.Pi / 8)
	cos16 = math.Cos(math.Pi / 16)
)

// corners are the corners of one sixteenth, and how its half facets run. T and
// A lie at bearing 0, M, S, B and L at pi/8; A and B have twins at z = 0.
type corners struct {
	R    float64 // radius of the girdle, at A and B
	g    float64 // height of the girdle, at A and B
	t    float64 // radius of T, corner of table, stars and bezels
	top  float64 // height of T and M
	m    float64 // radius of M, middle of the table's edge
	s    float64 // radius of S, tip of the star
	zs   float64 // height of S, on both bezels
	l    float64 // radius of L, tip of the lower halves
	zl   float64 // height of L, on both mains
	deep float64 // depth of the culet

	// The half facets hold the chords AB, which lie chord away from the
	// axis, and fall by upper, rise by lower for each mm beyond it.
	chord, upper, lower float64
}

func (b Brilliant) corners() corners {
	c := corners{R: b.Size / 2, g: b.GirdleTop(), top: b.Top(), deep: b.Deep()}
	c.t = b.Proportions.Table * c.R
	c.m = c.t * cos8
	c.s = c.m + float64(b.Proportions.Star*(c.R-c.m))
	c.zs = c.g + float64((c.R-float64(c.s*cos8))*math.Tan(b.Proportions.Crown))
	c.l = c.R * (1 - b.Proportions.Lower)
	c.zl = -(c.R - float64(c.l*cos8)) * math.Tan(b.Proportions.Pavilion)
	c.chord = c.R * cos16
	c.upper = (c.zs - c.g) / ((c.R - c.s) * cos16)
	c.lower = -c.zl / ((c.R - c.l) * cos16)
	return c
}

// edge returns how far from the axis the girdle reaches, at most, along the
// bearing of a half facet's middle: where upper and lower halves meet.
func (c corners) edge() float64 { return c.chord + c.g/(c.upper+c.lower) }

// Volume returns the volume of the faceted stone with its round girdle, mm3,
// in closed form: in plan one sixteenth is six triangles under flat facets,
// whose columns have the mean height of their corners, and the segment between
// the chord AB and the girdle, or where the halves meet.
//
// The reference stone has 0.2041 of the cube of its size.
func (b Brilliant) Volume() float64 {
	c := b.corners()
	column := func(p, q, r, zp, zq, zr, turnedP, turnedQ, turnedR float64) float64 {
		P, Q, R := vec.Bearing(p, turnedP), vec.Bearing(q, turnedQ), vec.Bearing(r, turnedR)
		return math.Abs(Q.Sub(P).Cross(R.Sub(P))) / 2 * ((zp + zq + zr) / 3)
	}
	const on, off = 0, math.Pi / 8
	v := column(0, c.t, c.m, c.top, c.top, c.top, on, on, off) + // table
		column(c.t, c.m, c.s, c.top, c.top, c.zs, on, off, off) + // star
		column(c.t, c.s, c.R, c.top, c.zs, c.g, on, off, on) + // bezel
		column(c.R, c.R, c.s, c.g, c.g, c.zs, on, off, off) + // upper half
		column(0, c.R, c.l, c.deep, 0, -c.zl, on, on, off) + // main
		column(c.R, c.R, c.l, 0, 0, -c.zl, on, off, off) // lower half
	rim := c.segment(c.chord)
	if e := c.edge(); e < c.R {
		rim -= c.segment(e) // negative there: the halves have crossed
	}
	return 16 * (v + rim)
}

// segment returns the volume between a pair of half facets over the segment of
// the girdle's circle beyond the distance x from the axis.
func (c corners) segment(x float64) float64 {
	half := math.Acos(x / c.R)
	sin, cos := math.Sincos(half)
	area := c.R * c.R * (half - float64(sin*cos))
	moment := 2.0 / 3 * c.R * c.R * c.R * sin * sin * sin
	slope := c.upper + c.lower
	return float64(area*(c.g+float64(slope*c.chord))) - float64(slope*moment)
}

// Planes returns the 57 facet planes: the table, 8 stars, 8 bezels, 16 upper
// halves, 16 lower halves, 8 mains, each group clockwise from the top.
func (b Brilliant) Planes() []sdf.HalfSpace {
	c := b.corners()
	at := func(r, z float64, i int) vec.P { return vec.Bearing(r, float64(i)*(math.Pi/8)).At(z) }
	planes := []sdf.HalfSpace{{N: vec.P{Z: 1}, D: c.top}}
	through := func(p, q, r vec.P) { // facing away from the middle of the stone
		n := q.Sub(p).Cross(r.Sub(p)).Unit()
		if n.Dot(p.Sub(vec.P{Z: c.g / 2})) < 0 {
			n = n.Neg()
		}
		planes = append(planes, sdf.HalfSpace{N: n, D: n.Dot(p)})
	}
	for i := 1; i < 16; i += 2 {
		through(at(c.t, c.top, i-1), at(c.t, c.top, i+1), at(c.s, c.zs, i))
	}
	for i := 0; i < 16; i += 2 {
		through(at(c.R, c.g, i), at(c.s, c.zs, i-1), at(c.s, c.zs, i+1))
	}
	for i := range 16 { // i|1 is the odd one of i and i+1, where the tips lie
		through(at(c.R, c.g, i), at(c.R, c.g, i+1), at(c.s, c.zs, i|1))
	}
	for i := range 16 {
		through(at(c.R, 0, i), at(c.R, 0, i+1), at(c.l, c.zl, i|1))
	}
	for i := 0; i < 16; i += 2 {
		through(at(c.R, 0, i), at(c.l, c.zl, i-1), at(c.l, c.zl, i+1))
	}
	return planes
}

// Solid returns the faceted stone with its round girdle. It is exact inside.
func (b Brilliant) Solid() sdf.Field {
	return sdf.Intersection{
		sdf.Facets{Planes: b.Planes()},
		sdf.Cylinder{R: b.Size / 2, Z0: -b.Deep() - b.Size, Z1: b.Top() + b.Size}, // its ends stay clear of the facets
	}
}

// Seat returns the least room of cones and cylinders that holds the facets,
// however the stone is turned: the hull of the corners turned about the axis.
func (b Brilliant) Seat(clearance float64) sdf.Field {
	c := b.corners()
	return turned(clearance,
		vec.P2{X: 0, Y: -c.deep},
		vec.P2{X: c.l, Y: c.zl},
		vec.P2{X: c.R, Y: 0},
		vec.P2{X: c.R, Y: c.g},
		vec.P2{X: c.s, Y: c.zs},
		vec.P2{X: c.t, Y: c.top},
		vec.P2{X: 0, Y: c.top},
	)
}

var _ Cut = Brilliant{}
