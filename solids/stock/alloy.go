package stock

import (
	"image/color"
	"strings"
)

// Alloy is a metal to cast.
type Alloy struct {
	Name      string     // as recipes write it
	Base      string     // the precious metal in it (an Element), "" for none
	Fineness  int        // parts of Base in 1000, as marked; 0 for none
	Density   float64    // g/cm3
	Low, High float64    // the densities that sources print, g/cm3
	Color     color.RGBA // polished, for pictures and files: our own choice
	Source    string     // of the density
}

// Densities are those of makers and casting houses, not computed: an alloy's
// minor metals differ from house to house. White golds are two kinds that must
// not be mixed up: with nickel (light) and with palladium (heavy).
var alloys = []Alloy{
	{"silver-925", "silver", 925, 10.36, 10.20, 10.40, rgb(214, 216, 217), "ESPI Metals technical data sheet, sterling silver"},
	{"silver-999", "silver", 999, 10.49, 10.49, 10.53, rgb(221, 222, 223), tmt},
	{"gold-9-yellow", "gold", 375, 11.10, 10.90, 11.40, rgb(222, 190, 128), dbc},
	{"gold-9-rose", "gold", 375, 11.30, 10.80, 11.30, rgb(219, 164, 132), dbc},
	{"gold-9-white", "gold", 375, 12.60, 12.60, 12.80, rgb(206, 201, 192), dbc},
	{"gold-10-yellow", "gold", 417, 11.57, 11.57, 11.57, rgb(224, 190, 124), stuller},
	{"gold-10-rose", "gold", 417, 11.59, 11.59, 11.59, rgb(220, 163, 130), stuller},
	{"gold-10-white", "gold", 417, 11.07, 11.07, 11.07, rgb(206, 202, 194), stuller},
	{"gold-14-yellow", "gold", 585, 13.07, 12.90, 13.70, rgb(228, 190, 112), stuller},
	{"gold-14-rose", "gold", 585, 13.26, 13.26, 13.26, rgb(222, 160, 124), stuller},
	{"gold-14-white", "gold", 585, 12.61, 12.61, 14.30, rgb(207, 203, 195), stuller + "; a nickel white, by its density"},
	{"gold-18-yellow", "gold", 750, 15.58, 15.20, 15.90, rgb(232, 188, 96), stuller},
	{"gold-18-rose", "gold", 750, 15.18, 14.99, 15.18, rgb(224, 158, 118), stuller},
	{"gold-18-white", "gold", 750, 15.80, 15.80, 16.90, rgb(208, 205, 198), dbc + "; a palladium white of 13.5 %"},
	{"gold-18-white-nickel", "gold", 750, 14.64, 14.64, 14.64, rgb(208, 204, 195), stuller + "; a nickel white, by its density"},
	{"gold-22-yellow", "gold", 916, 17.80, 17.70, 17.91, rgb(236, 184, 76), dbc},
	{"platinum-900", "platinum", 900, 21.54, 21.54, 21.56, rgb(203, 204, 205), stuller + "; with iridium"},
	{"platinum-950", "platinum", 950, 20.70, 20.10, 20.80, rgb(204, 205, 206), romanoff},
	{"palladium-950", "palladium", 950, 12.00, 11.40, 12.04, rgb(198, 198, 197), romanoff},
	{"bronze", "", 0, 8.80, 8.80, 8.80, rgb(196, 142, 88), romanoff},
	{"brass", "", 0, 8.40, 8.40, 8.60, rgb(214, 180, 98), romanoff},
}

// Densities in g/cm3 of what patterns are made of, for weighing a print.
var (
	Wax   = Figure{0.95, "Ganoksin Orchid threads 27807 and 15741, the latter quoting O. Untracht; 0.95 to 1.00"}
	Resin = Figure{1.10, Memory} // cured castable resin, 1.05 to 1.18
)

// Grams returns the weight of a volume in mm3.
func (a Alloy) Grams(mm3 float64) float64 { return mm3 * a.Density / 1000 }

// Title is the name as a bench or a buyer writes it: "14 ct yellow gold".
func (a Alloy) Title() string {
	words := strings.Split(a.Name, "-")
	if a.Base != "gold" {
		return strings.Join(words, " ")
	}
	title := words[1] + " ct " + words[2] + " gold"
	if len(words) > 3 {
		title += " with " + words[3]
	}
	return title
}

// AlloyNames returns the names of all alloys, in the order of the table.
func AlloyNames() []string { return names(alloys, func(a Alloy) string { return a.Name }) }

// AlloyNamed returns the alloy of that name.
func AlloyNamed(name string) (Alloy, bool) {
	return named(alloys, name, func(a Alloy) string { return a.Name })
}

// rgb is an opaque sRGB colour.
func rgb(r, g, b uint8) color.RGBA { return color.RGBA{r, g, b, 255} }
