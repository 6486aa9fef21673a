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

// CaratFormula is how stones are weighed, and where it comes from: the volume is
// that of the stone's own facets.
const CaratFormula = "volume of the cut stone in mm3 x specific gravity / 200 (1 ct = 0.2 g by definition; volume from the facets of the cut, checked against GIA's weight-ratio stone)"

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

func (p *Papers) stonesSheet(*Art) sheet {
	t := table{cols: []column{
		{"lot", left}, {"gem", left}, {"cut", left}, {"size", right}, {"accepted", right}, {"deepest", right},
		{"needed", right}, {"spares", right}, {"ct each", right}, {"ct together", right},
	}}
	needed, more, ct := 0, 0, 0.0
	for _, l := range p.Lots {
		t.row(l.Group, l.Gem, l.Cut, fmt.Sprintf("%.2f", l.Size), l.accepted(), fmt.Sprintf("%.2f", l.Deepest),
			fmt.Sprint(l.Needed), fmt.Sprint(l.Spares), fmt.Sprintf("%.3f", l.Carats), fmt.Sprintf("%.2f", l.Together))
		needed, more, ct = needed+l.Needed, more+l.Spares, ct+l.Together
	}
	t.foot = []string{"together", "", "", "", "", "", fmt.Sprint(needed), fmt.Sprint(more), "", fmt.Sprintf("%.2f", ct)}
	s := sheet{name: "stones", title: "Stone order", blocks: []block{
		para{text: fmt.Sprintf("For %s. Sizes in mm across the girdle. Please send only stones of the accepted size; deepest is from table to culet, and deeper ones touch what lies behind them.", p.off())},
	}}
	if len(p.Lots) == 0 {
		s.blocks = append(s.blocks, para{text: "The piece has no stones."})
		return s
	}
	s.blocks = append(s.blocks, t)
	if p.Proof.judged("stones") {
		s.blocks = append(s.blocks, para{text: "The proof judged spacing, seats and hold with the largest, the smallest and the deepest stone of each lot."})
	}
	notes := items{}
	for _, l := range p.Lots {
		for _, r := range p.Proof.of("stones." + l.Group) {
			notes.add(l.Group, fmt.Sprintf("The proof has a %s: %s.", r.Grade, r.Says))
		}
		notes.add(l.Group, fmt.Sprintf("%s, %s goods; specific gravity %.2f: %s.", l.Gem, l.Goods, l.Gravity, l.Source))
	}
	s.blocks = append(s.blocks, heading{"Where the figures come from"}, notes,
		para{text: "Carats: " + CaratFormula + ". Real stones are cut deeper or flatter, and weigh so.", quiet: true},
		para{text: fmt.Sprintf("Spares: one in ten of lots up to %g mm, of larger stones none (%s).", SpareSize, stock.Common), quiet: true})
	return s
}

// off says what the sheets are for: "one piece", "a pair".
func (p *Papers) off() string {
	if p.Piece.Ears == 2 {
		return "one pair"
	}
	return "one piece"
}
