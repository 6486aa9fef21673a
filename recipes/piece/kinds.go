package piece

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"waxwright/recipes/lang"
	"waxwright/solids/stock"
)

// Kinds is the language of the trade: every kind of block, in the order of the
// written reference, and the functions.
func Kinds() lang.Kinds {
	return lang.Kinds{
		Blocks: []lang.Kind{
			{Name: "piece", New: func() lang.Block { return new(Head) }, Title: true},
			{Name: "stones", New: func() lang.Block { return new(Stones) }},
			{Name: "plate", New: func() lang.Block { return new(Plate) }},
			{Name: "opening", New: func() lang.Block { return new(Opening) }},
			{Name: "bezel", New: func() lang.Block { return new(Bezel) }},
			{Name: "prongs", New: func() lang.Block { return new(Prongs) }},
			{Name: "gallery", New: func() lang.Block { return new(Gallery) }},
			{Name: "bail", New: func() lang.Block { return new(Bail) }},
			{Name: "link", New: func() lang.Block { return new(Link) }},
			{Name: "post", New: func() lang.Block { return new(Post) }},
			{Name: "house", New: func() lang.Block { return new(House) }},
			{Name: "accept", New: func() lang.Block { return new(Accept) }, About: Remarkable},
		},
		Funcs: []lang.Func{
			{Name: "gauge", Params: []string{"number"}, Help: "diameter in mm of a wire of that AWG gauge", Call: gauge},
			{Name: "commercial", Params: []string{"size", "gem"}, Help: "by how much round stones of that size differ in mm, either way, if they are not calibrated: 0.1 under 1 ct, 0.2 from there", Call: commercial},
			{Name: "ringsize", Params: []string{"system", "size"}, Help: ringHelp(), Call: ringSize},
		},
	}
}

func gauge(args []lang.Value) (float64, error) {
	n, err := args[0].Number()
	if err != nil {
		return 0, err
	}
	return stock.AWG(n)
}

// ringSize takes a size as a number, 7.5, or in quotes, "7 1/2" or "L½".
func ringSize(args []lang.Value) (float64, error) {
	system, err := args[0].Text()
	size := args[1].String()
	if text, e := args[1].Text(); e == nil {
		size = text
	} else if _, e := args[1].Number(); e != nil {
		err = errors.Join(err, fmt.Errorf("%s is no ring size: give a number, or a word in quotes", size))
	}
	if err != nil {
		return 0, err
	}
	return stock.RingSize(system, size)
}

// ringHelp names the systems of ring sizes.
func ringHelp() string {
	var systems []string
	for _, s := range stock.RingScales() {
		systems = append(systems, strconv.Quote(s.Name))
	}
	return "inside diameter in mm of a ring of that size, 7.5 or \"7 1/2\"; systems: " + strings.Join(systems, ", ")
}
