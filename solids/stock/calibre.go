package stock

import (
	"math"
	"slices"
)

// Calibre is a size in which a cut is sold, in mm. Round stones have equal
// Long and Wide.
type Calibre struct {
	Long, Wide float64
	Source     string
}

const melee = "rock2polish.com round size chart"

// calibres are the sizes by cut, each cut's from small to large.
var calibres = []struct {
	cut   string
	sizes []Calibre
}{
	{"round", slices.Concat(
		rounds(melee, 1, 1.1, 1.2, 1.25, 1.3, 1.5, 1.75),
		rounds(eastint, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6, 6.5, 7, 7.5, 8),
		rounds(Common, 9, 10, 11, 12, 14, 16))},
	{"cabochon", rounds(Common, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 15, 16, 18, 20)},
	{"oval", byTwo(eastint, 5, 3, 6, 4, 7, 5, 8, 6, 9, 7, 10, 8, 11, 9, 12, 10)},
	{"emerald", byTwo(eastint, 5, 3, 6, 4, 7, 5, 8, 6, 9, 7, 10, 8, 11, 9, 12, 10)},
	{"princess", byTwo(eastint, 2, 2, 3, 3, 4, 4, 5, 5)},
	{"marquise", byTwo(eastint, 4, 2, 4.5, 2.5, 5, 2.5, 5, 3, 6, 3, 7, 3.5, 8, 4, 9, 4.5, 10, 5, 12, 6)},
}

// Calibres returns the sizes in which a cut is sold, from small to large; none
// for a cut that has none.
func Calibres(cut string) []Calibre {
	for _, c := range calibres {
		if c.cut == cut {
			return slices.Clone(c.sizes)
		}
	}
	return nil
}

// fits is how much in mm a calibre may exceed the room that was worked out for
// it and still be said to fit: far above the roundings of such a sum, a
// hundredth of the finest tolerance of cut stones (0.02 mm).
const fits = 2e-4

// SizeBelow returns the largest size of a round cut, in mm, that is sold and
// not above the given one. ok is false where there is none.
func SizeBelow(cut string, size float64) (best float64, ok bool) {
	for _, c := range Calibres(cut) {
		if c.Long == c.Wide && c.Long <= size+fits {
			best, ok = c.Long, true
		}
	}
	return best, ok
}

// SizeNear returns the size of a round cut that is sold and nearest to the
// given one, in mm, the smaller of two equally near. ok is false where the cut
// is not sold in round sizes.
func SizeNear(cut string, size float64) (best float64, ok bool) {
	for _, c := range Calibres(cut) {
		if c.Long == c.Wide && (!ok || math.Abs(c.Long-size) < math.Abs(best-size)) {
			best, ok = c.Long, true
		}
	}
	return best, ok
}

// Commercial returns by how much stones that are not calibrated differ from
// their nominal size, in mm either way: 0.1 under 1 ct, 0.2 from there
// (International Gem Society, standard gem sizes chart).
func Commercial(carats float64) float64 {
	if carats < 1 {
		return 0.1
	}
	return 0.2
}

func rounds(source string, sizes ...float64) []Calibre {
	all := make([]Calibre, len(sizes))
	for i, s := range sizes {
		all[i] = Calibre{s, s, source}
	}
	return all
}

func byTwo(source string, longWide ...float64) []Calibre {
	var all []Calibre
	for i := 0; i < len(longWide); i += 2 {
		all = append(all, Calibre{longWide[i], longWide[i+1], source})
	}
	return all
}
