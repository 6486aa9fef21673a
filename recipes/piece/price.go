package piece

import (
	"fmt"
	"time"

	"waxwright/recipes/lang"
)

// Price is what a maker pays, and asks, on one day. There are no prices but
// those that the maker writes here. Amounts are in Currency, without tax.
type Price struct {
	Date      string    // "2026-11-01"
	Currency  string    // "EUR"
	Metal     float64   // a gram
	Loss      float64   // of the metal cast, %
	Stones    []float64 // a stone of each stones block, in the order of the recipe
	Setting   float64   // a stone
	Casting   float64   // a casting
	Finishing float64   // all of the piece, a pair as one
	MarkUp    float64   // on all of these, %
	Tax       float64   // on the sum, %
}

// Describe says what a price block may hold.
func (b *Price) Describe(d *lang.Desc) {
	d.About("what the maker pays and asks, on one day", "No price is built in: papers reckon with these alone, and print their date.")
	d.Text(&b.Date, "date", "the day of these prices, as 2026-11-01")
	d.Text(&b.Currency, "currency", "what they are in").Default(`"EUR"`)
	amount := func(to *float64, word, help string) { d.Number(to, word, "", help).Range(0, 1e6).Default("0") }
	share := func(to *float64, word, help string) { d.Number(to, word, "%", help).Range(0, 1000).Default("0") }
	amount(&b.Metal, "metal", "a gram of the alloy")
	share(&b.Loss, "loss", "metal that is lost in casting and finishing, of the weight cast")
	d.Numbers(&b.Stones, "stones", "", "one stone of each stones block, in the order of the recipe", 0).Range(0, 1e6).Optional()
	amount(&b.Setting, "setting", "setting one stone")
	amount(&b.Casting, "casting", "printing and casting one casting")
	amount(&b.Finishing, "finishing", "finishing the whole piece, both of a pair")
	share(&b.MarkUp, "mark_up", "on the cost of all these")
	share(&b.Tax, "tax", "on the price")
}

// checkPrice reports prices without a day.
func (b *Head) checkPrice(s *lang.Scope) {
	if b.Price == nil {
		return
	}
	if _, err := time.Parse(time.DateOnly, b.Price.Date); err != nil {
		s.FaultIn("price", "date", fmt.Sprintf("%q is no day", b.Price.Date), "write year, month and day, as 2026-11-01")
	}
}

// price takes over the prices, and reports a list that is not that of the stones.
func (m *maker) price(h *Head) {
	if h.Price == nil {
		return
	}
	m.piece.Price = h.Price
	groups := len(lang.All[*Stones](m.file))
	if n := len(h.Price.Stones); n > 0 && n != groups {
		m.fault("piece", "", fmt.Sprintf("price: stones has %d prices, and there are %d stones blocks", n, groups), "give a price for each, in the order of the recipe")
	}
}
