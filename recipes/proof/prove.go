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
	House string       // overrides the recipe's; "" keeps it
	Own   *piece.House // a house file: its limits in place of the others; may be nil
	Only  []Group      // nil: all
}

// house returns the house to judge by: kept, or a named one, with the limits
// of one's own.
func (o Options) house(kept stock.House) (stock.House, error) {
	if o.House != "" {
		h, ok := stock.HouseNamed(o.House)
		if !ok {
			return h, fmt.Errorf("no house is called %q; there are %v", o.House, stock.HouseNames())
		}
		kept = h
	}
	if o.Own != nil {
		kept = o.Own.Over(kept)
	}
	return kept, nil
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
	{fouled, Metal, (*bench).fouls},
	{"gap", Metal, (*bench).gaps},
	{"wound", Metal, (*bench).wounds},
	{"joint", Metal, (*bench).joints},
	{"feed", Metal, (*bench).feeds},
	{"hole", Metal, (*bench).holes},
	{"landing", Metal, (*bench).landings},
	{"sheet", Metal, (*bench).sheets},
	{"corner", Metal, (*bench).corners},
	{slip, Metal, (*bench).slips},
	{overhang, Stones, (*bench).overhangs},
	{"spacing", Stones, (*bench).spacing},
	{"seat", Stones, (*bench).seats},
	{"hold", Stones, (*bench).hold},
	{"metal in stone", Stones, (*bench).metalInStone},
	{"way in", Stones, (*bench).wayIn},
	{"culet", Stones, (*bench).culets},
	{"cut", Stones, (*bench).cuts},
	{"light leak", Stones, (*bench).leaks},
	{"prong", Stones, (*bench).prongs},
	{"prong neck", Stones, (*bench).necks},
	{"weight", Wearing, (*bench).weight},
	{"post", Wearing, (*bench).posts},
	{"link", Wearing, (*bench).links},
	{"facing", Wearing, (*bench).facing},
	{"bail", Wearing, (*bench).bails},
	{hang, Wearing, (*bench).hangs},
	{hang, Wearing, (*bench).swings},
	{"clash", Wearing, (*bench).clashes},
}

// Prove judges a model. It fails for a house that is not known, and when ctx
// ends.
func Prove(ctx context.Context, m *build.Model, o Options) (*Report, error) {
	house, err := o.house(m.Piece.House)
	if err != nil {
		return nil, err
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
	r := &Report{House: house.Name, Remarks: merge(b.remarks)}
	r.accept(lang.All[*piece.Accept](m.Piece.Recipe), len(o.Only) == 0)
	if len(o.Only) == 0 {
		r.number()
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

// grades are what is said of a figure beyond a bound.
var grades = map[stock.Bound]Grade{
	stock.FailUnder: Fail, stock.FailOver: Fail,
	stock.CautionUnder: Caution, stock.CautionOver: Caution,
	stock.NoteUnder: Note, stock.NoteOver: Note,
}

// graded grades a figure of r by the house's limit for a role, and says with r
// which bound it misses. r.Unit stays as it is.
func (b *bench) graded(r Remark, figure float64, role stock.Role) (Remark, Grade) {
	l, _ := b.house.Limit(role)
	r.Figure, r.Limit, r.Source = figure, 0, ""
	which, bound, ok := l.Missed(figure, 0)
	if !ok {
		return r, none
	}
	r.Limit, r.Source = bound.Value, bound.Source
	return r, grades[which]
}

// asks says which limit in mm of the house a figure misses. What fails is not
// accepted, of what is a caution the house thinks twice.
func (b *bench) asks(g Grade, figure, limit float64) string {
	return b.asksOf(g, figure, limit, "%.2f")
}

// asksOf is asks for a limit that is written as a format says: "%g g".
func (b *bench) asksOf(g Grade, figure, limit float64, format string) string {
	bound := fmt.Sprintf(format, limit)
	than, or := "less", "more"
	if figure > limit {
		than, or = or, than
	}
	if g == Fail {
		return fmt.Sprintf("%s accepts no %s than %s", b.house.Name, than, bound)
	}
	return fmt.Sprintf("%s advises %s or %s", b.house.Name, bound, or)
}

// shrunk is what a length of the model is in metal: files are as much larger as
// the recipe scales them, and metal shrinks as the house expects.
func (b *bench) shrunk(mm float64) float64 {
	return mm * b.piece.Scale * (1 - b.house.Shrinkage.Value)
}

// shrinks says how the metal shrinks.
func (b *bench) shrinks() string {
	s := fmt.Sprintf("once the metal has shrunk by %.1f %%", 100*b.house.Shrinkage.Value)
	if b.piece.Scale != 1 {
		s += fmt.Sprintf(", files scaled x%.3f", b.piece.Scale)
	}
	return s
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
		m := b.model.Cast(c).Centroid()
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

// carried returns the mass in g of a casting and of all that hangs in it, and the centre
// of mass by which it hangs itself, in the frame of the worn piece: what hangs from it
// swings freely, and pulls where it rests.
func (b *bench) carried(casting int) (g float64, at vec.P) {
	g, at = b.massOf(func(i int) bool { return i == casting })
	sum := at.Mul(g)
	for i, c := range b.piece.Castings {
		if c.From == casting {
			m, _ := b.carried(i)
			g, sum = g+m, sum.Add(c.Rest.Mul(m))
		}
	}
	if g == 0 {
		return 0, vec.P{}
	}
	return g, sum.Mul(1 / g)
}
