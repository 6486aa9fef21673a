package piece

import (
	"fmt"
	"math"
	"strings"

	"waxwright/recipes/lang"
	"waxwright/solids/stock"
	"waxwright/solids/stone"
)

// lot is what real stones are like: sold by a size, each a little larger or
// smaller, or lying on the bench and measured.
type lot struct {
	Goods     string
	Tolerance float64
	Measured  []float64

	cut    stone.Cut // the stone that the group is called by, or the middle of those measured
	across float64   // its size, mm
	worst  stone.Cut // the largest and deepest
	small  stone.Cut // the smallest
	large  float64   // the size of worst, mm
	least  float64   // the size of small, mm
}

// describe adds the words of the lot.
func (l *lot) describe(d *lang.Desc) {
	d.Choice(&l.Goods, "goods", "how they are sold: calibrated, or commercial, whose sizes differ more", "calibrated", "commercial").Default(`"calibrated"`)
	// 0.05: calibrated natural stones (ifun3d.com, stone-in-place casting
	// workflow); commercial goods: stock.Commercial
	d.Length(&l.Tolerance, "tolerance", "by how much they differ from the size, either way").Range(0, 2).
		Default(`goods == "commercial" ? commercial(size, gem) : 0.05`).
		DefaultIn("inside", `goods == "commercial" ? 0.2 : 0.05`)
	// a place of the decimal point beyond any stone: slipped tells what was meant
	d.Lengths(&l.Measured, "measured", "the stones on the bench: the longest diameter, the shortest, the greatest depth", 3).Range(0.01, 600).Optional()
}

// measuring is far above the roundings of sums of sizes, and a thousandth of
// what a gauge shows.
const measuring = 1e-5

// derive cuts the stones of the lot, and reports a lot that can't be.
func (l *lot) derive(s *lang.Scope, b *Stones) bool {
	share := b.share()
	l.across, l.large, l.least = b.Size, b.Size+l.Tolerance, b.Size-l.Tolerance
	depth := func(float64) float64 { return share }
	how := [2]string{"size + tolerance", "size - tolerance"}
	if m := l.Measured; len(m) > 0 {
		if l.slipped(s, b.Cut, b.Size) {
			return false
		}
		switch {
		case m[0] < m[1]:
			s.Fault("measured", "the longest diameter is less than the shortest", "write [longest, shortest, depth]")
			return false
		case m[0] > l.large+measuring || m[1] < l.least-measuring:
			s.Fault("measured", fmt.Sprintf("stones of %g to %g mm are not those of size and tolerance, %.4g to %.4g", m[1], m[0], l.least, l.large),
				toTake(b.Size, m[1], m[0]))
			return false
		case b.Depth > 0:
			s.Fault("depth", "the depth is given twice, by depth and by measured", "drop depth")
			return false
		}
		l.across, l.large, l.least = (m[0]+m[1])/2, m[0], m[1]
		depth = func(size float64) float64 { return m[2] / size }
		how = [2]string{"as measured", "as measured"}
	}
	if l.least <= 0 {
		s.Fault("tolerance", "the smallest of the lot would be nothing", fmt.Sprintf("make tolerance less than size, %.4g mm", b.Size))
		return false
	}
	for _, c := range []struct {
		to   *stone.Cut
		size float64
	}{{&l.cut, l.across}, {&l.worst, l.large}, {&l.small, l.least}} {
		var err error
		if *c.to, err = stone.New(b.Cut, c.size, depth(c.size)); err != nil {
			s.Fault("size", err.Error(), "change size or depth")
			return false
		}
	}
	s.Give("largest", l.large, how[0])
	s.Give("smallest", l.least, how[1])
	if len(l.Measured) > 0 {
		s.Give("deepest", l.worst.Deep(), "as measured, of the largest")
	} else {
		s.Give("deepest", l.worst.Deep(), "of the largest, as the stone is cut")
	}
	return true
}

// toTake says how a lot takes stones from small to large: by a greater tolerance, or where
// that would be more than commercial goods differ, by another size.
func toTake(size, small, large float64) string {
	need := max(large-size, size-small)
	if need > size/5 {
		return fmt.Sprintf("make size %.4g, or measure them again", (small+large)/2)
	}
	return fmt.Sprintf("make tolerance at least %.2f, or change size", math.Ceil(100*(need-measuring))/100)
}

// slipped reports measures whose decimal point has slipped: a diameter that is no
// stone's of that size, a depth that the cut cannot have, where a place more or less
// makes it one. A slab is thin, but a stone.
func (l *lot) slipped(s *lang.Scope, cut string, size float64) bool {
	var wrong, list []string
	for i, v := range l.Measured {
		low, high := 0.8*size, 1.25*size // more than any lot differs
		can := v >= low && v <= high
		if i == 2 {
			low, high = size*leastDepth/100, size*mostDepth/100
			_, err := stone.New(cut, size, v/size)
			can = err == nil
		}
		if m, ok := lang.Tenfold(v, low, high); ok && !can {
			wrong = append(wrong, fmt.Sprintf("%s %g mm", [...]string{"a longest diameter of", "a shortest diameter of", "a depth of"}[i], v))
			v = m
		}
		list = append(list, fmt.Sprint(v))
	}
	if len(wrong) > 0 {
		s.Fault("measured", fmt.Sprintf("no stone of %.4g mm has %s", size, strings.Join(wrong, " and ")),
			fmt.Sprintf("the decimal point has probably slipped: measured = [%s]", strings.Join(list, ", ")))
	}
	return len(wrong) > 0
}

// slack is how much more the girdle of the largest stone reaches out than that
// of the smallest, mm.
func (l *lot) slack() float64 { return (l.large - l.least) / 2 }

// commercial is by how much a stone of that size and gem that is not
// calibrated differs.
func commercial(args []lang.Value) (float64, error) {
	size, err := args[0].Number()
	if err != nil {
		return 0, err
	}
	name, err := args[1].Text()
	if err != nil {
		return 0, err
	}
	gem, ok := stock.GemNamed(name)
	if !ok {
		return 0, fmt.Errorf("no gem is called %q", name)
	}
	one, err := stone.New("round", size, gem.Family.Depth())
	if err != nil {
		return 0, err
	}
	return stock.Commercial(gem.Carats(one.Volume())), nil
}
