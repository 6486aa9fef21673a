package papers

import (
	"fmt"
	"math"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
	"waxwright/solids/stone"
)

// Lot is the stones of one group as they are ordered.
type Lot struct {
	Group    string     `json:"group"` // "petals"
	Gem      string     `json:"gem"`
	Cut      string     `json:"cut"`
	Goods    string     `json:"goods"`
	Size     float64    `json:"size"`     // mm across the girdle
	Accepted [2]float64 `json:"accepted"` // the smallest and the largest, mm
	Deepest  float64    `json:"deepest"`  // table to culet, mm: deeper ones do not fit
	Needed   int        `json:"needed"`
	Spares   int        `json:"spares"`
	Carats   float64    `json:"carats"`   // of one
	Together float64    `json:"together"` // of those needed, ct
	Gravity  float64    `json:"gravity"`
	Source   string     `json:"source"` // of the specific gravity
}

// SpareShare is how many stones are ordered over those needed, and SpareSize up
// to which size: common practice, no source. Of larger stones none is.
const (
	SpareShare = 0.1
	SpareSize  = 3.0 // mm
)

// spares is how many stones of a size to order over those needed.
func spares(needed int, size float64) int {
	if size > SpareSize {
		return 0
	}
	return int(math.Ceil(SpareShare * float64(needed)))
}

// lots lists the groups of stones, for one ear or two.
func lots(p *piece.Piece, ears int) []Lot {
	all := []Lot{}
	for _, g := range lang.All[*piece.Stones](p.Recipe) {
		gem, _ := stock.GemNamed(g.Gem)
		one, worst := g.Stone(), g.Worst()
		n := len(g.Places()) * ears
		ct := gem.Carats(one.Volume())
		all = append(all, Lot{
			Group: g.Name, Gem: g.Gem, Cut: g.Cut, Goods: g.Goods,
			Size: across(one, g.Size), Accepted: [2]float64{g.Smallest(), g.Largest()},
			Deepest: worst.Top() + worst.Deep(),
			Needed:  n, Spares: spares(n, g.Size),
			Carats: ct, Together: float64(n) * ct,
			Gravity: gem.Gravity, Source: gem.Source,
		})
	}
	return all
}

// across is the size that a stone is called by: of one that is measured, that of
// its girdle.
func across(s stone.Cut, size float64) float64 {
	if size > 0 {
		return size
	}
	return s.Girdle().Bounds().Size().X
}

func (l Lot) accepted() string { return fmt.Sprintf("%.2f to %.2f", l.Accepted[0], l.Accepted[1]) }

// title is the gem as dealers call it.
func (l Lot) title() string {
	gem, _ := stock.GemNamed(l.Gem)
	return gem.Title()
}

// sent is how many stones of the lot are ordered.
func (l Lot) sent() int { return l.Needed + l.Spares }

// stonesSheet is for the dealer: what to send, and nothing of how it is made.
func (p *Papers) stonesSheet(*Art) sheet {
	s := sheet{name: "stones", title: "Stone order"}
	if len(p.Lots) == 0 {
		s.blocks = append(s.blocks, para{text: "The piece has no stones."})
		return s
	}
	t := table{cols: []column{
		{"lot", left}, {"gem", left}, {"cut", left}, {"goods", left}, {"size", right}, {"accepted", right}, {"deepest", right},
		{"needed", right}, {"spares", right}, {"send", right}, {"ct each", right}, {"ct in all", right},
	}}
	needed, more, ct, alike := 0, 0, 0.0, false
	for _, l := range p.Lots {
		all := l.Carats * float64(l.sent())
		t.row(l.Group, l.title(), l.Cut, l.Goods, fmt.Sprintf("%.2f", l.Size), l.accepted(), fmt.Sprintf("%.2f", l.Deepest),
			fmt.Sprint(l.Needed), fmt.Sprint(l.Spares), fmt.Sprint(l.sent()), fmt.Sprintf("%.3f", l.Carats), fmt.Sprintf("%.2f", all))
		needed, more, ct, alike = needed+l.Needed, more+l.Spares, ct+all, alike || l.Needed > 1
	}
	if len(p.Lots) > 1 {
		t.foot = []string{"together", "", "", "", "", "", "", fmt.Sprint(needed), fmt.Sprint(more), fmt.Sprint(needed + more), "", fmt.Sprintf("%.2f", ct)}
	}
	ask := "Please tell of each lot whether it is " + origins(p.Lots) + ", and how it was treated."
	if alike {
		ask = "The stones of a lot are seen together: please match their colour. " + ask
	}
	s.blocks = append(s.blocks,
		para{text: "For " + p.off() + ". Sizes in mm across " + p.either("the girdle", "the base", " or ") + "; deepest is from " + p.either("table to culet", "top to base", ", of a cabochon from ") +
			". Please send only stones of the accepted size, and none that are deeper: they would not fit."},
		t,
		para{text: ask},
		para{text: "Size goes before weight: carats are reckoned from the cut and what such a gem usually weighs, and real stones are cut deeper or flatter.", quiet: true},
		para{text: fmt.Sprintf("Spares: one in ten of lots up to %g mm, of larger stones none (%s).", SpareSize, stock.Common), quiet: true})
	return s
}

// origins is what a dealer is to tell of the stones: pearls are cultured, not grown
// in a laboratory.
func origins(ls []Lot) string {
	pearls := 0
	for _, l := range ls {
		if l.Gem == "pearl" {
			pearls++
		}
	}
	switch pearls {
	case 0:
		return "natural or grown"
	case len(ls):
		return "natural or cultured"
	}
	return "natural, grown or cultured"
}

// off says what the sheets are for: "one piece", "a pair".
func (p *Papers) off() string {
	if p.Piece.Ears == 2 {
		return "one pair"
	}
	return "one piece"
}
