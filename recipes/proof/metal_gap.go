package proof

import (
	"fmt"

	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// gaps asks for room between walls that face each other.
func (b *bench) gaps() error {
	l, _ := b.house.Limit(stock.Gap)
	return b.eachCasting(func(c *casting) error {
		spots, err := wall.Gaps(b.ctx, c.mesh, c.normals, l.Caution.Value-give, wall.Options{
			Slack: c.Reached, MinArea: placeArea, MinExtent: placeExtent, Tree: c.tree,
		})
		if err != nil {
			return err
		}
		for _, s := range spots {
			b.gap(c, s, l)
		}
		return nil
	})
}

// gap remarks on a gap that is too narrow. One at a ray is about the plate whose
// ray it is.
func (b *bench) gap(c *casting, s wall.Spot, l stock.Limit) {
	o, other := b.owner(s.Tags[1]), b.owner(s.Tags[0])
	if o == nil || s.Edge || b.notched(s) {
		return // s.Edge: a wedge of air where two parts meet
	}
	if other == nil {
		other = o
	}
	in := b.inRays(o, c, s)
	if n := b.inRays(other, c, s); n > 0 {
		o, other, in = other, o, n
	}
	between, word := "to "+part(other.Address, other.N), ""
	switch {
	case o != other && in > 0:
		between, word = "between a ray and "+part(other.Address, other.N), "rays.from"
	case in == 1:
		between, word = "between a ray and an edge", "rays.from"
	case in == 2:
		between, word = "across a ray", "rays.width"
	case o == other:
		between = "to itself"
	}
	grade, limit := underBy(s.Width, l, give)
	r := of(b.piece, *o, c.back.Point(s.At))
	if r.Other = other.Address; o == other {
		r.Other = ""
	}
	r.Figure, r.Limit, r.Unit, r.Source = s.Width, limit, "mm", sourceOf(l, grade)
	r.Says = fmt.Sprintf("a gap of %.2f mm %s; %s", s.Width, between, b.asks(grade, s.Width, limit))
	r.Why = "investment breaks off in a narrow gap, and the metal closes it"
	b.add(r, grade, Metal, "gap", word)
}

// inRays counts the sides of a wall or a gap that are walls of the rays of o.
func (b *bench) inRays(o *piece.Owner, c *casting, s wall.Spot) (sides int) {
	if o == nil || o.Role != piece.PlateRole {
		return 0
	}
	p, _ := lang.Find[*piece.Plate](b.piece.Recipe, o.Address)
	rays := p.Grooves()
	for _, at := range []vec.P{c.back.Point(s.At), c.back.Point(s.Other)} {
		if rays != nil && abs(rays.Dist(at)) < give {
			sides++
		}
	}
	return sides
}

// notched says whether a gap is the notch of a post, which is meant to be
// narrow.
func (b *bench) notched(s wall.Spot) bool {
	o := b.owner(s.Tags[1])
	return o != nil && o.Role == piece.PostRole && s.Tags[0] == s.Tags[1]
}
