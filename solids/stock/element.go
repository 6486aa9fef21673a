package stock

import (
	"fmt"
	"math"
	"slices"
)

// Element is a pure metal that alloys are made of.
type Element struct {
	Name    string
	Density float64 // g/cm3 at 20 C
	Source  string  // of the density
}

var elements = []Element{
	{"gold", 19.32, tmt},
	{"silver", 10.49, tmt},
	{"copper", 8.96, tmt},
	{"platinum", 21.45, platinum},
	{"palladium", 12.02, platinum},
	{"iridium", 22.65, platinum},
	{"ruthenium", 12.45, platinum},
	{"rhodium", 12.41, platinum},
	{"zinc", 7.13, Memory},
	{"cobalt", 8.9, tmt},
}

// Elements returns the pure metals, in the order of the table.
func Elements() []Element { return slices.Clone(elements) }

// ElementNamed returns the pure metal of that name.
func ElementNamed(name string) (Element, bool) {
	return named(elements, name, func(e Element) string { return e.Name })
}

// Part is one element's part by weight in a mix.
type Part struct {
	Element string
	Weight  float64 // g, percent or thousandths: the same unit in the whole mix
}

// Mix is what an alloy is melted from.
type Mix []Part

// Density returns the density of the mix in g/cm3, taking volumes to add up:
// sum(w) / sum(w/rho) (tmtpages.com, approximate specific gravities of alloys).
// Real alloys shrink or swell a little when they form, mostly under 1 %. It
// fails where the mix is empty, an element is not known or a weight is not
// positive.
func (m Mix) Density() (float64, error) {
	var weight, volume float64
	for _, p := range m {
		e, ok := ElementNamed(p.Element)
		if !ok {
			return 0, fmt.Errorf("no element is called %q", p.Element)
		}
		if !(p.Weight > 0) || math.IsInf(p.Weight, 1) {
			return 0, fmt.Errorf("weight %.4g of %s in a mix is not positive", p.Weight, p.Element)
		}
		weight += p.Weight
		volume += p.Weight / e.Density
	}
	if len(m) == 0 {
		return 0, fmt.Errorf("a mix of nothing has no density")
	}
	return weight / volume, nil
}

// named returns the row of that name.
func named[R any](rows []R, name string, of func(R) string) (R, bool) {
	i := slices.IndexFunc(rows, func(r R) bool { return of(r) == name })
	if i < 0 {
		var none R
		return none, false
	}
	return rows[i], true
}

// names returns the names of all rows, in their order.
func names[R any](rows []R, of func(R) string) []string {
	all := make([]string, len(rows))
	for i, r := range rows {
		all[i] = of(r)
	}
	return all
}
