package vec

import "math"

// Box is an axis-aligned box, Min to Max. A box whose Min exceeds its Max in
// any direction is empty; Empty() is the neutral element of Union. The zero
// Box is the single point at the origin.
type Box struct{ Min, Max P }

// Empty returns the box that holds nothing.
func Empty() Box {
	inf := math.Inf(1)
	return Box{P{inf, inf, inf}, P{-inf, -inf, -inf}}
}

// Everywhere returns the box that holds all of space.
func Everywhere() Box {
	inf := math.Inf(1)
	return Box{P{-inf, -inf, -inf}, P{inf, inf, inf}}
}

// BoxOf returns the smallest box that holds the points.
func BoxOf(ps ...P) Box {
	b := Empty()
	for _, p := range ps {
		b = b.With(p)
	}
	return b
}

// IsEmpty reports whether b holds no point.
func (b Box) IsEmpty() bool {
	return !(b.Min.X <= b.Max.X && b.Min.Y <= b.Max.Y && b.Min.Z <= b.Max.Z)
}

// Finite reports whether no side lies at infinity or is NaN.
func (b Box) Finite() bool { return b.Min.Finite() && b.Max.Finite() }

// With returns the smallest box that holds b and p.
func (b Box) With(p P) Box {
	return Box{
		P{min(b.Min.X, p.X), min(b.Min.Y, p.Y), min(b.Min.Z, p.Z)},
		P{max(b.Max.X, p.X), max(b.Max.Y, p.Y), max(b.Max.Z, p.Z)},
	}
}

// Union returns the smallest box that holds both.
func (b Box) Union(c Box) Box {
	return Box{
		P{min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y), min(b.Min.Z, c.Min.Z)},
		P{max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y), max(b.Max.Z, c.Max.Z)},
	}
}

// Intersect returns what both boxes hold; it may be empty.
func (b Box) Intersect(c Box) Box {
	return Box{
		P{max(b.Min.X, c.Min.X), max(b.Min.Y, c.Min.Y), max(b.Min.Z, c.Min.Z)},
		P{min(b.Max.X, c.Max.X), min(b.Max.Y, c.Max.Y), min(b.Max.Z, c.Max.Z)},
	}
}

// Grow returns b with every side moved outwards by d.
func (b Box) Grow(d float64) Box {
	e := P{d, d, d}
	return Box{b.Min.Sub(e), b.Max.Add(e)}
}

// Size returns the edge lengths.
func (b Box) Size() P { return b.Max.Sub(b.Min) }

// Center returns the middle.
func (b Box) Center() P { return b.Min.Lerp(b.Max, 0.5) }

// Has reports whether p lies in b or on its border.
func (b Box) Has(p P) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X &&
		b.Min.Y <= p.Y && p.Y <= b.Max.Y &&
		b.Min.Z <= p.Z && p.Z <= b.Max.Z
}

// Corners returns the eight corners; corner i has x, y, z at Max where bit 0,
// 1, 2 of i is set.
func (b Box) Corners() [8]P {
	var c [8]P
	for i := range c {
		c[i] = b.Min
		if i&1 != 0 {
			c[i].X = b.Max.X
		}
		if i&2 != 0 {
			c[i].Y = b.Max.Y
		}
		if i&4 != 0 {
			c[i].Z = b.Max.Z
		}
	}
	return c
}

// Dist returns the distance from p to b, 0 inside and nowhere else: not even
// for a point so near that the square of its distance is no number above 0.
func (b Box) Dist(p P) float64 {
	d := P{
		max(b.Min.X-p.X, 0, p.X-b.Max.X),
		max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y),
		max(b.Min.Z-p.Z, 0, p.Z-b.Max.Z),
	}
	return max(d.Len(), d.X, d.Y, d.Z)
}

// Box2 is an axis-aligned box in the plane.
type Box2 struct{ Min, Max P2 }

// Empty2 returns the plane box that holds nothing.
func Empty2() Box2 {
	inf := math.Inf(1)
	return Box2{P2{inf, inf}, P2{-inf, -inf}}
}

// With returns the smallest box that holds b and p.
func (b Box2) With(p P2) Box2 {
	return Box2{
		P2{min(b.Min.X, p.X), min(b.Min.Y, p.Y)},
		P2{max(b.Max.X, p.X), max(b.Max.Y, p.Y)},
	}
}

// Union returns the smallest box that holds both.
func (b Box2) Union(c Box2) Box2 { return b.With(c.Min).With(c.Max) }

// Size returns the edge lengths.
func (b Box2) Size() P2 { return b.Max.Sub(b.Min) }

// Center returns the middle.
func (b Box2) Center() P2 { return b.Min.Lerp(b.Max, 0.5) }

// Finite reports whether no side lies at infinity or is NaN.
func (b Box2) Finite() bool {
	s := b.Min.X + b.Min.Y + b.Max.X + b.Max.Y
	return !math.IsNaN(s) && !math.IsInf(s, 0)
}
