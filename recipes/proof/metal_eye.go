package proof

import (
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/lang"
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
	if !along(p, q) {
		return false
	}
	rim := func(p vec.P) bool { return abs(p.XY().Sub(e.at).Len()-e.r) < joined }
	return rim(p) || rim(q)
}

// along says whether a wall with these sides runs along the plate, not through it.
func along(p, q vec.P) bool {
	d := q.Sub(p)
	return d.XY().Len() >= abs(d.Z)
}

// openingOf returns the opening with an outline of its own beside which a wall stands,
// one side of it the opening's own, nil for any other.
func (b *bench) openingOf(c *casting, s wall.Spot) *piece.Opening {
	p, q := c.back.Point(s.At), c.back.Point(s.Other)
	if s.Zone != openZone || !along(p, q) {
		return nil
	}
	for _, h := range lang.All[*piece.Opening](b.piece.Recipe) {
		if h.In.Address != c.from.Root || h.Form == "under" {
			continue
		}
		if edge := h.Outline(); abs(edge.Dist(p.XY())) < joined || abs(edge.Dist(q.XY())) < joined {
			return h
		}
	}
	return nil
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
