package stock

import "slices"

// PlateSpan is the span in mm from which a plate is PlateLarge: common
// practice, no source.
const PlateSpan = 15.0

// PlateOf returns the role of a plate of that span in mm.
func PlateOf(span float64) Role {
	if span > PlateSpan {
		return PlateLarge
	}
	return PlateSmall
}

// House is what a casting house asks of a piece, and what it does to one. Its
// limits hold for silver and gold, and by common practice for bronze and
// brass; platinum fills worse, and no figures by role were found for it.
type House struct {
	Name       string
	About      string       // in a few words; empty for a house of the maker's own
	Limits     []Limit      // one a role but Prong, those in which the houses differ first
	Prongs     []ProngLimit // from small stones to large
	Shrinkage  Figure       // linear, model to casting, as a share: 0.01 is 1 %
	PolishLoss Figure       // what finishing takes off a thickness, both sides together, mm
}

// ProngLimit is how thin the wire of a prong may be for a stone of that size,
// all in mm; between two sizes straight lines hold.
type ProngLimit struct {
	Stone, Fail, Caution float64
	Source               string
}

// Limit returns the house's limit for a role other than a prong's.
func (h House) Limit(r Role) (Limit, bool) {
	return named(h.Limits, string(r), func(l Limit) string { return string(l.Role) })
}

// Prong returns the house's limit for the wire of a prong that holds a stone
// of that size in mm: straight lines between the rows, the first row's under
// them and the last row's above. A house without rows sets no limit.
func (h House) Prong(size float64) Limit {
	if len(h.Prongs) == 0 {
		return Limit{Role: Prong}
	}
	var fail, caution [][2]float64
	source := ""
	for _, p := range h.Prongs {
		fail = append(fail, [2]float64{p.Stone, p.Fail})
		caution = append(caution, [2]float64{p.Stone, p.Caution})
		if source == "" || p.Stone <= size {
			source = p.Source
		}
	}
	return Limit{Role: Prong, Fail: Figure{along(fail, size), source}, Caution: Figure{along(caution, size), source}}
}

// HouseNames returns the names of the houses, the default first.
func HouseNames() []string { return names(houses, func(h House) string { return h.Name }) }

// AboutHouse says what the house of that name asks, in a few words.
func AboutHouse(name string) string {
	h, _ := HouseNamed(name)
	return h.About
}

// HouseNamed returns the house of that name.
func HouseNamed(name string) (House, bool) {
	h, ok := named(houses, name, func(h House) string { return h.Name })
	if ok { // the caller's own, to override
		h.Limits, h.Prongs = slices.Concat(h.Limits, shared), slices.Clone(h.Prongs)
	}
	return h, ok
}
