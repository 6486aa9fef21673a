package papers

import (
	"fmt"
	"math"

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

	markUp, tax float64 // %
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
	c := &Cost{Date: q.Date, Currency: q.Currency, markUp: q.MarkUp, tax: q.Tax}
	add := func(amount float64, what, how string, args ...any) {
		if amount = cents(amount); amount > 0 {
			c.Lines = append(c.Lines, Line{what, fmt.Sprintf(how, args...), amount})
			c.Cost += amount
		}
	}
	metal := p.Weights.Cast * (1 + q.Loss/100)
	add(metal*q.Metal, "metal", "%s of %s as cast, %g %% loss, at %s a gram", grams(p.Weights.Cast), m.Piece.Alloy.Title(), q.Loss, money(q.Metal))
	stones := 0
	for i, l := range p.Lots {
		stones += l.Needed
		if i < len(q.Stones) {
			add(float64(l.Needed)*q.Stones[i], "stones, "+l.Group, "%d at %s", l.Needed, money(q.Stones[i]))
		}
	}
	add(float64(stones)*q.Setting, "setting", "%d at %s", stones, money(q.Setting))
	add(float64(m.Pieces())*q.Casting, "casting", "%d at %s", m.Pieces(), money(q.Casting))
	add(q.Finishing, "finishing", "the whole piece")
	c.MarkUp = cents(c.Cost * q.MarkUp / 100)
	c.Price = c.Cost + c.MarkUp
	c.Tax = cents(c.Price * q.Tax / 100)
	c.Total = c.Price + c.Tax
	return c
}

// cents rounds an amount as it is printed, so that the lines of a reckoning add up
// to its sum.
func cents(v float64) float64 { return math.Round(v*100) / 100 }

// costSheet is for the maker's own desk: what goes to customers and casters does
// not show what others earn.
func (p *Papers) costSheet(*Art) sheet {
	s := sheet{name: costName, title: "Cost"}
	c := p.Cost
	if c == nil {
		s.blocks = append(s.blocks, para{text: "The recipe has no prices: waxwright explain --words piece says how to write a price block. None are built in."})
		return s
	}
	t := table{cols: []column{{"", left}, {"", note}, {c.Currency, right}}}
	for _, l := range c.Lines {
		t.row(l.What, l.How, money(l.Amount))
	}
	t.row("cost", "all of the above", money(c.Cost))
	if c.MarkUp > 0 {
		t.row("mark-up", fmt.Sprintf("%g %%", c.markUp), money(c.MarkUp))
		t.row("price", "without tax", money(c.Price))
	}
	if c.Tax > 0 {
		t.row("tax", fmt.Sprintf("%g %%", c.tax), money(c.Tax))
	}
	t.foot = []string{"together", "", money(c.Total)}
	s.blocks = append(s.blocks,
		para{text: "For " + p.off() + ", by the maker's own prices of " + c.Date + "; spare stones and bought parts are not in it. For your own desk: customers are shown the last line alone."}, t)
	return s
}

func money(v float64) string { return fmt.Sprintf("%.2f", v) }
