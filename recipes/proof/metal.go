package proof

import (
	"fmt"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// A place counts as a wall or a gap from this size on: common practice, no
// source. Smaller ones are tips and edges.
const (
	placeExtent = 0.5  // mm
	placeArea   = 0.25 // mm2
)

// give is by how much in mm a width may fall short of a limit and still keep
// it: twice the chord error of a mesh, which no measured width is better than.
const give = 0.01

// walls asks every wall for the thickness of its role.
func (b *bench) walls() error {
	return b.eachCasting(func(c *build.Casting, from *piece.Casting, normals wall.Normals) error {
		most := 0.0
		for _, o := range b.piece.Owners {
			if o.Casting == c.Of {
				_, l := b.limit(o)
				most = max(most, l.Caution.Value)
			}
		}
		if most == 0 {
			return nil
		}
		spots, err := wall.Thin(b.ctx, c.Mesh, normals, most+b.piece.Grow, wall.Options{
			Slack: c.Reached, MinArea: placeArea, MinExtent: placeExtent,
			Limit: func(s, t uint32) float64 {
				_, l := b.between(s, t)
				return l.Caution.Value - give + b.piece.Grow
			},
		})
		if err != nil {
			return err
		}
		for _, s := range spots {
			o, l := b.between(s.Tags[0], s.Tags[1])
			if o == nil || s.Edge || b.at(from, s, piece.ProngRole, piece.LinkRole, piece.BailRole, piece.PostRole) {
				continue // checks of their own ask for the thickness of wires
			}
			if under, ok := b.grooved(*o, from, s); ok {
				l = under
			}
			if b.at(from, s, piece.BezelRole) {
				l, _ = b.house.Limit(stock.BezelWall)
			}
			// what grew for the finish comes off again: one side of a wall grows
			drawn := s.Width - b.piece.Grow
			switch b.seated(from, s) {
			case 1:
				l, _ = b.house.Limit(stock.Bearing)
				drawn = s.Width // seats do not grow
			case 2:
				continue // what stays between two stones: spacing asks for it
			}
			grade, limit := underBy(drawn, l, give)
			r := of(b.piece, *o, from.Turn.Inverse().Point(s.At))
			r.Figure, r.Limit, r.Unit, r.Source = drawn, limit, "mm", sourceOf(l, grade)
			r.Says = fmt.Sprintf("a wall of %.2f mm, cast at %.2f; %s asks for %.2f (%s)", drawn, s.Width, b.house.Name, limit, l.Role)
			r.Why = "thin metal does not fill, and wears through"
			b.add(r, grade, Metal, "wall", b.wallWord(*o))
		}
		return nil
	})
}

// gaps asks for room between walls that face each other.
func (b *bench) gaps() error {
	l, _ := b.house.Limit(stock.Gap)
	return b.eachCasting(func(c *build.Casting, from *piece.Casting, normals wall.Normals) error {
		spots, err := wall.Gaps(b.ctx, c.Mesh, normals, l.Caution.Value-give, wall.Options{
			Slack: c.Reached, MinArea: placeArea, MinExtent: placeExtent,
		})
		if err != nil {
			return err
		}
		for _, s := range spots {
			o, other := b.owner(s.Tags[1]), b.owner(s.Tags[0])
			if o == nil || s.Edge || b.notched(s) {
				continue // s.Edge: a wedge of air where two parts meet
			}
			grade, limit := underBy(s.Width, l, give)
			r := of(b.piece, *o, from.Turn.Inverse().Point(s.At))
			r.Figure, r.Limit, r.Unit, r.Source = s.Width, limit, "mm", sourceOf(l, grade)
			to := "itself"
			if other != nil && other.Address != o.Address || other != nil && other.N != o.N {
				to = part(other.Address, other.N)
			}
			r.Says = fmt.Sprintf("a gap of %.2f mm to %s; %s asks for %.2f", s.Width, to, b.house.Name, limit)
			r.Why = "investment breaks off in a narrow gap, and the metal closes it"
			b.add(r, grade, Metal, "gap", "")
		}
		return nil
	})
}

// eachCasting calls f for every casting that was modelled, not for mirror
// images.
func (b *bench) eachCasting(f func(*build.Casting, *piece.Casting, wall.Normals) error) error {
	for i := range b.model.Castings {
		c := &b.model.Castings[i]
		if c.Mirrored {
			continue
		}
		from := &b.piece.Castings[c.Of]
		metal := from.Metal
		if from.Turn != vec.Here {
			metal = sdf.At(metal, from.Turn)
		}
		code, err := sdf.Compile(metal)
		if err != nil {
			return err
		}
		if err := f(c, from, wall.Field(c.Mesh, code)); err != nil {
			return err
		}
	}
	return nil
}

// owner returns the owner of a tag, nil for none.
func (b *bench) owner(tag uint32) *piece.Owner {
	if tag == 0 || int(tag) > len(b.piece.Owners) {
		return nil
	}
	return &b.piece.Owners[tag-1]
}

// between returns the limit of a wall whose sides have these owners, and the
// owner that it comes from: the one that asks for less.
func (b *bench) between(s, t uint32) (*piece.Owner, stock.Limit) {
	o, p := b.owner(s), b.owner(t)
	switch {
	case o == nil && p == nil:
		return nil, stock.Limit{}
	case o == nil:
		_, l := b.limit(*p)
		return p, l
	case p == nil:
		_, l := b.limit(*o)
		return o, l
	}
	_, lo := b.limit(*o)
	_, lp := b.limit(*p)
	if lp.Caution.Value < lo.Caution.Value {
		return p, lp
	}
	return o, lo
}

// limit returns the house's limit for the metal of an owner.
func (b *bench) limit(o piece.Owner) (stock.Role, stock.Limit) {
	role := stock.PlateSmall
	switch o.Role {
	case piece.PlateRole:
		p, _ := lang.Find[*piece.Plate](b.piece.Recipe, o.Address)
		size := p.Outline().Bounds().Size()
		if max(size.X, size.Y) > stock.PlateSpan {
			role = stock.PlateLarge
		}
	case piece.BezelRole:
		role = stock.BezelWall
	case piece.ProngRole:
		h, _ := lang.Find[*piece.Prongs](b.piece.Recipe, o.Address)
		g, _ := lang.Find[*piece.Stones](b.piece.Recipe, h.Holds.Address)
		l := b.house.Prong(g.Size)
		return l.Role, l
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
	return role, l
}

// grooved returns the limit for what grooves leave of a plate, if the place is
// there: under a groove, or beside one and no deeper than it.
func (b *bench) grooved(o piece.Owner, from *piece.Casting, s wall.Spot) (stock.Limit, bool) {
	if o.Role != piece.PlateRole {
		return stock.Limit{}, false
	}
	p, _ := lang.Find[*piece.Plate](b.piece.Recipe, o.Address)
	if p.Rays == nil {
		return stock.Limit{}, false
	}
	high := max(from.Turn.Inverse().Point(s.At).Z, from.Turn.Inverse().Point(s.Other).Z)
	l, ok := b.house.Limit(stock.Grooved)
	return l, ok && high < -give && high > -p.Rays.Depth-give
}

// joined is how near in mm to the surface of a part a place counts as part of
// its joint.
const joined = 0.05

// at says whether a side of the wall lies on a part of one of the roles, or
// where such a part joins another: there the mesh may name either as owner.
func (b *bench) at(from *piece.Casting, s wall.Spot, roles ...piece.Role) bool {
	back := from.Turn.Inverse()
	for _, p := range []vec.P{back.Point(s.At), back.Point(s.Other)} {
		near := false
		b.piece.Parts(from, func(o piece.Owner, f sdf.Field) {
			if slices.Contains(roles, o.Role) && f.Bounds().Grow(joined).Has(p) && abs(f.Dist(p)) < joined {
				near = true
			}
		})
		if near {
			return true
		}
	}
	return false
}

// seated counts the sides of the wall that are the seat of a stone or the hole
// under it: what stays there is a bearing, or a web between two.
func (b *bench) seated(from *piece.Casting, s wall.Spot) int {
	n := 0
	for _, p := range []vec.P{s.At, s.Other} {
		p = from.Turn.Inverse().Point(p)
		if slices.ContainsFunc(from.Stones, func(t piece.Stone) bool {
			return t.Place.Local(p).XY().Len() < b.radius(t)+give
		}) {
			n++
		}
	}
	return n
}

// notched says whether a gap is the notch of a post, which is meant to be
// narrow.
func (b *bench) notched(s wall.Spot) bool {
	o := b.owner(s.Tags[1])
	return o != nil && o.Role == piece.PostRole && s.Tags[0] == s.Tags[1]
}

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

// sourceOf is the source of the limit that was missed.
func sourceOf(l stock.Limit, g Grade) string {
	if g == Fail {
		return l.Fail.Source
	}
	return l.Caution.Source
}
