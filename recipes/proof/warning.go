package proof

import (
	"fmt"
	"strings"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// Warnings returns what to know before p is made, sold or worn, by what the
// piece has: the law first, then the workshop, then the wearer. Papers print
// them in full, with stock.WarningsDate.
func Warnings(p *piece.Piece) []stock.Warning {
	traits := append([]stock.Trait{stock.Printed, stock.Burnt, stock.Worn}, p.Alloy.Traits()...)
	if len(lang.All[*piece.Post](p.Recipe)) > 0 {
		traits = append(traits, stock.Pierced)
	}
	if len(p.Castings) > 1 || len(lang.All[*piece.Stones](p.Recipe)) > 0 || len(lang.All[*piece.Post](p.Recipe)) > 0 {
		traits = append(traits, stock.SmallParts)
	}
	for _, g := range lang.All[*piece.Stones](p.Recipe) {
		gem, _ := stock.GemNamed(g.Gem)
		traits = append(traits, gem.Traits()...)
	}
	return stock.Warnings(traits...)
}

// FileWarnings returns what to know before a model file is made: how it will be
// worn, and of what, it does not say.
func FileWarnings() []stock.Warning { return stock.Warnings(stock.Printed, stock.Burnt) }

// printWarnings writes them short.
func printWarnings(s *strings.Builder, all []stock.Warning) {
	if len(all) == 0 {
		return
	}
	fmt.Fprintf(s, "\nBEFORE YOU MAKE IT (as read in %s)\n", stock.WarningsDate)
	for _, w := range all {
		wrap(s, Sentence(w.Short), "  ")
	}
}
