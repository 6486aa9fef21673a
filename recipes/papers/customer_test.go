package papers

import (
	"fmt"
	"strings"
	"testing"

	"waxwright/solids/stock"
)

// What the buyer reads: every lot with its number, the weight that is worn, the
// last price and no other, care for each gem; nothing of castings or proofs.
func TestCustomerSheet(t *testing.T) {
	p := gathered(t)
	p.Cost = &Cost{Date: "2026-11-02", Currency: "EUR", Cost: 101.01, MarkUp: 20.20, Price: 121.21, Tax: 24.24, Total: 145.45, tax: 20,
		Lines: []Line{{"metal", "1 g", 101.01}}}
	text := said(p.customerSheet(&Art{}))
	for _, l := range p.Lots {
		gem, _ := stock.GemNamed(l.Gem)
		for _, want := range []string{l.Gem, l.Cut, fmt.Sprintf("%.2f", l.Size), fmt.Sprint(l.Needed), gem.Care()} {
			if !strings.Contains(text, want) {
				t.Errorf("%q is not on the sheet", want)
			}
		}
	}
	for _, want := range []string{grams(p.Weights.Worn), "145.45 EUR, tax included"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
	for _, never := range []string{"101.01", "20.20", "121.21", "24.24", "mark-up", "casting", "proof"} {
		if strings.Contains(strings.ToLower(text), never) {
			t.Errorf("%q is on the sheet:\n%s", never, text)
		}
	}
}

// A pearl is not kept like a diamond, nor silver like gold.
func TestCare(t *testing.T) {
	pearl, _ := stock.GemNamed("pearl")
	diamond, _ := stock.GemNamed("diamond")
	if !strings.Contains(pearl.Care(), "no ultrasonic bath") || strings.Contains(diamond.Care(), "ultrasonic") {
		t.Errorf("pearl: %s\ndiamond: %s", pearl.Care(), diamond.Care())
	}
	silver, _ := stock.AlloyNamed("silver-925")
	if !strings.Contains(silver.Care(), "darkens") {
		t.Error(silver.Care())
	}
}
