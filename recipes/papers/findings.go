package papers

import (
	"fmt"
	"math"
	"strings"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// Finding is a component beside the castings, or work with one: wire, a link, a
// solder joint, a bought part.
type Finding struct {
	Kind     string  `json:"kind"` // "wire", "link", "joint", "bought"
	What     string  `json:"what"`
	Quantity int     `json:"quantity"`
	Wire     float64 `json:"wire,omitempty"`   // diameter, mm; of a back that of the post it goes on
	Gauge    string  `json:"gauge,omitempty"`  // nearest AWG
	Inside   float64 `json:"inside,omitempty"` // diameter of a link's bore, mm
	Length   float64 `json:"length,omitempty"` // of one, mm
	Note     string  `json:"note,omitempty"`
	Part     string  `json:"part"` // address
}

func (f Finding) named() named { return named{f.What, f.Part} }
func (f Finding) kind() string {
	return fmt.Sprint(f.named().stem(), f.Kind, f.Wire, f.Inside, f.Length, f.Note)
}

// gauge names the AWG gauge of a wire, exactly or the nearest.
func gauge(mm float64) string {
	n, err := stock.AWGOf(mm)
	if err != nil {
		return ""
	}
	whole := math.Round(n)
	d, err := stock.AWG(whole)
	if err != nil {
		return ""
	}
	if math.Abs(d-mm) < 0.005 { // as exact as diameters are written
		return fmt.Sprintf("AWG %g", whole)
	}
	return fmt.Sprintf("near AWG %g (%.2f)", whole, d)
}

// findings lists what the recipe asks for beside castings, for one ear or two.
func findings(p *piece.Piece, ears int) []Finding {
	all := []Finding{}
	closing := " and solder it"
	if len(lang.All[*piece.Stones](p.Recipe)) > 0 {
		closing += " before the stones are set, or weld it"
	}
	for _, b := range p.Recipe.Blocks() {
		h := lang.HeadOf(b)
		switch b := b.(type) {
		case *piece.Post:
			all = append(all,
				Finding{Kind: "wire", What: "post " + h.Name, Quantity: ears, Wire: b.Wire, Gauge: gauge(b.Wire), Length: b.Length, Part: h.Address,
					Note: "is cast on; this is the wire for one that is soldered on instead, which is harder and smoother"},
				Finding{Kind: "bought", What: "ear back for post " + h.Name, Quantity: ears, Wire: b.Wire, Part: h.Address,
					Note: "its hole 0.05 to 0.10 mm over the post (common practice, no source); not in weight or model"})
		case *piece.Link:
			all = append(all,
				Finding{Kind: "link", What: "link " + h.Name, Quantity: ears, Wire: b.Wire, Gauge: gauge(b.Wire), Inside: b.Bore, Length: math.Pi * (b.Bore + b.Wire), Part: h.Address,
					Note: "is cast closed; or bend it of wire of this length, along its middle"},
				Finding{Kind: "joint", What: "close link " + h.Name, Quantity: ears, Part: h.Address,
					Note: "saw it open, hang it into " + spelt(b.HangsFrom.Address) + hungIn(p.Recipe, h.Address) + closing})
		case *piece.Bail:
			all = append(all, Finding{Kind: "bought", What: "chain through bail " + h.Name, Quantity: 1, Part: h.Address,
				Note: fmt.Sprintf("its end has to pass a bore of %.2f mm; not in weight or model", b.Bore)})
		}
	}
	return all
}

// spelt is an address as a sheet writes it: "plate leaf".
func spelt(address string) string { return strings.Replace(address, ".", " ", 1) }

// hungIn says which plates have to hang in a link before it is closed: what hangs from it
// and is no link, which is hung in when it is closed itself; "" for none.
func hungIn(file *lang.File, link string) string {
	var all []string
	for _, p := range lang.All[*piece.Plate](file) {
		if p.HangsFrom.Address == link {
			all = append(all, spelt(p.Address))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return ", hang " + strings.Join(all, " and ") + " into it"
}

func (p *Papers) findingsSheet(*Art) sheet {
	s := sheet{name: "findings", title: "Findings"}
	if len(p.Findings) == 0 {
		s.blocks = append(s.blocks, para{text: "The piece needs no wire, no links, no solder and no bought parts."})
		return s
	}
	s.blocks = append(s.blocks, para{text: "For " + p.off() + ": what is needed beside the castings, and what is joined."})
	for _, k := range []struct{ kind, title string }{
		{"wire", "Wire"}, {"link", "Links"}, {"joint", "Solder joints"}, {"bought", "Bought parts"},
	} {
		t := table{cols: []column{{"", left}, {"off", right}, {"wire, mm", right}, {"gauge", left}, {"inside, mm", right}, {"length, mm", right}, {"", note}}}
		for _, g := range alike(p.Findings) {
			f, off := g[0], 0
			for _, each := range g {
				off += each.Quantity
			}
			if f.Kind == k.kind {
				t.row(inOne(g), fmt.Sprint(off), mm(f.Wire), f.Gauge, mm(f.Inside), mm(f.Length), f.Note)
			}
		}
		if len(t.rows) > 0 {
			s.blocks = append(s.blocks, heading{k.title}, t.filled())
		}
	}
	return s
}

// mm writes a length, nothing for none.
func mm(v float64) string {
	if v == 0 {
		return ""
	}
	return fmt.Sprintf("%.2f", v)
}
