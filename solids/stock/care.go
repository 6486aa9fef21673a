package stock

import "slices"

// keeping is what keeps gems of a kind whole: with whoever wears them, and with
// whoever sets them.
type keeping struct {
	gems        []string
	care, bench string
}

// keepings are those of gems that heat, acid or a knock spoil sooner than others:
// common practice, no source.
var keepings = []keeping{
	{[]string{"pearl", "coral"},
		"Soft, and harmed by acids, perfume, hair spray and heat: put it on last and take it off first. Wipe with a soft damp cloth; no ultrasonic bath, no steam, no dips.",
		"No heat, no pickle or other acid, no ultrasonic bath, no steam. Soft: files, emery and polishing compound mar it."},
	{[]string{"turquoise", "lapis-lazuli"},
		porousCare,
		"No heat, no pickle or other acid, no ultrasonic bath, no steam. Porous and soft: oil and polishing compound stain it, files and emery mar it."},
	{[]string{"opal"},
		porousCare,
		"No heat, which crazes it, no pickle, no ultrasonic bath, no steam. Soft and brittle: no hammer, and keep files, emery and polishing compound off it."},
	{[]string{"emerald"},
		"Often filled with oil or resin: lukewarm water and a soft cloth. No ultrasonic bath, no steam, no solvents.",
		"No heat, no pickle, no ultrasonic bath, no steam, no solvents: they draw out the oil or resin that hides its cracks. Brittle: no pressure on its edge alone."},
	{[]string{"tanzanite", "tourmaline", "peridot", "topaz", "zircon", "aquamarine"},
		"Sudden heat or a knock may crack it: lukewarm water, mild soap, a soft brush. No ultrasonic bath, no steam.",
		"No torch, no pickle, no ultrasonic bath, no steam: sudden heat or a knock may crack it."},
}

// porousCare is how porous gems are kept.
const porousCare = "Porous and soft: keep it from soap, oil, heat and very dry air. Wipe with a soft damp cloth; no ultrasonic bath, no steam, no dips."

// otherCare is for all other gems: common practice, no source.
const otherCare = "Lukewarm water, mild soap and a soft brush, then rinse and dry. A knock chips hard stones, too."

// keeping returns what keeps the gem whole.
func (g Gem) keeping() keeping {
	for _, k := range keepings {
		if slices.Contains(k.gems, g.Name) {
			return k
		}
	}
	return keeping{care: otherCare}
}

// Care says how a piece with the gem is kept: common practice, no source.
func (g Gem) Care() string { return g.keeping().care }

// Bench says what whoever sets the gem spares it, nothing of gems that ask for no
// more care than any: common practice, no source.
func (g Gem) Bench() string { return g.keeping().bench }

// Traits returns what of a gem warnings go with.
func (g Gem) Traits() []Trait {
	if g.Bench() != "" {
		return []Trait{Delicate}
	}
	return nil
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
