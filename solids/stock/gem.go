package stock

import (
	"image/color"
	"strings"
)

// Family is what decides how deep a gem is usually cut.
type Family uint8

// The two families of gems.
const (
	Coloured Family = iota // cut for weight and colour
	Diamond                // diamond and what imitates it, cut for light
)

// Depth returns the usual total depth of a faceted stone of the family, as a
// share of its size: 0.60 for diamonds, the reference stone of Reinitz, Geurts,
// Gilbertson (GIA), "Weight Ratio within the GIA Diamond Cut Grading System";
// 0.70 for coloured stones.
//
// The latter is derived: the trade weights of round sapphires and emeralds of
// 2 to 8 mm (eastint.com chart), put into the trade's own formula for round
// coloured stones, ct = size^2 * depth * SG * 0.0018 (Dendritics,
// yourgemologist.com), give depths from 0.65 to 0.77 of the size, 0.70 in the
// middle.
func (f Family) Depth() float64 {
	if f == Diamond {
		return 0.60
	}
	return 0.70
}

// String returns "coloured" or "diamond".
func (f Family) String() string {
	if f == Diamond {
		return "diamond"
	}
	return "coloured"
}

// Gem is a kind of stone.
type Gem struct {
	Name      string     // as recipes write it
	Gravity   float64    // specific gravity, g/cm3
	Low, High float64    // the gravities that sources print
	Family    Family     // how deep it is usually cut
	Opaque    bool       // usually a cabochon, not faceted: opal, turquoise, pearl
	Index     float64    // refractive index, for pictures: from memory
	Fire      float64    // spread of the index from red to violet, so too
	Color     color.RGBA // for pictures: our own choice
	Source    string     // of the specific gravity
}

var gems = []Gem{
	{"diamond", 3.52, 3.51, 3.53, Diamond, false, 2.42, 0.044, rgb(238, 243, 248), igs},
	{"moissanite", 3.22, 3.218, 3.22, Diamond, false, 2.65, 0.104, rgb(240, 243, 236), "diffen.com, cubic zirconia vs moissanite"},
	{"cubic-zirconia", 5.80, 5.50, 6.00, Diamond, false, 2.16, 0.060, rgb(242, 242, 246), igs + "; the middle of 5.5 to 6.0"},
	{"ruby", 4.00, 3.97, 4.03, Coloured, false, 1.77, 0.018, rgb(196, 24, 58), igs},
	{"sapphire", 4.00, 3.97, 4.03, Coloured, false, 1.77, 0.018, rgb(36, 74, 168), igs},
	{"emerald", 2.72, 2.66, 2.80, Coloured, false, 1.58, 0.014, rgb(24, 140, 88), igs},
	{"aquamarine", 2.72, 2.66, 2.80, Coloured, false, 1.58, 0.014, rgb(150, 208, 220), igs},
	{"amethyst", 2.65, 2.63, 2.68, Coloured, false, 1.55, 0.013, rgb(132, 82, 176), igs},
	{"citrine", 2.65, 2.63, 2.68, Coloured, false, 1.55, 0.013, rgb(236, 168, 48), igs},
	{"topaz", 3.53, 3.53, 3.56, Coloured, false, 1.62, 0.014, rgb(148, 196, 228), igs},
	{"spinel", 3.60, 3.60, 3.60, Coloured, false, 1.72, 0.020, rgb(208, 72, 104), yourgem},
	{"tourmaline", 3.06, 2.84, 3.10, Coloured, false, 1.63, 0.017, rgb(52, 148, 104), igs},
	{"peridot", 3.34, 3.27, 3.48, Coloured, false, 1.67, 0.020, rgb(160, 196, 56), igs},
	{"tanzanite", 3.35, 3.35, 3.35, Coloured, false, 1.70, 0.021, rgb(76, 72, 164), yourgem},
	{"chrysoberyl", 3.73, 3.73, 3.73, Coloured, false, 1.75, 0.015, rgb(200, 192, 96), yourgem},
	{"garnet-almandine", 4.05, 3.80, 4.20, Coloured, false, 1.79, 0.024, rgb(136, 24, 40), yourgem},
	{"garnet-pyrope", 3.78, 3.65, 3.80, Coloured, false, 1.74, 0.022, rgb(156, 20, 36), yourgem},
	{"garnet-rhodolite", 3.84, 3.80, 3.95, Coloured, false, 1.76, 0.026, rgb(176, 36, 84), yourgem},
	{"garnet-spessartine", 4.16, 4.12, 4.20, Coloured, false, 1.81, 0.027, rgb(232, 112, 32), "cadby.co.uk and amezin.com garnet pages"},
	{"garnet-tsavorite", 3.61, 3.60, 3.70, Coloured, false, 1.74, 0.028, rgb(40, 152, 72), "cadby.co.uk garnet page"},
	{"garnet-demantoid", 3.84, 3.82, 3.85, Coloured, false, 1.89, 0.057, rgb(116, 176, 64), "amezin.com and cadby.co.uk garnet pages"},
	{"zircon", 4.51, 4.32, 4.70, Coloured, false, 1.95, 0.039, rgb(120, 180, 208), yourgem + "; the middle of 4.32 to 4.70"},
	{"opal", 2.15, 1.99, 2.25, Coloured, true, 1.45, 0, rgb(224, 228, 226), igs},
	{"turquoise", 2.76, 2.76, 2.76, Coloured, true, 1.61, 0, rgb(84, 188, 188), yourgem},
	{"lapis-lazuli", 2.75, 2.75, 2.75, Coloured, true, 1.50, 0, rgb(36, 60, 140), yourgem},
	{"coral", 2.65, 2.65, 2.65, Coloured, true, 1.57, 0, rgb(228, 108, 88), yourgem},
	{"pearl", 2.70, 2.70, 2.70, Coloured, true, 1.60, 0, rgb(240, 232, 220), yourgem},
}

// Carat is one metric carat in g, by definition.
const Carat = 0.2

// Carats returns the weight in ct of a volume in mm3.
func (g Gem) Carats(mm3 float64) float64 { return mm3 * g.Gravity / 1000 / Carat }

// Spread returns by how much sizes of calibrated stones of the gem differ from
// the nominal one, in mm either way (ifun3d.com, stone-in-place casting
// workflow: cubic zirconia 0.02, natural stones 0.05).
func (g Gem) Spread() float64 {
	if g.Name == "cubic-zirconia" {
		return 0.02
	}
	return 0.05
}

// Title is the name as a bench or a buyer writes it: "rhodolite garnet".
func (g Gem) Title() string {
	if kind, ok := strings.CutPrefix(g.Name, "garnet-"); ok {
		return kind + " garnet"
	}
	return strings.ReplaceAll(g.Name, "-", " ")
}

// Faceted says whether the gem is ever cut with facets: all are but pearls, which
// are set as they have grown.
func (g Gem) Faceted() bool { return g.Name != "pearl" }

// GemNames returns the names of all gems, in the order of the table.
func GemNames() []string { return names(gems, func(g Gem) string { return g.Name }) }

// GemNamed returns the gem of that name.
func GemNamed(name string) (Gem, bool) {
	return named(gems, name, func(g Gem) string { return g.Name })
}
