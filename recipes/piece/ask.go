package piece

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/stone"
)

// What later stages may ask of derived blocks. All is in the design's frame,
// which every casting shares before it is hung.

// Outline is the plate's edge, without its openings.
func (b *Plate) Outline() outline.Outline { return b.edge }

// Span is the larger of the plate's width and height, mm: what limits of plates go
// by.
func (b *Plate) Span() float64 {
	size := b.edge.Bounds().Size()
	return max(size.X, size.Y)
}

// Middle is what at, out and xy are measured from.
func (b *Plate) Middle() vec.P2 { return b.middle }

// Outline is the opening's edge; empty for openings under stones.
func (b *Opening) Outline() outline.Outline { return b.edge }

// Stone is the stone that the group is called by, in its own frame: what
// pictures show and scales weigh. Of a lot that is measured it is the middle.
func (b *Stones) Stone() stone.Cut { return b.cut }

// Worst is the largest and deepest of the lot, for which gaps, seats, bezels
// and galleries are made.
func (b *Stones) Worst() stone.Cut { return b.worst }

// Largest is the size of the largest of the lot, mm.
func (b *Stones) Largest() float64 { return b.large }

// Smallest is the size of the smallest of the lot, mm: what covers and holds
// has to reach it.
func (b *Stones) Smallest() float64 { return b.least }

// Deepest is how far the deepest culet of the lot lies under the girdle's
// underside, mm.
func (b *Stones) Deepest() float64 { return b.worst.Deep() }

// Places are where the stones sit, numbered from 1.
func (b *Stones) Places() []vec.Place { return b.places }

// Grooves are what the rays take out of the plate, in the frame of its casting;
// nil for a plate without.
func (b *Plate) Grooves() sdf.Field { return b.grooves }

// Axes are where the prongs stand.
func (b *Prongs) Axes() []vec.P2 { return b.axes }

// Tip is the z of the prongs' tips to set, before they grow.
func (b *Prongs) Tip() float64 { return b.tip }

// Eyes calls f for every eye that a link has in a plate: where it is, in the frame
// of the plate's casting, and its radius in mm.
func (p *Piece) Eyes(f func(l *Link, in *Plate, at vec.P2, r float64)) {
	tell := func(l *Link, in *Plate, worn float64) {
		e := l.eyeIn(in, worn, l.MarginIn(in, p.House))
		f(l, in, e.At.XY(), e.R)
	}
	for _, l := range lang.All[*Link](p.Recipe) {
		if in, ok := lang.Find[*Plate](p.Recipe, l.HangsFrom.Address); ok {
			tell(l, in, l.At)
		}
		for _, in := range lang.All[*Plate](p.Recipe) {
			if in.HangsFrom.Address == l.Address {
				tell(l, in, in.HangsAt)
			}
		}
	}
}

// Rise returns how high the lowest and the highest tip stand over the girdle of
// their stones once they are folded, as shares of the height of the crown; ok is
// false if none reaches a stone.
func (b *Prongs) Rise(g *Stones) (least, most float64, ok bool) {
	least, most = math.Inf(1), math.Inf(-1)
	solid, boxes := b.solid(0, 0), g.boxes()
	for _, axis := range b.axes {
		at := vec.Shift(axis.At(0))
		for _, h := range reached(solid, g, boxes, at) {
			if rise, reaches := solid.Rise(h); reaches {
				least, most, ok = min(least, rise), max(most, rise), true
			}
		}
	}
	return least, most, ok
}

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

// Holds says whether an owner holds the stones of a group: its tips may touch them.
func (p *Piece) Holds(o Owner, group string) bool {
	switch o.Role {
	case ProngRole:
		h, _ := lang.Find[*Prongs](p.Recipe, o.Address)
		return h.Holds.Address == group
	case BezelRole:
		h, _ := lang.Find[*Bezel](p.Recipe, o.Address)
		return h.Holds.Address == group
	}
	return false
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
