package proof

import (
	"fmt"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// wounds asks whether the seat of a stone cuts into prongs or bezels that hold
// other stones: they are thinned where they should be strong.
func (b *bench) wounds() error {
	web, _ := b.house.Limit(stock.Web)
	for i, c := range b.piece.Castings {
		for _, s := range c.Stones {
			for _, o := range b.piece.Owners {
				if o.Casting != i || b.piece.Holds(o, s.Group) {
					continue
				}
				r, thick := b.plan(o)
				if thick == 0 {
					continue
				}
				away := s.Place.O.XY().Sub(o.Place.O.XY()).Len()
				deep := b.radius(s) + r - away
				if deep <= inside || deep >= 2*b.radius(s) {
					continue
				}
				m := of(b.piece, o, o.Place.O.Lerp(s.Place.O, 0.5))
				grade := Caution
				if thick-deep < web.Fail.Value {
					grade = Fail
				}
				m.Figure, m.Limit, m.Unit, m.Source = thick-deep, web.Fail.Value, "mm", web.Fail.Source
				m.Says = fmt.Sprintf("the seat of %s cuts %.2f mm into it and leaves %.2f", part(s.Group, s.N), deep, max(0, thick-deep))
				m.Why = "what is cut away no longer holds its own stone"
				b.add(m, grade, Metal, "wound", b.wallWord(o))
			}
		}
	}
	return nil
}

// plan returns the radius of a prong or bezel seen from the front, and how
// thick its metal is; 0 for other parts.
func (b *bench) plan(o piece.Owner) (r, thick float64) {
	switch o.Role {
	case piece.ProngRole:
		h, _ := lang.Find[*piece.Prongs](b.piece.Recipe, o.Address)
		return h.Wire / 2, h.Wire
	case piece.BezelRole:
		h, _ := lang.Find[*piece.Bezel](b.piece.Recipe, o.Address)
		g, _ := lang.Find[*piece.Stones](b.piece.Recipe, h.Holds.Address)
		return g.Size/2 + h.Clearance + h.Wall, h.Wall
	}
	return 0, 0
}
