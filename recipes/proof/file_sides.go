package proof

import (
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// side is what a lump's file says of one side of a wall.
type side struct {
	limit stock.Limit // of its part
	piece.Named
}

// sides are those of a lump, by their tags.
type sides []side

// sides returns what the tags of a lump stand for; 0, and what has no role, is of a
// plate of the lump's span, any other plate of its own.
func (b *bench) sides(l Lump) sides {
	names := make([]piece.Named, len(l.Parts)+1)
	for i := range names {
		names[i], _ = piece.ParseSite(l.called(uint32(i))) // a plate, if it is no name
	}
	boxes := map[string]vec.Box{} // by address
	for t, tag := range l.Mesh.Tag {
		a := "" // what no name tells of
		if int(tag) < len(names) {
			a = names[tag].Address
		}
		box, ok := boxes[a]
		if !ok {
			box = vec.Empty()
		}
		p, q, r := l.Mesh.Corners(t)
		boxes[a] = box.With(p).With(q).With(r)
	}
	boxes[""] = l.Mesh.Bounds()
	all := make(sides, len(names))
	for i, n := range names {
		size := boxes[n.Address].Size()
		all[i] = side{b.roleLimit(n.Role, max(size.X, size.Y, size.Z), 0), n}
	}
	return all
}

// betweenSides returns the limit of a wall by its sides, as walls are judged with a
// recipe: that of a web between the seats of two stones, none at a girdle, that of
// a bearing at the seat of one, of what is left under grooves at a ray, else that of the
// part which asks for less.
func (b *bench) betweenSides(s, t side) stock.Limit {
	l := s.limit
	if t.limit.Caution.Value < l.Caution.Value {
		l = t.limit
	}
	switch {
	case s.Stone != "" && t.Stone != "" && s.Stone != t.Stone:
		if s.Site == piece.Girdle || t.Site == piece.Girdle {
			return stock.Limit{}
		}
		l, _ = b.house.Limit(stock.Web)
	case s.Site.OfStone() || t.Site.OfStone():
		l, _ = b.house.Limit(stock.Bearing)
	case s.Site == piece.Ray || t.Site == piece.Ray:
		l, _ = b.house.Limit(stock.Grooved)
	}
	return l
}

// joint returns the tag of the bezel or wire at whose joint a wall with the sides p and
// q stands, of several that which asks for the least; 0 for none. On the crease of a
// joint a wall of one is met from triangles of the other.
func (s sides) joint(m *mesh.Mesh, tree *mesh.Tree, p, q vec.P) int {
	least := 0
	for _, at := range [2]vec.P{p, q} {
		tree.Around(at, joined, func(h mesh.Hit) {
			if len(m.Tag) == 0 {
				return
			}
			k := int(m.Tag[h.T])
			if r := s[k].Role; r != piece.BezelRole && !slices.Contains(wireRoles, r) {
				return
			}
			if a, b := most(s[k].limit), most(s[least].limit); least == 0 || a < b || a == b && k < least {
				least = k
			}
		})
	}
	return least
}
