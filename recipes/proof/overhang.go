package proof

import (
	"fmt"
	"slices"
	"strconv"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// overhang is the check of overhangs.
const overhang = "overhang"

// overhangs asks whether stones lie on their plates. A setter takes a stone that hides
// the edge of its plate, if its prongs stand on metal (common practice, no source): it
// fails where a prong stands wholly off the plate, or the seat takes all of the plate's
// face. To be decided is a prong with half of its foot off the plate or more, and a stone
// without prongs of which more lies beside the plate than on it.
func (b *bench) overhangs() error {
	for _, o := range b.piece.Overhangs(inside) {
		r := b.stonesAt(o.Stones, o.Stone.N)
		r.Address, r.Casting, r.At = o.Plate.Address, b.piece.Castings[o.Casting].Name, o.At
		r.Span = o.Plate.Head.Span
		r.Figure, r.Limit, r.Unit, r.Source = o.By, inside, "mm", stock.Common
		r.Says = fmt.Sprintf("the largest stone reaches %.2f mm beyond %s", o.By, o.Plate.Address)
		r.Why = "its edge is open to knocks"
		grade, pronged := Note, b.pronged(o.Stone.Group)
		switch {
		case o.Eaten:
			grade = Fail
			r.Says += " all round"
			r.Why = "its seat takes all of the plate's face: make the plate larger, or the stone smaller. Much else may follow from this"
		case len(o.Off) > 0:
			grade = Fail
			r.Says += "; off the plate: " + instances(o.Off)
			r.Why = "a prong beside the plate holds nothing: make the plate larger, or move the stone inwards. Much else may follow from this"
		case len(o.Half) > 0:
			grade = Caution
			r.Says += "; with half a foot or more off the plate: " + instances(o.Half)
			r.Why = "a prong by the edge of its foot breaks off: make the plate larger, or move the stone inwards"
		case o.Beside:
			grade = Caution
			r.Says += ", and lies wholly beside it"
			r.Why = "nothing of the plate bears it, and its setting is joined on one side, if at all: make the plate larger, or move the stone inwards"
		case o.Share > 0.5 && !pronged:
			grade = Caution
			r.Says += fmt.Sprintf(", with %.0f %% of its edge", 100*o.Share)
			r.Why = "more of the stone lies beside its plate than on it, and its setting is joined on one side alone"
		case pronged:
			r.Why = "its prongs stand on the plate, but its edge is open to knocks"
		}
		b.add(r, grade, Stones, overhang, o.Word())
	}
	return nil
}

// pronged says whether prongs hold the stones of a group.
func (b *bench) pronged(group string) bool {
	return slices.ContainsFunc(lang.All[*piece.Prongs](b.piece.Recipe), func(h *piece.Prongs) bool { return h.Holds.Address == group })
}

// instances names owners, the address once for each run of it: "prongs.claws 1, 2
// and prongs.guards 4".
func instances(all []piece.Owner) string {
	var names []string
	for i, o := range all {
		name := o.String()
		if i > 0 && o.Address == all[i-1].Address {
			name = strconv.Itoa(o.N)
		}
		names = append(names, name)
	}
	return listed(names)
}
