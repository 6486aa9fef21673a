package piece

import (
	"waxwright/recipes/lang"
	"waxwright/solids/stock"
)

// Head is the piece block: what the whole is called and made of. Its label is
// the title, free text.
type Head struct {
	lang.Head
	Alloy    string
	Designer string
	Pair     string
	House    string
	Finish   string
	Turn     float64
	Scale    *Scale
	Price    *Price
}

// Describe says what a piece block may hold.
func (b *Head) Describe(d *lang.Desc) {
	d.About("what the piece is called and made of", "Its name is the title: free text.")
	d.Choice(&b.Alloy, "alloy", "the metal", stock.AlloyNames()...).Default(`"silver-925"`).Called("metal", "material")
	d.Text(&b.Designer, "designer", "who made the design").Optional()
	d.Choice(&b.Pair, "pair", "is there a second, for the other ear", "single", "same", "mirrored").Default(`"single"`)
	d.Choice(&b.House, "house", "whose limits it has to keep", stock.HouseNames()...).Default(`"practised"`)
	d.Choice(&b.Finish, "finish", "what is done to its outsides after casting; for casting they grow by what that takes off", stock.FinishNames()...).Default(`"polish"`)
	d.Angle(&b.Turn, "turn", "how far the whole piece is turned as worn, clockwise").Default("0")
	d.Block(&b.Scale, "scale", "by how much the files are made larger, a factor for each step that shrinks")
	d.Block(&b.Price, "price", "what the maker pays and asks, on one day, for the papers")
}

// Derive checks the prices; there is nothing to derive.
func (b *Head) Derive(s *lang.Scope) { b.checkPrice(s) }

// Scale is how much larger the files are than the piece, step by step. Nothing
// is scaled unless asked for: published shrinkages differ too much.
type Scale struct{ Print, Mould, Cast float64 }

// Describe says what a scale block may hold.
func (b *Scale) Describe(d *lang.Desc) {
	d.About("by how much the files are made larger, a factor for each step that shrinks", "The factors are multiplied, and the files say so. Ask your caster first: many scale themselves.")
	for _, w := range []struct {
		to         *float64
		word, help string
	}{
		{&b.Print, "print", "what the printer's resin or wax shrinks"},
		{&b.Mould, "mould", "what a rubber mould, and wax shot into it, shrinks"},
		{&b.Cast, "cast", "what the metal shrinks"},
	} {
		d.Number(w.to, w.word, "", w.help+", as a factor: 1.02 is 2 % larger").Range(0.9, 1.2).Default("1")
	}
}

// Factor is what all steps make together; 1 without a block.
func (b *Scale) Factor() float64 {
	if b == nil {
		return 1
	}
	return b.Print * b.Mould * b.Cast
}
