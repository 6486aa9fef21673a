package vary

import (
	"cmp"
	"slices"

	"waxwright/recipes/lang"
	"waxwright/recipes/proof"
)

// word is a word of a kind of block: "prongs", "cover".
type word struct{ kind, name string }

// governs says for each check which words cure its remarks, those first that a
// maker would turn first. The word that a remark names itself comes before all
// of them. A check may have a line of its own for remarks that name a word. To add
// a cure, add a line.
var governs = map[string][]word{
	"wall": {
		{"plate", "thickness"}, {"bezel", "wall"}, {"bezel", "bearing"}, {"gallery", "thickness"}, {"gallery", "rim"},
		{"gallery", "pillar"}, {"gallery", "bar"}, {"prongs", "wire"}, {"stones", "gap"}, {"plate", "edge"},
		{"plate", "rays.depth"}, {"opening", "bearing"}, {"stones", "lift"},
	},
	"gap": {
		{"stones", "gap"}, {"bezel", "wall"}, {"bezel", "clearance"}, {"prongs", "cover"}, {"prongs", "wire"},
		{"bail", "sink"}, {"gallery", "inset"}, {"plate", "gap"}, {"post", "groove"}, {"stones", "size"},
	},
	"eye":             {{"link", "margin"}, {"plate", "across"}, {"plate", "height"}, {"link", "at"}, {"link", "wire"}},
	"wall across":     {{"opening", "across"}, {"opening", "height"}, {"opening", "out"}, {"opening", "corner"}, {"plate", "across"}},
	"wall height":     {{"opening", "height"}, {"opening", "across"}, {"opening", "out"}, {"opening", "corner"}, {"plate", "height"}, {"plate", "across"}},
	"wall rays.depth": {{"plate", "rays.depth"}, {"plate", "thickness"}},
	"wall rays.width": {{"plate", "rays.count"}, {"plate", "rays.width"}, {"plate", "rays.depth"}, {"plate", "rays.from"}},
	"wall gap":        {{"stones", "gap"}, {"opening", "bearing"}, {"stones", "radius"}, {"stones", "count"}, {"stones", "size"}},
	"gap rays.width":  {{"plate", "rays.width"}, {"plate", "rays.depth"}, {"plate", "rays.count"}},
	"gap rays.from": {
		{"plate", "rays.turn"}, {"prongs", "at"}, {"plate", "rays.width"}, {"plate", "rays.count"}, {"plate", "rays.depth"},
		{"stones", "size"},
	},
	slip:             nil, // the number that was meant, see meant
	"cut":            nil, // no number cures it
	"overhang":       {{"plate", "across"}, {"plate", "height"}, {"stones", "out"}, {"stones", "radius"}, {"stones", "size"}},
	"wound":          {{"stones", "gap"}, {"prongs", "cover"}, {"prongs", "wire"}, {"bezel", "wall"}, {"stones", "size"}},
	"spacing":        {{"stones", "gap"}, {"stones", "radius"}, {"stones", "count"}, {"stones", "size"}},
	"hold":           {{"prongs", "count"}, {"prongs", "at"}, {"prongs", "cover"}, {"prongs", "wire"}},
	"cover":          {{"prongs", "cover"}, {"prongs", "wire"}, {"stones", "tolerance"}},
	"metal in stone": {{"stones", "lift"}, {"prongs", "cover"}, {"bezel", "wall"}, {"bezel", "clearance"}, {"stones", "gap"}},
	"way in":         {{"stones", "gap"}, {"stones", "lift"}, {"prongs", "cover"}, {"prongs", "wire"}, {"bezel", "wall"}, {"bezel", "lip"}, {"stones", "size"}},
	"culet":          {{"stones", "lift"}, {"gallery", "clearance"}, {"gallery", "thickness"}, {"plate", "thickness"}},
	"prong":          {{"prongs", "wire"}, {"stones", "size"}},
	"tip":            {{"prongs", "over"}},
	"weight":         {{"plate", "thickness"}, {"gallery", "thickness"}, {"gallery", "rim"}, {"plate", "across"}},
	"post":           {{"post", "wire"}},
	"post length":    {{"post", "length"}},
	"balance":        {{"post", "at"}, {"post", "out"}},
	"link":           {{"link", "wire"}},
	"link bore":      {{"link", "bore"}, {"link", "wire"}, {"link", "margin"}, {"plate", "thickness"}},
	"bail":           {{"bail", "wire"}},
	"bail bore":      {{"bail", "bore"}},
	"bail neck":      {{"bail", "sink"}, {"plate", "corner"}, {"bail", "at"}},
	"bail rim":       {{"opening", "out"}, {"opening", "across"}, {"opening", "height"}, {"opening", "bearing"}, {"stones", "out"}, {"link", "margin"}, {"bail", "at"}},
	"joint":          {{"bail", "sink"}},
	"hang":           {{"bail", "at"}, {"bail", "sink"}, {"link", "bore"}, {"plate", "thickness"}},
	"hang hangs_at":  {{"stones", "out"}, {"opening", "out"}},
	"clash":          {{"link", "bore"}, {"link", "margin"}, {"link", "at"}, {"stones", "out"}},
}

// governing returns the levers for a remark in the order in which they are to be
// tried: those of its own word, then by the table; in each line of the table
// those of the nearest blocks first. What lies too near to something else is
// cured by either of the two before all others. Words that would have to be added
// come last, but for the remark's own.
func (s *search) governing(r proof.Remark) []lever {
	file := s.base.piece.Recipe
	var all []lever
	add := func(address, name string) {
		found := levers(file, s.c.Src, address, name)
		if l, ok := taken(s.base.piece, address, name); ok {
			found = append(found, l)
		}
		for _, l := range found {
			if !slices.ContainsFunc(all, l.is) {
				all = append(all, l)
			}
		}
	}
	if r.Word != "" {
		add(r.Address, r.Word)
	}
	own := len(all)
	near := nearest(file, r.Address)
	words, ok := governs[r.Check+" "+r.Word]
	if !ok {
		words = governs[r.Check]
	}
	turn := func(blocks []lang.Head) {
		for _, w := range words {
			for _, b := range blocks {
				if b.Kind == w.kind {
					add(b.Address, w.name)
				}
			}
		}
	}
	if r.Other != "" {
		both := func(h lang.Head) bool { return h.Address == r.Address || h.Address == r.Other }
		turn(slices.DeleteFunc(slices.Clone(near), func(h lang.Head) bool { return !both(h) }))
	}
	turn(near)
	slices.SortStableFunc(all[own:], func(a, b lever) int {
		if a.added == b.added {
			return 0
		}
		return map[bool]int{true: 1, false: -1}[a.added]
	})
	return all
}

// nearest lists the blocks that have to do with an address, by how many
// references are between: the block itself, those that it names or that name it,
// and so on, else in file order. For an address that is a whole, "piece", it
// lists all blocks.
func nearest(file *lang.File, address string) []lang.Head {
	const most = 3 // two prongs of one plate that hold different stones
	away := map[string]int{address: 0}
	for d := range most {
		for _, n := range file.Names() {
			for _, l := range file.Links(n) {
				for _, e := range [][2]string{{n, l.To.Address}, {l.To.Address, n}} {
					if at, ok := away[e[0]]; ok && at == d {
						if _, ok := away[e[1]]; !ok {
							away[e[1]] = d + 1
						}
					}
				}
			}
		}
	}
	var all []lang.Head
	whole := len(away) == 1
	for _, b := range file.Blocks() {
		h := lang.HeadOf(b)
		if _, ok := away[h.Address]; ok || whole {
			all = append(all, h)
		}
	}
	slices.SortStableFunc(all, func(a, b lang.Head) int { return cmp.Compare(away[a.Address], away[b.Address]) })
	return all
}
