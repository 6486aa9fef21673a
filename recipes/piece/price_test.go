package piece_test

import (
	"strings"
	"testing"

	"waxwright/recipes/piece"
)

const priced = `piece "p" {
  price {
    date   = %DATE%
    metal  = 1.2
    stones = %STONES%
  }
}
plate "a" {
  form   = "circle"
  across = 10
  thickness = 1
}
stones "s" {
  layout = "one"
  gem    = "citrine"
  size   = 2
}
prongs "c" {
  on    = plate.a
  holds = stones.s
  where = "around"
  wire  = 0.8
}
`

func TestPrice(t *testing.T) {
	for _, c := range []struct{ date, stones, want string }{
		{`"2026-11-01"`, "[2.5]", ""},
		{`"2026-13-01"`, "[2.5]", "is no day"},
		{`"soon"`, "[2.5]", "is no day"},
		{`"2026-11-01"`, "[2.5, 3]", "2 prices, and there are 1 stones blocks"},
		{`"2026-11-01"`, "[-1]", "stones"},
	} {
		src := strings.NewReplacer("%DATE%", c.date, "%STONES%", c.stones).Replace(priced)
		p, diags := piece.Read([]byte(src), "p.hcl", nil)
		if c.want == "" {
			if p == nil {
				t.Fatalf("%s: %v", src, diags)
			}
			if p.Price == nil || p.Price.Metal != 1.2 || p.Price.Currency != "EUR" || len(p.Price.Stones) != 1 {
				t.Errorf("read %+v", p.Price)
			}
			continue
		}
		if p != nil || len(diags) == 0 || !strings.Contains(diags[0].Summary, c.want) {
			t.Errorf("date %s, stones %s: %v, want %q", c.date, c.stones, diags, c.want)
		}
	}
}
