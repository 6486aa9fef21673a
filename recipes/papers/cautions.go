package papers

import (
	"fmt"
	"strconv"
	"strings"

	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
	"waxwright/solids/stock"
)

// cautions lists what to know before the piece is made, sold or worn.
func cautions(p *piece.Piece) []stock.Warning { return proof.Warnings(p) }

// concerns says whether a figure has to do with an alloy: those for gold have
// not, where the piece is silver.
func concerns(l stock.Law, alloy string) bool {
	a, _ := stock.AlloyNamed(alloy)
	named := false
	for _, metal := range []string{"gold", "silver", "platinum", "palladium"} {
		if strings.Contains(l.Says, metal) {
			if metal == a.Base {
				return true
			}
			named = true
		}
	}
	return !named
}

func (p *Papers) cautionsSheet(*Art) sheet {
	s := sheet{name: "cautions", title: "Cautions", blocks: []block{
		para{text: "To read before the piece is made, sold or worn: what goes with its alloy, its making and the way it is worn. Sources read in " + stock.WarningsDate + "; laws change."},
	}}
	list := items{}
	for _, c := range p.Cautions {
		list.addNote(c.Name, c.Text, "Source: "+proof.Sentence(c.Source))
	}
	s.blocks = append(s.blocks, list)
	t := table{cols: []column{{"figure", left}, {"", right}, {"unit", left}, {"source", note}}}
	seen := map[stock.Law]bool{} // some go with several cautions
	for _, c := range p.Cautions {
		for _, l := range c.Limits {
			if !seen[l] && concerns(l, p.Piece.Alloy) {
				seen[l] = true
				t.row(l.Says, strconv.FormatFloat(l.Value, 'f', -1, 64), l.Unit, l.Source)
			}
		}
	}
	if len(t.rows) > 0 {
		s.blocks = append(s.blocks, heading{fmt.Sprintf("Figures, as printed in %s", stock.WarningsDate)}, t)
	}
	return s
}
