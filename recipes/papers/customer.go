package papers

import (
	"fmt"
	"slices"
	"strings"

	"waxwright/recipes/proof"
	"waxwright/solids/stock"
)

// customerSheet goes with the piece to whoever buys it: what it is, what is in it,
// what it costs in all, and how it is kept. It shows nothing of how it is made, and
// no price but the last.
func (p *Papers) customerSheet(art *Art) sheet {
	s := sheet{name: "customer", title: "For the wearer"}
	about := facts{}
	about.add("Piece", p.off())
	metal, _ := stock.AlloyNamed(p.Piece.Alloy)
	about.add("Metal", metalText(metal))
	about.add("Stones", setText(p.Lots))
	if p.Piece.Ears == 2 {
		about.add("Weight", grams(p.Weights.Worn)+" each, reckoned")
	} else {
		about.add("Weight", grams(p.Weights.Worn)+", reckoned")
	}
	if c := p.Cost; c != nil {
		price := money(c.Total) + " " + c.Currency
		if c.Tax > 0 {
			price += ", tax included"
		}
		about.add("Price", price)
	}
	picture := figures{[]figure{{art: art.Quarter, alt: "the piece, three-quarter view"}}}
	s.blocks = append(s.blocks, columns{[]part{{1.25, []block{picture}}, {1, []block{about}}}})
	if len(p.Lots) > 0 {
		t := table{cols: []column{{"gem", left}, {"cut", left}, {"mm", right}, {"number", right}, {"ct together", right}, {origins(p.Lots) + ", and treatment", left}}}
		for _, l := range p.Lots {
			t.row(l.title(), l.Cut, fmt.Sprintf("%.2f", l.Size), fmt.Sprint(l.Needed), fmt.Sprintf("%.2f", l.Together), strings.Repeat("_", 24))
		}
		s.blocks = append(s.blocks, heading{"Stones"}, t,
			para{quiet: true, text: "Carats are reckoned from the cut, not weighed. The last column is filled in by hand, as the dealer told of each lot."})
	}
	s.blocks = append(s.blocks, heading{"Care"}, p.careItems(metal))
	if worn := p.wornItems(); len(worn.list) > 0 {
		s.blocks = append(s.blocks, heading{"Wearing"}, worn)
	}
	return s
}

// metalText names a metal as a buyer reads it.
func metalText(a stock.Alloy) string {
	if a.Fineness > 0 {
		return fmt.Sprintf("%s, %d parts of %s in 1000", a.Title(), a.Fineness, a.Base)
	}
	return a.Title()
}

// setText counts the stones and their carats.
func setText(ls []Lot) string {
	n, ct := 0, 0.0
	for _, l := range ls {
		n, ct = n+l.Needed, ct+l.Together
	}
	if n == 0 {
		return "none"
	}
	return fmt.Sprintf("%s, %.2f ct together", proof.Counted(n, "stone"), ct)
}

// careItems says how metal and gems are kept.
func (p *Papers) careItems(metal stock.Alloy) items {
	list := items{}
	list.add(metal.Title(), metal.Care())
	list.list = append(list.list, p.gemItems(stock.Gem.Care).list...)
	return list
}

// gemItems lists what is said of the gems, of several in one go where it is the
// same.
func (p *Papers) gemItems(says func(stock.Gem) string) items {
	var texts []string
	of := map[string][]string{}
	for _, l := range p.Lots {
		gem, _ := stock.GemNamed(l.Gem)
		text := says(gem)
		if text != "" && !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
		if !slices.Contains(of[text], gem.Title()) {
			of[text] = append(of[text], gem.Title())
		}
	}
	list := items{}
	for _, text := range texts {
		list.add(strings.Join(of[text], ", "), text)
	}
	return list
}

// wornItems are the cautions that the wearer has to know.
func (p *Papers) wornItems() items {
	list := items{}
	for _, c := range p.Cautions {
		if c.Wearer != "" {
			list.add(c.Name, c.Wearer)
		}
	}
	return list
}
