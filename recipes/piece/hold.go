package piece

import (
	"fmt"
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/setting"
)

// seats makes room for the stones of g in the casting of root, once.
func (m *maker) seats(g *Stones, root string, holder string) {
	l := m.lumps[m.byRoot[root]]
	for _, s := range l.stones {
		if s.Group == g.Address {
			return
		}
	}
	for i, other := range m.lumps {
		for _, s := range other.stones {
			if s.Group == g.Address && i != m.byRoot[root] {
				m.fault(holder, "holds", g.Address+" are held by two castings, "+other.root+" and "+root, "hold them in one")
				return
			}
		}
	}
	room := m.room(g)
	for i, at := range g.places {
		l.stones = append(l.stones, Stone{Group: g.Address, N: i + 1, Cut: g.cut, Gem: g.gem, Place: at})
		l.seats = append(l.seats, seat{of: g.Address, cut: sdf.At(room, at)})
	}
}

// room is what a stone of g takes in metal, in its own frame: for casting the
// largest of the lot, finished the one that the setter has cut the seats for.
// Growth stays clear of its way in: what grows over the girdle is cut straight
// up.
func (m *maker) room(g *Stones) sdf.Field {
	if m.piece.For == Finished {
		return g.cut.Seat(0)
	}
	room := g.worst.Seat(0)
	if m.grow == 0 {
		return room
	}
	top := g.worst.GirdleTop()
	return sdf.Union{room, sdf.Prism{Outline: g.worst.Girdle(), Z0: top / 2, Z1: top + m.grow}}
}

func (m *maker) bezel(b *Bezel) {
	g, _ := lang.Find[*Stones](m.file, b.Holds.Address)
	on, _ := lang.Find[*Plate](m.file, b.On.Address)
	solid := b.solid(g, g.Lift+0.6*on.Thickness, m.grow)
	f, err := solid.Field()
	if err == nil && m.piece.For == Finished {
		if most := solid.MostWall(g.cut); b.Wall >= most {
			m.fault(b.Address, "wall", fmt.Sprintf("the wall, %.4g mm, is too thick to be burnished over a stone of %.4g mm", b.Wall, g.Size),
				fmt.Sprintf("make wall less than %.2f mm", math.Floor(100*most)/100))
			return
		}
		f, err = solid.Set(g.cut)
	}
	if !m.ok(b.Address, err) {
		return
	}
	m.seats(g, b.On.Address, b.Address)
	for i, at := range g.places {
		m.part(BezelRole, b.Head, b.On.Address, number(i, len(g.places)), f, at, g.Address)
	}
}

func (m *maker) prongs(b *Prongs) {
	g, _ := lang.Find[*Stones](m.file, b.Holds.Address)
	on, _ := lang.Find[*Plate](m.file, b.On.Address)
	m.seats(g, b.On.Address, b.Address)
	solid := b.solid(-0.6*on.Thickness, m.grow)
	straight, err := solid.Field()
	if !m.ok(b.Address, err) {
		return
	}
	idle := 0
	boxes := g.boxes()
	for i, axis := range b.axes {
		at := vec.Shift(axis.At(0))
		f := straight
		held := reached(solid, g, boxes, at)
		switch {
		case len(held) == 0:
			idle++
		case m.piece.For == Finished:
			if f, err = solid.Set(held...); !m.ok(b.Address, err) {
				return
			}
		}
		m.part(ProngRole, b.Head, b.On.Address, number(i, len(b.axes)), f, at, g.Address)
	}
	if idle > 0 {
		m.faults = append(m.faults, m.file.Remark(lang.Caution, b.Address, "cover",
			fmt.Sprintf("%d of %d prongs reach over none of %s", idle, len(b.axes), g.Address), "make cover or wire larger, or let the stones lean less"))
	}
}

// boxes returns the box of each stone in its place.
func (b *Stones) boxes() *vec.Boxes {
	all := make([]vec.Box, len(b.places))
	room := b.cut.Seat(0).Bounds()
	for i, at := range b.places {
		all[i] = at.Box(room)
	}
	return vec.NewBoxes(all)
}

// reached returns the stones of g, which take up boxes, that a prong at its
// place reaches, in the prong's frame: they lie somewhere over or under its wire.
func reached(p setting.Prong, g *Stones, boxes *vec.Boxes, at vec.Place) []setting.Held {
	var held []setting.Held
	column := vec.BoxOf(at.O).Grow(p.Wire / 2)
	column.Min.Z, column.Max.Z = math.Inf(-1), math.Inf(1)
	for _, i := range boxes.Meeting(column) {
		h := setting.Held{Stone: g.cut, At: at.Inverse().After(g.places[i])}
		if p.Reaches(h) {
			held = append(held, h)
		}
	}
	return held
}
