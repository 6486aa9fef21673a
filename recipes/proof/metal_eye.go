package proof

import (
	"fmt"
	"math"

	"waxwright/geom/sdf"
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

// fouled is the name of the check that asks for clear eyes.
const fouled = "eye"

// fouls asks whether other metal of a casting stands in the eyes of its plate: an eye is
// drilled through the plate alone, and what stands on it would fill the hole again.
func (b *bench) fouls() error {
	for i := range b.piece.Castings {
		c := &b.piece.Castings[i]
		plate, ok := lang.Find[*piece.Plate](b.piece.Recipe, c.Root)
		if !ok {
			continue
		}
		for _, h := range b.piece.Holes(plate) {
			if !h.Eye {
				continue
			}
			through := sdf.Prism{Outline: h.Edge, Z0: -plate.Thickness, Z1: 0}
			var err error
			b.piece.Parts(c, func(o piece.Owner, f sdf.Field) {
				if err == nil && o.Role != piece.PlateRole {
					err = b.foul(h, through, plate, o, f)
				}
			})
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// foul remarks on metal f of an owner in an eye of a plate.
func (b *bench) foul(h piece.Hole, through sdf.Field, in *piece.Plate, o piece.Owner, f sdf.Field) error {
	deep, at, err := wall.Overlap(b.ctx, through, f, math.Inf(1), inside)
	if err != nil || deep <= inside {
		return err
	}
	k, _ := lang.Find[*piece.Link](b.piece.Recipe, h.Of)
	word := "margin"
	if k.Margin == 0 && k.HangsFrom.Address == in.Address {
		word = "at"
	}
	r := of(b.piece, o, at)
	r.Part, r.Address, r.Other, r.Span = k.Address, k.Address, o.Address, k.Span
	r.Figure, r.Limit, r.Unit = deep, inside, "mm"
	r.Says = fmt.Sprintf("the eye of %s in %s runs into %s, which fills it %.2f mm thick", k.Address, in.Address, part(o.Address, o.N), deep)
	r.Why = "the link does not go through a hole that is filled, and opening it by hand cuts what stands there: move the eye nearer to the edge, to another bearing, or make the plate wider"
	b.add(r, Fail, Metal, fouled, word)
	return nil
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
