package papers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
	"waxwright/solids/stock"
	"waxwright/solids/stone"
)

// Setting is how the stones of a group are held. Heights are from the face of
// the plate, along the stone's own axis, mm.
type Setting struct {
	Group  string  `json:"group"`
	Layout string  `json:"layout"`          // "ring"
	Count  int     `json:"count"`           // in one piece
	Kind   string  `json:"kind"`            // "bezel", "prongs: 4 a stone"
	Flat   bool    `json:"flat"`            // a cabochon: a flat base, and a dome instead of a table
	Girdle float64 `json:"girdle"`          // of the girdle's underside, or the flat base, over the face
	Table  float64 `json:"table"`           // of the table, or the top of the dome, over the face
	Culet  float64 `json:"culet"`           // of the deepest, or the flat base, under the face; negative over it
	Seat   float64 `json:"seat"`            // from the top of what holds, to set, down to the girdle's underside; 0: nothing holds
	Lean   float64 `json:"lean"`            // degrees outwards
	Spare  string  `json:"spare,omitempty"` // what whoever sets its gem spares it

	bezel, prongs bool    // hold it
	first         float64 // of a ring: the bearing of its number 1, degrees from the top
}

// rank is when a group is set: gems that are to be spared last, before them what
// is burnished before what is folded.
func (s Setting) rank() int {
	rank := 0
	if s.Spare != "" {
		rank += 2
	}
	if !s.bezel {
		rank++
	}
	return rank
}

// Place is one stone in the order of setting.
type Place struct {
	Group string `json:"group"`
	N     int    `json:"n"` // as on the stone map
	// Bearing is where it lies about the middle of its group: degrees from the
	// top, clockwise.
	Bearing float64 `json:"bearing"`
}

// settings finds out how each group is held.
func settings(p *piece.Piece) []Setting {
	all := []Setting{}
	for _, g := range lang.All[*piece.Stones](p.Recipe) {
		one := g.Stone()
		gem, _ := stock.GemNamed(g.Gem)
		s := Setting{
			Group: g.Name, Layout: g.Layout, Count: len(g.Places()), Flat: !stone.Faceted(g.Cut), Lean: g.Lean, Spare: gem.Bench(), first: math.Mod(g.Turn+360, 360),
			Girdle: g.Lift, Table: g.Lift + one.Top(), Culet: g.Deepest() - g.Lift,
		}
		var kinds []string
		for _, b := range p.Recipe.Blocks() {
			h := lang.HeadOf(b)
			for _, l := range p.Recipe.Links(h.Address) {
				if l.Word != "holds" || l.To.Address != g.Address {
					continue
				}
				kinds = append(kinds, holder(b, s.Count))
				switch b := b.(type) {
				case *piece.Bezel:
					s.bezel = true
					s.Seat = max(s.Seat, g.Worst().GirdleTop()+b.Lip)
				case *piece.Prongs:
					s.prongs = true
					s.Seat = max(s.Seat, b.Tip()-g.Lift)
				}
			}
		}
		s.Kind = strings.Join(kinds, "; ")
		if s.Kind == "" {
			s.Kind = "nothing holds it"
		}
		all = append(all, s)
	}
	return all
}

// holder says in words what a block that holds stones is.
func holder(b lang.Block, stones int) string {
	h := lang.HeadOf(b)
	kind, _, _ := strings.Cut(h.Address, ".")
	switch b := b.(type) {
	case *piece.Bezel:
		return fmt.Sprintf("bezel %s, wall %.2f", h.Name, b.Wall)
	case *piece.Prongs:
		n := len(b.Axes())
		if b.Where == "around" && stones > 0 {
			return fmt.Sprintf("prongs %s, %d a stone, wire %.2f", h.Name, n/stones, b.Wire)
		}
		return fmt.Sprintf("prongs %s, %d in the %s, wire %.2f", h.Name, n, b.Where, b.Wire)
	}
	return kind + " " + h.Name
}

// order is the order of setting: groups by their rank, in a ring each stone and
// then its opposite, others as they are numbered (common practice, no source).
func order(p *piece.Piece) []Place {
	all := []Place{}
	groups := settings(p)
	slices.SortStableFunc(groups, func(a, b Setting) int { return cmp.Compare(a.rank(), b.rank()) })
	for _, g := range groups {
		b, _ := lang.Find[*piece.Stones](p.Recipe, "stones."+g.Group)
		at := bearings(b)
		step := 1
		if g.Layout == "ring" {
			step = (g.Count + 1) / 2
		}
		for i := range step {
			for j := i; j < g.Count; j += step {
				all = append(all, Place{g.Group, j + 1, at[j]})
			}
		}
	}
	return all
}

// bearings are where the stones of a group lie about their middle, in degrees.
func bearings(g *piece.Stones) []float64 {
	var middle vec.P2
	for _, p := range g.Places() {
		middle = middle.Add(p.O.XY().Mul(1 / float64(len(g.Places()))))
	}
	var all []float64
	for _, p := range g.Places() {
		d := p.O.XY().Sub(middle)
		deg := math.Atan2(d.X, d.Y) * 180 / math.Pi
		all = append(all, math.Mod(math.Round(deg*10)/10+360, 360)) // to what a sheet shows, 0 and not 360
	}
	return all
}

// listed is up to how many stones the setting sheet has a line for each.
const listed = 80

func (p *Papers) settingSheet(art *Art) sheet {
	s := sheet{name: "setting", title: "Setting sheet"}
	if len(p.Settings) == 0 {
		s.blocks = append(s.blocks, para{text: "The piece has no stones to set."})
		return s
	}
	s.blocks = append(s.blocks, figures{[]figure{{art: art.Map, caption: p.mapCaption()}}}, p.seatTable(), para{quiet: true, text: p.seatText()})
	if spared := p.gemItems(stock.Gem.Bench); len(spared.list) > 0 {
		s.blocks = append(s.blocks, heading{"Delicate stones"}, spared)
	}
	s.blocks = append(s.blocks, heading{"Order"}, para{quiet: true, text: p.orderText()})
	switch boxes := len(p.Order) * p.Piece.Ears; {
	case len(p.Order) > listed:
		s.blocks = append(s.blocks, para{text: p.run()})
	case boxes > 1:
		s.blocks = append(s.blocks, p.ticks())
	}
	if p.Piece.Ears == 2 {
		s.blocks = append(s.blocks, para{text: p.secondEar()})
	}
	return s
}

// has says whether any group of stones is set like that.
func (p *Papers) has(like func(Setting) bool) bool { return slices.ContainsFunc(p.Settings, like) }

func flat(s Setting) bool      { return s.Flat }
func faceted(s Setting) bool   { return !s.Flat }
func bezelled(s Setting) bool  { return s.bezel }
func pronged(s Setting) bool   { return s.prongs }
func leaning(s Setting) bool   { return s.Lean != 0 }
func delicate(s Setting) bool  { return s.Spare != "" }
func sturdy(s Setting) bool    { return s.Spare == "" }
func ringed(s Setting) bool    { return s.Layout == "ring" }
func scattered(s Setting) bool { return s.Layout == "points" && s.Count > 1 }

// either joins the words for faceted stones and for flat ones, of which the piece
// has at least one.
func (p *Papers) either(faced, flatWord, or string) string {
	switch {
	case !p.has(flat):
		return faced
	case !p.has(faceted):
		return flatWord
	}
	return faced + or + flatWord
}

// mapCaption says how stones are numbered.
func (p *Papers) mapCaption() string {
	switch rings, points := p.has(ringed), p.has(scattered); {
	case rings && points:
		return "Stones by number, rings clockwise" + p.begins() + " from the top, seen from the front"
	case rings:
		return "Stones by number, clockwise" + p.begins() + " from the top, seen from the front"
	case points:
		return "Stones by number, seen from the front"
	}
	return "Seen from the front"
}

// begins says how far from the top the numbers of rings begin, nothing where all begin
// there.
func (p *Papers) begins() string {
	var firsts []string
	alike, last := true, 0.0
	for _, s := range p.Settings {
		if !ringed(s) {
			continue
		}
		alike = alike && (firsts == nil || s.first == last)
		firsts, last = append(firsts, fmt.Sprintf("of %s %.4g°", s.Group, s.first)), s.first
	}
	switch {
	case alike && last == 0:
		return ""
	case alike:
		return fmt.Sprintf(", the first %.4g°", last)
	}
	return ", the first " + strings.Join(firsts, ", ")
}

// seatTable lists the lots with their heights.
func (p *Papers) seatTable() table {
	t := table{cols: []column{{"lot", left}, {"stones", right}, {"held by", left}, {"seat", right},
		{p.either("girdle", "base", " or "), right}, {p.either("table", "top", " or "), right}, {"culet", right}, {"lean", right}}}
	for _, g := range p.Settings {
		seat, culet, lean := "", "", ""
		if g.Seat > 0 {
			seat = fmt.Sprintf("%.2f", g.Seat)
		}
		if !g.Flat {
			culet = over(-g.Culet)
		}
		if leaning(g) {
			lean = fmt.Sprintf("%g°", g.Lean)
		}
		t.row(g.Group, fmt.Sprint(g.Count), g.Kind, seat, over(g.Girdle), over(g.Table), culet, lean)
	}
	return t.filled()
}

// seatText explains the heights.
func (p *Papers) seatText() string {
	from := "mm. Seat: from the top of what holds, as cast, down to " + p.either("the underside of the girdle", "the flat base", " or ") + "."
	heights := p.either("girdle (its underside), table and culet (of the deepest stone)", "base and top", "; of a cabochon ") + ": over the face of the plate, minus under it"
	if p.has(leaning) {
		heights += "; along the stone's own axis. Lean: outwards"
	}
	cast := "seats are cast for the largest stone"
	switch {
	case p.has(bezelled) && p.has(pronged):
		cast = "prongs are cast straight and bezels open; " + cast
	case p.has(bezelled):
		cast = "bezels are cast open; " + cast
	case p.has(pronged):
		cast = "prongs are cast straight; " + cast
	}
	if p.has(faceted) {
		cast += ": cut them to the stone in hand"
	}
	return from + " " + proof.Sentence(heights) + " " + proof.Sentence(cast)
}

// orderText says why stones are set in their order.
func (p *Papers) orderText() string {
	var rules []string
	if p.has(bezelled) && p.has(func(s Setting) bool { return !s.bezel }) {
		rules = append(rules, "bezels before prongs, for they take the most force")
	}
	if p.has(delicate) && p.has(sturdy) {
		rules = append(rules, "delicate stones last, so that no tool slips onto them")
	}
	if p.has(ringed) {
		rules = append(rules, "in a ring each stone and then its opposite, so that nothing creeps round")
	}
	first, each := "the first stone", "every stone in its seat before the first is closed"
	if len(p.Order) == 1 {
		first, each = "the stone", "it in its seat before it is closed"
	}
	text := "Solder, pickle and clean before " + first + " is set"
	if len(rules) > 0 {
		text += ". " + strings.TrimSuffix(proof.Sentence(strings.Join(rules, "; ")), ".")
	}
	return text + " (" + stock.Common + "). Try " + each + "."
}

// secondEar says how the stones of the second ear lie by those of the first.
func (p *Papers) secondEar() string {
	switch {
	case !p.Piece.Mirrored:
		return "The same for the second ear."
	case p.has(ringed) && len(p.Order) > listed: // no bearings are given
		return "The second ear mirrors the first: its numbers run the other way round."
	case p.has(ringed):
		return "The second ear mirrors the first: its numbers run the other way round, and so do its degrees, 360° less those above (75° becomes 285°)."
	case p.has(scattered):
		return "The second ear mirrors the first: the stones on the right of the map lie on its left."
	}
	return "The second ear mirrors the first."
}

// ticks is a list of the stones with a box to tick for each, in columns where it
// is long.
func (p *Papers) ticks() block {
	t := table{cols: []column{{"", right}, {"stone", left}, {"from the top", right}}}
	if p.Piece.Ears == 2 {
		t.cols = append(t.cols, column{"first ear", tick}, column{"second ear", tick})
	} else {
		t.cols = append(t.cols, column{"set", tick})
	}
	kinds := map[string]Setting{}
	for _, g := range p.Settings {
		kinds[g.Group] = g
	}
	for i, o := range p.Order {
		g, at := kinds[o.Group], ""
		if ringed(g) {
			at = fmt.Sprintf("%.0f°", o.Bearing)
		}
		row := make([]string, len(t.cols)) // boxes have no words
		copy(row, []string{fmt.Sprint(i + 1), name(o, g), at})
		t.rows = append(t.rows, row)
	}
	return t.filled().side(columnsFor(len(t.rows)))
}

// columnsFor is how many columns a list of so many short rows is set in: chosen by
// eye.
func columnsFor(rows int) int {
	switch {
	case rows <= 6:
		return 1
	case rows <= 24:
		return 2
	}
	return 3
}

// over writes a height over the face with its sign, none for the face itself.
func over(mm float64) string {
	if s := fmt.Sprintf("%+.2f", mm); s != "+0.00" && s != "-0.00" {
		return s
	}
	return "0.00"
}

func name(o Place, g Setting) string {
	if g.Count == 1 {
		return o.Group
	}
	return fmt.Sprintf("%s %d", o.Group, o.N)
}

// run writes the order in one line.
func (p *Papers) run() string {
	var s strings.Builder
	last := ""
	for _, o := range p.Order {
		switch {
		case o.Group != last && last != "":
			s.WriteString("; then " + o.Group + " ")
		case o.Group != last:
			s.WriteString(o.Group + " ")
		default:
			s.WriteString(", ")
		}
		fmt.Fprint(&s, o.N)
		last = o.Group
	}
	return s.String() + "."
}
