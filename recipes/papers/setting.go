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
	"waxwright/solids/stock"
)

// Setting is how the stones of a group are held. Heights are from the face of
// the plate, along the stone's own axis, mm.
type Setting struct {
	Group  string  `json:"group"`
	Count  int     `json:"count"`  // in one piece
	Kind   string  `json:"kind"`   // "bezel", "prongs: 4 a stone"
	Girdle float64 `json:"girdle"` // of the girdle's underside over the face
	Table  float64 `json:"table"`  // over the face
	Culet  float64 `json:"culet"`  // of the deepest, under the face; negative over it
	Seat   float64 `json:"seat"`   // from the top of what holds, to set, down to the girdle's underside; 0: nothing holds
	Lean   float64 `json:"lean"`   // degrees outwards

	first int // bezels before prongs
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
		s := Setting{
			Group: g.Name, Count: len(g.Places()), first: 1, Lean: g.Lean,
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
					s.first = 0
					s.Seat = max(s.Seat, g.Worst().GirdleTop()+b.Lip)
				case *piece.Prongs:
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

// order is the order of setting: what is burnished before what is folded, for
// it takes the most force; in a group each stone and then its opposite, so that
// nothing creeps round (common practice, no source).
func order(p *piece.Piece) []Place {
	all := []Place{}
	groups := settings(p)
	slices.SortStableFunc(groups, func(a, b Setting) int { return cmp.Compare(a.first, b.first) })
	for _, g := range groups {
		b, _ := lang.Find[*piece.Stones](p.Recipe, "stones."+g.Group)
		at := bearings(b)
		half := (g.Count + 1) / 2
		for i := range half {
			all = append(all, Place{g.Group, i + 1, at[i]})
			if i+half < g.Count {
				all = append(all, Place{g.Group, i + half + 1, at[i+half]})
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
	s.blocks = append(s.blocks, figures{[]figure{{art: art.Map, caption: "Stones by number, clockwise from the top, seen from the front"}}})
	t := table{cols: []column{{"lot", left}, {"stones", right}, {"held by", left}, {"seat", right}, {"girdle", right}, {"table", right}, {"culet", right}}}
	for _, g := range p.Settings {
		t.row(g.Group, fmt.Sprint(g.Count), g.Kind, fmt.Sprintf("%.2f", g.Seat), over(g.Girdle), over(g.Table), over(-g.Culet))
	}
	s.blocks = append(s.blocks, t, para{quiet: true, text: "mm. Seat: from the top of what holds, as cast, down to the underside of the girdle. Girdle (its underside), table and culet (of the deepest stone): over the face of the plate, minus under it. " +
		"Prongs are cast straight and bezels open; seats are cast for the largest stone: cut them to the stone in hand."})
	s.blocks = append(s.blocks, heading{"Order"}, para{quiet: true, text: "Bezels before prongs, for they take the most force; in a lot each stone and then its opposite, so that nothing creeps round (" + stock.Common + "). Try every stone in its seat before the first is closed."})
	if len(p.Order) <= listed {
		s.blocks = append(s.blocks, p.ticks())
	} else {
		s.blocks = append(s.blocks, para{text: p.run()})
	}
	if p.Piece.Ears == 2 {
		s.blocks = append(s.blocks, para{text: p.secondEar()})
	}
	return s
}

// secondEar says how the stones of the second ear lie by those of the first.
func (p *Papers) secondEar() string {
	switch {
	case !p.Piece.Mirrored:
		return "The same for the second ear."
	case len(p.Order) == len(p.Settings): // none has a place in a ring
		return "The second ear mirrors the first."
	case len(p.Order) > listed: // no bearings are given
		return "The second ear mirrors the first: its numbers run the other way round."
	}
	return "The second ear mirrors the first: its numbers run the other way round, and so do its bearings, 360° less those above (75° becomes 285°)."
}

// ticks is a list of the stones with a box to tick for each.
func (p *Papers) ticks() block {
	kinds := map[string]Setting{}
	for _, g := range p.Settings {
		kinds[g.Group] = g
	}
	t := table{cols: []column{{"", right}, {"stone", left}, {"bearing", right}, {"seat", right}, {"girdle", right}, {"table", right}, {"", left}, {"set", tick}}}
	for i, o := range p.Order {
		g := kinds[o.Group]
		bearing := ""
		if g.Count > 1 {
			bearing = fmt.Sprintf("%.0f°", o.Bearing)
		}
		t.row(fmt.Sprint(i+1), name(o, g), bearing, fmt.Sprintf("%.2f", g.Seat), over(g.Girdle), over(g.Table), "", "")
	}
	if len(p.Settings) == len(p.Order) { // none has a place in a ring
		t.cols, t.rows = slices.Delete(t.cols, 2, 3), cut(t.rows, 2)
	}
	return t
}

// over writes a height over the face with its sign, none for the face itself.
func over(mm float64) string {
	if s := fmt.Sprintf("%+.2f", mm); s != "+0.00" && s != "-0.00" {
		return s
	}
	return "0.00"
}

// cut takes the cell i out of every row.
func cut(rows [][]string, i int) [][]string {
	for j := range rows {
		rows[j] = slices.Delete(rows[j], i, i+1)
	}
	return rows
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
