package stock

import "slices"

// cares say how gems are kept, by what harms them: common practice, no source.
var cares = []struct {
	gems []string
	text string
}{
	{[]string{"pearl", "coral"},
		"Soft, and harmed by acids, perfume, hair spray and heat: put it on last and take it off first. Wipe with a soft damp cloth; no ultrasonic bath, no steam, no dips."},
	{[]string{"opal", "turquoise", "lapis-lazuli"},
		"Porous and soft: keep it from soap, oil, heat and very dry air. Wipe with a soft damp cloth; no ultrasonic bath, no steam, no dips."},
	{[]string{"emerald"},
		"Often filled with oil or resin: lukewarm water and a soft cloth. No ultrasonic bath, no steam, no solvents."},
	{[]string{"tanzanite", "tourmaline", "peridot", "topaz", "zircon", "aquamarine"},
		"Sudden heat or a knock may crack it: lukewarm water, mild soap, a soft brush. No ultrasonic bath, no steam."},
}

// otherCare is for all other gems: common practice, no source.
const otherCare = "Lukewarm water, mild soap and a soft brush, then rinse and dry. A knock chips hard stones, too."

// Care says how a piece with the gem is kept: common practice, no source.
func (g Gem) Care() string {
	for _, c := range cares {
		if slices.Contains(c.gems, g.Name) {
			return c.text
		}
	}
	return otherCare
}

// Care says how the metal is kept: common practice, no source.
func (a Alloy) Care() string {
	switch a.Base {
	case "silver":
		return "Silver darkens in air: a silver cloth brings it back. Keep it dry, in a closed bag or box."
	case "gold", "platinum", "palladium":
		return "Lukewarm water, mild soap, a soft cloth. Take it off where there is chlorine: pools, bleach."
	}
	return "Darkens in air and may mark the skin: wipe it dry after wearing and keep it in a closed bag."
}
