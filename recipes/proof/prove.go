package proof

import (
	"context"
	"fmt"

	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// Options for Prove.
type Options struct {
	House string  // overrides the recipe's; "" keeps it
	Only  []Group // nil: all
}

// bench is what the checks work on.
type bench struct {
	ctx     context.Context
	model   *build.Model
	piece   *piece.Piece
	house   stock.House
	remarks []Remark
	metal   []*casting // see eachCasting
}

// check is one question asked of a piece.
type check struct {
	name  string
	group Group
	run   func(*bench) error
}

// checks are all questions, in the order in which they are asked. To add one,
// write a function and add its line.
var checks = []check{
	{"mesh", Mesh, (*bench).meshes},
	{"wall", Metal, (*bench).walls},
	{"gap", Metal, (*bench).gaps},
	{"wound", Metal, (*bench).wounds},
	{"joint", Metal, (*bench).joints},
	{"feed", Metal, (*bench).feeds},
	{"hole", Metal, (*bench).holes},
	{"landing", Metal, (*bench).landings},
	{"sheet", Metal, (*bench).sheets},
	{"corner", Metal, (*bench).corners},
	{"spacing", Stones, (*bench).spacing},
	{"hold", Stones, (*bench).hold},
	{"metal in stone", Stones, (*bench).metalInStone},
	{"way in", Stones, (*bench).wayIn},
	{"culet", Stones, (*bench).culets},
	{"prong", Stones, (*bench).prongs},
	{"weight", Wearing, (*bench).weight},
	{"post", Wearing, (*bench).posts},
	{"link", Wearing, (*bench).links},
	{"facing", Wearing, (*bench).facing},
	{"bail", Wearing, (*bench).bails},
	{"hang", Wearing, (*bench).hangs},
}

// Prove judges a model. It fails for a house that is not known, and when ctx
// ends.
func Prove(ctx context.Context, m *build.Model, o Options) (*Report, error) {
	name := o.House
	if name == "" {
		name = lang.All[*piece.Head](m.Piece.Recipe)[0].House
	}
	house, ok := stock.HouseNamed(name)
	if !ok {
		return nil, fmt.Errorf("no house is called %q; there are %v", name, stock.HouseNames())
	}
	b := &bench{ctx: ctx, model: m, piece: m.Piece, house: house}
	for _, c := range checks {
		if !wanted(c.group, o.Only) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := c.run(b); err != nil {
			return nil, fmt.Errorf("check %s: %w", c.name, err)
		}
	}
	r := &Report{House: name, Remarks: merge(b.remarks)}
	if len(o.Only) == 0 {
		r.Warnings = Warnings(m.Piece)
	}
	return r, nil
}

func wanted(g Group, only []Group) bool {
	if len(only) == 0 {
		return true
	}
	for _, o := range only {
		if o == g {
			return true
		}
	}
	return false
}

// add takes a remark about an owner and a word of its block, unless its grade
// is none.
func (b *bench) add(r Remark, grade Grade, group Group, check, word string) {
	if grade == none {
		return
	}
	r.Grade, r.Group, r.Check, r.Word = grade, group, check, word
	if word != "" && r.Address != "" {
		r.Span = b.piece.Recipe.Span(r.Address, word)
	}
	b.remarks = append(b.remarks, r)
}

// none is the grade of what is as it should be.
const none Grade = 255

// under grades a figure that should be at least the limits.
func under(figure, fail, caution float64) (Grade, float64) {
	switch {
	case figure < fail:
		return Fail, fail
	case figure < caution:
		return Caution, caution
	}
	return none, 0
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

// set is a group of stones in its casting.
type set struct {
	*piece.Stones
	casting int
}

// owners calls f for every owner of the role.
func (b *bench) owners(role piece.Role, f func(piece.Owner)) {
	for _, o := range b.piece.Owners {
		if o.Role == role {
			f(o)
		}
	}
}

// massOf returns the mass in g and the centre of mass, in the frame of the
// worn piece, of all castings that keep accepts, with their stones.
func (b *bench) massOf(keep func(i int) bool) (g float64, at vec.P) {
	var sum vec.P
	for k := range b.model.Castings {
		c := &b.model.Castings[k]
		if c.Mirrored || !keep(c.Of) {
			continue
		}
		from := &b.piece.Castings[c.Of]
		m := c.Mesh.Centroid()
		g += c.Grams
		sum = sum.Add(c.Worn[0].Point(m).Mul(c.Grams))
		for _, s := range from.Stones {
			w := s.Gem.Carats(s.Cut.Volume()) * stock.Carat
			g += w
			sum = sum.Add(from.Hang.Point(s.Place.O).Mul(w))
		}
	}
	if g == 0 {
		return 0, vec.P{}
	}
	return g, sum.Mul(1 / g)
}

func everything(int) bool { return true }
