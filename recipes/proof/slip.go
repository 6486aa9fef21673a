package proof

import (
	"fmt"
	"strconv"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
	"waxwright/solids/stone"
)

// slip is the check of slips.
const slip = "slip"

// usual is the range in mm in which a word of a kind of block lies at a bench.
type usual struct {
	kind, word string
	low, high  float64 // low 0: however small
	source     string
}

// usuals are the words of which a number can be told to be a slip: those with a
// range that is narrow against what a recipe may say, and that no other check
// keeps on that side. To add one, add its line.
var usuals = []usual{
	{"plate", "across", 0, 50, stock.Common},
	{"plate", "height", 0, 50, stock.Common},
	{"plate", "thickness", 0.8, 2, "misterjewel.com, technical tips for casting: from 0.8; up to 2: " + stock.Common},
	{"bezel", "wall", 0.4, 1, "putaringonit.co, structurally sound ring design: from 0.4; up to 1: " + stock.Common},
	{"bezel", "clearance", 0, 0.12, "ifun3d.com, stone-in-place casting workflow: seats wider than their stones by 0.05 to 0.12"},
	{"bezel", "lip", 0.4, 1.2, stock.Common + "; over a cabochon a third of its height: maryanndejongjewelry.store"},
	{"prongs", "over", 0, 0.6, stock.Common},
	{"gallery", "thickness", 0.6, 1.5, stock.Common},
	{"gallery", "rim", 0.6, 2, stock.Common},
	{"gallery", "pillar", 0.6, 2.4, stock.Common},
	{"gallery", "bar", 0.6, 2.4, stock.Common},
	{"gallery", "clearance", 0, 1, stock.Common + "; Stuller, best practices: culet to finger 0.5"},
	{"bail", "wire", 0.8, 1.6, "wholesale-findings.co.uk jump ring size guide: 0.8 to 1.6"},
	{"bail", "bore", 2.5, 8, "wholesale-findings.co.uk jump ring size guide: 3 to 8"},
	{"link", "bore", 2.4, 8, "wholesale-findings.co.uk jump ring size guide: 3 to 8; commonest 2.4: Fire Mountain Gems"},
	{"stones", "tolerance", 0, 0.2, "International Gem Society, standard gem sizes chart: 0.1, from 1 ct on 0.2"},
}

// slipped is from how many times its usual range on a number is taken for a slip
// of the decimal point: less is unusual, but may be meant (common practice, no
// source).
const slipped = 4

// off says whether a number lies so far outside of the range that it is a slip,
// and which end of the range it has passed.
func (u usual) off(v float64) (end float64, off bool) {
	switch {
	case v >= slipped*u.high:
		return u.high, true
	case v > 0 && v <= u.low/slipped:
		return u.low, true
	}
	return 0, false
}

// meant is the number of the range from which v differs by one place of the
// decimal point.
func (u usual) meant(v float64) (float64, bool) { return lang.Tenfold(v, u.low, u.high) }

// String writes the range.
func (u usual) String() string {
	if u.low == 0 {
		return fmt.Sprintf("up to %g mm", u.high)
	}
	return fmt.Sprintf("%g to %g mm", u.low, u.high)
}

// slips asks of the numbers that are written or set, and of what formulas make of
// them, whether the decimal point has slipped. A default that follows from a slip is
// not blamed for it.
func (b *bench) slips() error {
	for _, block := range b.piece.Recipe.Blocks() {
		h := lang.HeadOf(block)
		for _, f := range b.piece.Recipe.Facts(h.Address) {
			u, ok := usualOf(h.Kind, f.Word)
			if !ok || f.Origin != lang.Literal && f.Origin != lang.Formula && f.Origin != lang.Set {
				continue
			}
			v, err := f.Value.Number()
			if err != nil {
				continue
			}
			end, off := u.off(v)
			if !off {
				continue
			}
			r := Remark{Part: h.Address, Address: h.Address, Span: h.Span, Figure: v, Limit: end, Unit: "mm", Source: u.source}
			r.Says = fmt.Sprintf("%s %g mm is far from what benches use, %s", f.Word, v, u)
			if m, ok := u.meant(v); ok {
				r.Meant = strconv.FormatFloat(m, 'f', -1, 64)
				r.Says += fmt.Sprintf("; probably %s is meant", r.Meant)
			}
			r.Why = "a decimal point that has slipped is cast as it stands"
			b.add(r, Caution, Metal, slip, f.Word)
		}
	}
	return nil
}

func usualOf(kind, word string) (usual, bool) {
	for _, u := range usuals {
		if u.kind == kind && u.word == word {
			return u, true
		}
	}
	return usual{}, false
}

// cuts asks whether stones are cut as their gem never is.
func (b *bench) cuts() error {
	for _, g := range lang.All[*piece.Stones](b.piece.Recipe) {
		if gem, _ := stock.GemNamed(g.Gem); gem.Faceted() || !stone.Faceted(g.Cut) {
			continue
		}
		b.add(Remark{
			Part: g.Address, Address: g.Address, Span: g.Span, Source: stock.Common,
			Says: fmt.Sprintf("a %s is not faceted, and cut %q is; the nearest is %q", g.Gem, g.Cut, "cabochon"),
			Why:  "seat, weight and setting are made for a stone with a pointed back",
		}, Caution, Stones, "cut", "cut")
	}
	return nil
}
