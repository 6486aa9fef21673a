package proof

import (
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/piece"
)

// eye is the hole of a link in a plate, in the frame of the plate's casting.
type eye struct {
	of *piece.Link
	at vec.P2
	r  float64
}

// eyes returns the eyes in a casting.
func (b *bench) eyes(c placed) []eye {
	var all []eye
	b.piece.Eyes(func(l *piece.Link, in *piece.Plate, at vec.P2, r float64) {
		if in.Address == c.from.Root {
			all = append(all, eye{l, at, r})
		}
	})
	return all
}

// beside says whether a wall with these sides stands beside the eye: one side is
// the eye's own, and the wall runs from there along the plate, not through it.
func (e eye) beside(p, q vec.P) bool {
	d := q.Sub(p)
	if d.XY().Len() < abs(d.Z) {
		return false
	}
	rim := func(p vec.P) bool { return abs(p.XY().Sub(e.at).Len()-e.r) < joined }
	return rim(p) || rim(q)
}

// eyeOf returns the link beside whose eye a wall of the eyeZone stands, nil for any
// other.
func (b *bench) eyeOf(c *casting, s wall.Spot) *piece.Link {
	if s.Zone != eyeZone {
		return nil
	}
	for _, e := range b.eyes(c.placed) {
		if e.beside(c.back.Point(s.At), c.back.Point(s.Other)) {
			return e.of
		}
	}
	return nil
}
