package proof

import (
	"fmt"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// spacing asks whether the largest stones still pass each other once the metal
// has shrunk: g' = (D + g)(1 - s) - D, for stones do not shrink.
func (b *bench) spacing() error {
	far, _ := b.house.Limit(stock.StoneAir)
	for i, c := range b.piece.Castings {
		wide := make([]vec.Box, len(c.Stones)) // boxes of stones that are near enough meet
		for j, s := range c.Stones {
			wide[j] = vec.BoxOf(s.Place.O).Grow((b.radius(s) + far.Note.Value) / b.shrunk(1))
		}
		near := vec.NewBoxes(wide)
		for j, s := range c.Stones {
			for _, k := range near.Meeting(wide[j]) {
				t := c.Stones[k]
				air := b.shrunk(s.Place.O.Sub(t.Place.O).Len()) - b.radius(s) - b.radius(t)
				if k <= j || air > far.Note.Value {
					continue
				}
				g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
				r, grade := b.graded(b.stonesAt(g, s.N), air, stock.StoneAir)
				r.Casting, r.At, r.Unit = b.piece.Castings[i].Name, s.Place.O.Lerp(t.Place.O, 0.5), "mm"
				other := "their neighbours"
				if s.Group != t.Group {
					other = part(t.Group, t.N)
				}
				r.Says = fmt.Sprintf("the largest stones leave %.2f mm to %s %s", air, other, b.shrinks())
				if air < 0 {
					r.Says = fmt.Sprintf("the largest stones overlap %s by %.2f mm %s", other, -air, b.shrinks())
				}
				r.Why = "stones that touch chip while they are set"
				b.add(r, grade, Stones, "spacing", "gap")
			}
		}
	}
	return nil
}

// shown is the least length in mm that two digits show.
const shown = 0.005

// seats asks whether the largest stone still goes into its bezel once the metal
// has shrunk.
func (b *bench) seats() error {
	for _, h := range lang.All[*piece.Bezel](b.piece.Recipe) {
		g, _ := lang.Find[*piece.Stones](b.piece.Recipe, h.Holds.Address)
		room := b.shrunk(g.Largest()+2*h.Clearance) - g.Largest()
		r, grade := b.graded(Remark{Part: h.Address, Address: h.Address, Span: h.Span, Unit: "mm"}, room, stock.SeatRoom)
		switch {
		case room >= shown:
			r.Says = fmt.Sprintf("the largest stone has %.2f mm of room %s", room, b.shrinks())
		case room > -shown:
			r.Says = "the largest stone has no room to spare " + b.shrinks()
		default:
			r.Says = fmt.Sprintf("the largest stone is %.2f mm too wide for it %s", -room, b.shrinks())
		}
		r.Why = "the setter has to cut the wall before the stone goes in"
		b.add(r, grade, Stones, "seat", "clearance")
	}
	return nil
}

// radius is half the size of the largest of the stone's lot, mm.
func (b *bench) radius(s piece.Stone) float64 {
	g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
	return g.Largest() / 2
}

// stonesAt is the remark about stone n of a group.
func (b *bench) stonesAt(g *piece.Stones, n int) Remark {
	r := Remark{Part: part(g.Address, n), Address: g.Address, Span: g.Span}
	if len(g.Places()) == 1 {
		r.Part = g.Address
	}
	if n > 0 {
		r.At = g.Places()[n-1].O
	}
	return r
}

// set is a group of stones in its casting.
type set struct {
	*piece.Stones
	casting int
}

// groups returns the groups of stones that are set in a casting, with the
// index of the casting.
func (b *bench) groups() []set {
	var all []set
	for i, c := range b.piece.Castings {
		seen := ""
		for _, s := range c.Stones {
			if s.Group == seen {
				continue
			}
			seen = s.Group
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			all = append(all, set{g, i})
		}
	}
	return all
}
