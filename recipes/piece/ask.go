package piece

import (
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/solids/stone"
)

// What later stages may ask of derived blocks. All is in the design's frame,
// which every casting shares before it is hung.

// Outline is the plate's edge, without its openings.
func (b *Plate) Outline() outline.Outline { return b.edge }

// Middle is what at, out and xy are measured from.
func (b *Plate) Middle() vec.P2 { return b.middle }

// Outline is the opening's edge; empty for openings under stones.
func (b *Opening) Outline() outline.Outline { return b.edge }

// Stone is one stone of the group in its own frame.
func (b *Stones) Stone() stone.Cut { return b.cut }

// Places are where the stones sit, numbered from 1.
func (b *Stones) Places() []vec.Place { return b.places }

// Axes are where the prongs stand.
func (b *Prongs) Axes() []vec.P2 { return b.axes }

// Tip is the z of the prongs' tips.
func (b *Prongs) Tip() float64 { return b.tip }

// Back is the z of the back of the gallery's rim.
func (b *Gallery) Back() float64 { return b.back - b.depth }

// Parts calls f with every bit of a casting's metal, as it is cut, and its
// owner.
func (p *Piece) Parts(c *Casting, f func(Owner, sdf.Field)) {
	all, _ := c.Metal.(sdf.Union)
	for _, part := range all {
		if t, ok := part.(sdf.Tagged); ok && t.Tag > 0 {
			f(p.Owners[t.Tag-1], t.Of)
		}
	}
}

// Without returns the casting's metal less the parts whose owner drop accepts.
func (p *Piece) Without(c *Casting, drop func(Owner) bool) sdf.Field {
	var kept sdf.Union
	p.Parts(c, func(o Owner, part sdf.Field) {
		if !drop(o) {
			kept = append(kept, part)
		}
	})
	return kept
}
