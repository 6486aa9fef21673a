package proof

import (
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// worn is how much the finish takes off the metal at a side of a wall, mm: how far
// it is from there, along the wall, to what is left, but no more than has grown, for
// setting moves metal too. Beside what is left, where all is taken off, it is that of
// the wall next to it. A piece that cannot be finished is worn everywhere.
func (b *bench) worn(c *casting, side, other vec.P, finished sdf.Field) float64 {
	grown := b.piece.Grow
	if finished == nil {
		return grown
	}
	p := c.back.Point(side)
	along := c.back.Point(other).Sub(p).Unit()
	from := finished.Dist(p)
	if t, ok := reached(finished, p, along, grown/facingWall); ok || from > grown+give {
		return min(t, grown)
	}
	in := uphill(finished, p).Neg()
	in = in.Sub(along.Mul(in.Dot(along))).Unit()
	t, _ := reached(finished, p.Add(in.Mul(from+give)), along, grown/facingWall)
	return min(t, grown)
}

// reached returns how far from p along d the metal begins, and whether it does so
// within most; 0 where p lies in it.
func reached(metal sdf.Field, p, d vec.P, most float64) (float64, bool) {
	t := 0.0
	for t < most {
		far := metal.Dist(p.Add(d.Mul(t)))
		if far <= give/10 {
			return t, true
		}
		t += far
	}
	return most, false
}

// uphill returns the direction in which the distance from the metal grows at p.
func uphill(metal sdf.Field, p vec.P) vec.P {
	const h = give / 10
	slope := func(d vec.P) float64 { return metal.Dist(p.Add(d)) - metal.Dist(p.Sub(d)) }
	return vec.P{X: slope(vec.P{X: h}), Y: slope(vec.P{Y: h}), Z: slope(vec.P{Z: h})}.Unit()
}
