package proof

import (
	"fmt"
	"strings"

	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// Least is how thick the house of a piece asks the metal of a role to be at the
// least, mm: prongs by the sizes of their stones, all else of a role alike.
type Least struct {
	Word      string  // as a house names the limit: "bezel"
	Low, High float64 // of the smallest and the largest stone
}

// String is the limit in words: "bezel 0.35", "prong 0.44 to 0.52".
func (l Least) String() string {
	low, high := fmt.Sprintf("%.2f", l.Low), fmt.Sprintf("%.2f", l.High)
	word := strings.ReplaceAll(l.Word, "_", " ")
	if low == high {
		return word + " " + low
	}
	return word + " " + low + " to " + high
}

// Asked returns what the house of a piece asks of its walls at the least, place by
// place, as the checks do it: bezels, grooves, bearings, necks of prongs, and what
// stays between two stones, by limits of their own; and the limits that the piece has to
// keep, in the order of their roles.
func Asked(m *build.Model) (build.Asked, []Least) {
	b := &bench{model: m, piece: m.Piece, house: m.Piece.House}
	limits := b.limits()
	out := build.Asked{Of: func(c *build.Casting) func(p, q vec.P, tags [2]uint32) wall.Asked {
		at := b.placed(c)
		zone := b.zones(at, limits)
		return func(p, q vec.P, tags [2]uint32) wall.Asked {
			_, l := b.between(limits, tags[0], tags[1])
			in := zone(p, q, tags)
			if in == airZone {
				return wall.Asked{} // what is asked there is air
			}
			// The sides of a groove lean towards the back, and yet what is left
			// under it is a wall.
			return wall.Asked{Width: b.zoned(in, l).Fail.Value - give, Edges: in == groovedZone}
		}
	}}
	for _, l := range limits {
		out.Most = max(out.Most, l.Fail.Value)
	}
	return out, b.leasts(limits)
}

// leasts lists the limits of the walls of the piece, given those of its owners.
func (b *bench) leasts(limits []stock.Limit) []Least {
	roles := map[stock.Role]Least{}
	take := func(l stock.Limit) {
		v := l.Fail.Value
		if have, ok := roles[l.Role]; ok {
			roles[l.Role] = Least{Low: min(have.Low, v), High: max(have.High, v)}
		} else {
			roles[l.Role] = Least{Low: v, High: v}
		}
	}
	for _, l := range limits {
		take(l)
	}
	zone := func(z int) { take(b.zoned(z, stock.Limit{})) }
	for i := range b.piece.Castings {
		switch n := len(b.piece.Castings[i].Stones); {
		case n > 1:
			zone(webZone)
			fallthrough
		case n > 0:
			zone(bearingZone)
		}
	}
	for _, o := range b.piece.Owners {
		if b.rays(o) != nil {
			zone(groovedZone)
		}
		if o.Role == piece.ProngRole {
			l, _ := b.house.Limit(stock.ProngNeck)
			take(l)
		}
	}
	var all []Least
	for _, w := range stock.LimitWords() {
		if l, ok := roles[w.Role]; ok {
			l.Word = w.Word
			all = append(all, l)
		}
	}
	if l, ok := roles[stock.Prong]; ok { // houses have a row of them, and no word
		l.Word = "prong"
		all = append(all, l)
	}
	return all
}
