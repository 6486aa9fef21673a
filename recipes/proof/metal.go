package proof

import (
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// placed is a casting and where it lies.
type placed struct {
	*build.Casting
	from  *piece.Casting
	back  vec.Place // to the casting's own frame, from where files have it
	sites *piece.Sites
}

func (b *bench) placed(c *build.Casting) placed {
	from := &b.piece.Castings[c.Of]
	return placed{c, from, from.Turn.Inverse(), b.piece.SitesOf(from)}
}

// casting is a casting as the checks of metal see it: at the size of the
// recipe, laid out flat as files have it.
type casting struct {
	placed
	mesh    *mesh.Mesh
	tree    *mesh.Tree
	field   *sdf.Code // in the frame of the mesh
	normals wall.Normals
}

// eachCasting calls f for every casting that was modelled, not for mirror
// images.
func (b *bench) eachCasting(f func(*casting) error) error {
	if b.metal == nil {
		for i := range b.model.Castings {
			if b.model.Castings[i].Mirrored {
				continue
			}
			c, err := b.newCasting(&b.model.Castings[i])
			if err != nil {
				return err
			}
			b.metal = append(b.metal, c)
		}
	}
	for _, c := range b.metal {
		if err := f(c); err != nil {
			return err
		}
	}
	return nil
}

func (b *bench) newCasting(c *build.Casting) (*casting, error) {
	code, err := b.model.Field(c)
	if err != nil {
		return nil, err
	}
	m := b.model.Cast(c)
	return &casting{b.placed(c), m, mesh.NewTree(m), code, wall.Field(m, code)}, nil
}

// measured returns how thick a wall is on the surface that the mesh stands
// for, and the two places there: the mesh may be off by what it has reached.
func (c *casting) measured(s wall.Spot) (width float64, at, other vec.P) {
	along := s.Other.Sub(s.At).Unit()
	on := func(p, out vec.P) vec.P {
		q, n, _ := c.field.Nearest(p)
		if q.Sub(p).Len() <= c.Reached+give && n.Dot(out) >= facingWall {
			return q
		}
		return c.crossed(p, out) // another face lies nearer
	}
	at, other = on(s.At, along.Neg()), on(s.Other, along)
	return other.Sub(at).Len(), at, other
}

// crossed returns where the surface crosses the line out of the metal through a point
// of the mesh, no farther from it than the mesh may be off; the point itself if it
// does not.
func (c *casting) crossed(p, out vec.P) vec.P {
	off := c.Reached + give
	low, high := -off, off
	if at := func(s float64) float64 { return c.field.Dist(p.Add(out.Mul(s))) }; at(low) < 0 && at(high) > 0 {
		for high-low > give/100 {
			if mid := (low + high) / 2; at(mid) < 0 {
				low = mid
			} else {
				high = mid
			}
		}
		return p.Add(out.Mul((low + high) / 2))
	}
	return p
}

// facingWall is the least cosine between the normal of a wall's side and the line
// across it, 30 degrees: wall.Thin takes sides for a wall that meet at less.
const facingWall = 0.866

// owner returns the owner of a tag, nil for none.
func (b *bench) owner(tag uint32) *piece.Owner {
	if tag == 0 || int(tag) > len(b.piece.Owners) {
		return nil
	}
	return &b.piece.Owners[tag-1]
}

// limits returns the house's limit for the metal of every owner.
func (b *bench) limits() []stock.Limit {
	all := make([]stock.Limit, len(b.piece.Owners))
	for i, o := range b.piece.Owners {
		all[i] = b.limit(o)
	}
	return all
}

// limit returns the house's limit for the metal of an owner.
func (b *bench) limit(o piece.Owner) stock.Limit {
	switch o.Role {
	case piece.PlateRole:
		p, _ := lang.Find[*piece.Plate](b.piece.Recipe, o.Address)
		return b.roleLimit(o.Role, p.Span(), 0)
	case piece.ProngRole:
		h, _ := lang.Find[*piece.Prongs](b.piece.Recipe, o.Address)
		g, _ := lang.Find[*piece.Stones](b.piece.Recipe, h.Holds.Address)
		return b.roleLimit(o.Role, 0, g.Size)
	}
	return b.roleLimit(o.Role, 0, 0)
}

// roleLimit returns the house's limit for metal of a role: of a plate by its span, of
// a prong by the size of the stone that it holds, mm.
func (b *bench) roleLimit(r piece.Role, span, size float64) stock.Limit {
	role := stock.PlateOf(span)
	switch r {
	case piece.BezelRole:
		role = stock.BezelWall
	case piece.ProngRole:
		return b.house.Prong(size)
	case piece.GalleryRole:
		role = stock.Gallery
	case piece.BailRole:
		role = stock.Bail
	case piece.LinkRole:
		role = stock.JumpRing
	case piece.PostRole:
		role = stock.EarPost
	}
	l, _ := b.house.Limit(role)
	return l
}

// wireRoles are those of wires: checks of their own ask for their thickness.
var wireRoles = []piece.Role{piece.ProngRole, piece.LinkRole, piece.BailRole, piece.PostRole}

// wallWord names the word that governs the walls of an owner.
func (b *bench) wallWord(o piece.Owner) string {
	switch o.Role {
	case piece.PlateRole, piece.GalleryRole:
		return "thickness"
	case piece.BezelRole:
		return "wall"
	}
	return "wire"
}

// underBy grades a width by a limit that may be missed by slack.
func underBy(width float64, l stock.Limit, slack float64) (Grade, float64) {
	grade, limit := under(width+slack, l.Fail.Value, l.Caution.Value)
	return grade, limit
}

// most is the largest width that a limit says anything of.
func most(l stock.Limit) float64 { return max(l.Fail.Value, l.Caution.Value) }

// sourceOf is the source of the limit that was missed.
func sourceOf(l stock.Limit, g Grade) string {
	if g == Fail {
		return l.Fail.Source
	}
	return l.Caution.Source
}
