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
	Turn     float64
}

// Describe says what a piece block may hold.
func (b *Head) Describe(d *lang.Desc) {
	d.About("what the piece is called and made of", "Its name is the title: free text.")
	d.Choice(&b.Alloy, "alloy", "the metal", stock.AlloyNames()...).Default(`"silver-925"`)
	d.Text(&b.Designer, "designer", "who made the design").Optional()
	d.Choice(&b.Pair, "pair", "is there a second, for the other ear", "single", "same", "mirrored").Default(`"single"`)
	d.Choice(&b.House, "house", "whose limits it has to keep", stock.HouseNames()...).Default(`"practised"`)
	d.Angle(&b.Turn, "turn", "how far the whole piece is turned as worn, clockwise").Default("0")
}

// Derive has nothing to derive.
func (b *Head) Derive(*lang.Scope) {}
