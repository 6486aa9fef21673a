package papers

import (
	"fmt"
	"slices"
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
		para{text: "To read before the piece is made, sold or worn: what goes with its alloy, its stones, its making and the way it is worn. Laws change."},
	}}
	list := items{}
	seen := map[stock.Law]bool{} // some go with several cautions
	for _, c := range p.Cautions {
		var figures []stock.Law
		for _, l := range c.Limits {
			if !seen[l] && concerns(l, p.Piece.Alloy) {
				seen[l] = true
				figures = append(figures, l)
			}
		}
		list.add(c.Name, strings.TrimSpace(c.Text+" "+figuresText(figures)), sourcesText(c, figures))
	}
	s.blocks = append(s.blocks, list)
	return s
}

// figuresText says the figures that go with a caution.
func figuresText(ls []stock.Law) string {
	if len(ls) == 0 {
		return ""
	}
	var all []string
	for _, l := range ls {
		all = append(all, fmt.Sprintf("%s %s %s", l.Says, strconv.FormatFloat(l.Value, 'f', -1, 64), l.Unit))
	}
	return "Figures: " + strings.Join(all, "; ") + "."
}

// sourcesText says where a caution and its figures come from, each source once.
func sourcesText(c stock.Warning, ls []stock.Law) string {
	all := strings.Split(c.Source, "; ")
	for _, l := range ls {
		all = append(all, strings.Split(l.Source, "; ")...)
	}
	var each []string
	for _, s := range all {
		if !slices.Contains(each, s) {
			each = append(each, s)
		}
	}
	return "Source: " + strings.Join(each, "; ") + "."
}
