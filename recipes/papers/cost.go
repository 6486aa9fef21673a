package papers

import (
	"fmt"

	"waxwright/recipes/build"
)

// Cost is what the piece, a pair as one, comes to by the maker's own prices.
type Cost struct {
	Date     string  `json:"date"` // of the prices
	Currency string  `json:"currency"`
	Lines    []Line  `json:"lines"`
	Cost     float64 `json:"cost"`   // the sum of the lines
	MarkUp   float64 `json:"markUp"` // as an amount
	Price    float64 `json:"price"`  // both
	Tax      float64 `json:"tax"`    // as an amount
	Total    float64 `json:"total"`
}

// Line is one line of the reckoning.
type Line struct {
	What   string  `json:"what"`
	How    string  `json:"how"` // "12.40 g x 1.20 + 5 % loss"
	Amount float64 `json:"amount"`
}

// cost reckons by the prices of the recipe; nil where it has none.
func cost(m *build.Model, p *Papers) *Cost {
	q := m.Piece.Price
	if q == nil {
		return nil
	}
	c := &Cost{Date: q.Date, Currency: q.Currency}
	add := func(amount float64, what, how string, args ...any) {
		if amount > 0 {
			c.Lines = append(c.Lines, Line{what, fmt.Sprintf(how, args...), amount})
			c.Cost += amount
		}
	}
	metal := p.Weights.Cast * (1 + q.Loss/100)
	add(metal*q.Metal, "metal", "%s of %s as cast, %g %% loss, at %g a gram", grams(p.Weights.Cast), p.Piece.Alloy, q.Loss, q.Metal)
	stones := 0
	for i, l := range p.Lots {
		stones += l.Needed
		if i < len(q.Stones) {
			add(float64(l.Needed)*q.Stones[i], "stones "+l.Group, "%d at %g", l.Needed, q.Stones[i])
		}
	}
	add(float64(stones)*q.Setting, "setting", "%d at %g", stones, q.Setting)
	add(float64(m.Pieces())*q.Casting, "casting", "%d at %g", m.Pieces(), q.Casting)
	add(q.Finishing, "finishing", "the whole piece")
	c.MarkUp = c.Cost * q.MarkUp / 100
	c.Price = c.Cost + c.MarkUp
	c.Tax = c.Price * q.Tax / 100
	c.Total = c.Price + c.Tax
	return c
}

func (p *Papers) costBlocks() []block {
	c := p.Cost
	if c == nil {
		return nil
	}
	t := table{cols: []column{{"", left}, {"", note}, {c.Currency, right}}}
	money := func(v float64) string { return fmt.Sprintf("%.2f", v) }
	for _, l := range c.Lines {
		t.row(l.What, l.How, money(l.Amount))
	}
	t.row("cost", "", money(c.Cost))
	if c.MarkUp > 0 {
		t.row("mark-up", "", money(c.MarkUp))
		t.row("price", "", money(c.Price))
	}
	if c.Tax > 0 {
		t.row("tax", "", money(c.Tax))
	}
	t.foot = []string{"together", "", money(c.Total)}
	return []block{heading{"What it comes to"}, t, para{quiet: true, text: "By the maker's own prices of " + c.Date + "; spares and bought parts are not in it."}}
}
