package piece

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/layout"
	"waxwright/solids/stock"
	"waxwright/solids/stone"
)

// Stones is a group of equal stones and where they sit. Stones are never
// metal: they reach it only as seats, through what holds them. No two of a lot
// are the same (see lot.go): all that is derived from a group takes the worst
// of them, and only pictures and weights the one it is called by.
type Stones struct {
	lang.Head
	Layout string
	Cut    string
	Gem    string
	Size   float64
	lot
	Count  int
	Gap    float64
	Radius float64
	Of     lang.Ref
	On     lang.Ref
	Snap   string
	Points []float64
	Spot
	Turn, Lean, Lift float64
	Depth            float64

	gem    stock.Gem
	middle vec.P2      // of the layout
	places []vec.Place // from a stone's frame to the design's
}

// Describe says what a stones block may hold.
func (b *Stones) Describe(d *lang.Desc) {
	d.About("a group of equal stones and where they sit",
		"Stones are numbered from 1: in a ring clockwise from its first, seen from the front, points as they are listed.")
	d.Kind(&b.Layout, "layout", "how they lie; inside: one stone in the middle of a ring", "one", "ring", "inside", "points")
	d.Choice(&b.Cut, "cut", "how they are cut", stone.Names()...).Default(`"round"`).Called("shape", "type")
	d.Choice(&b.Gem, "gem", "what they are", stock.GemNames()...).Called("stone", "material")
	d.Length(&b.Size, "size", "across the girdle").In("one", "ring", "points").Range(0.5, 40).Called("diameter", "width", "across")
	b.lot.describe(d)
	d.Count(&b.Count, "count", "how many").In("ring").Range(3, 400).Called("number")
	d.Length(&b.Gap, "gap", "air between neighbours, the largest of the lot").In("ring").Range(-5, 100).Default("0.2")
	d.Length(&b.Radius, "radius", "from the middle of the ring to the middle of a stone").In("ring").Range(0.5, 200)
	d.Tie(
		lang.Solve{Word: "radius", Formula: "(size + tolerance + gap) / (2 * sin(180 / count))"},
		lang.Solve{Word: "gap", Formula: "2 * radius * sin(180 / count) - size - tolerance"},
		lang.Solve{Word: "size", Formula: "2 * radius * sin(180 / count) - gap - tolerance"},
		lang.Solve{Word: "count", Formula: "the most that leave the gap", Func: b.mostInRing},
	).In("ring")
	d.Ref(&b.Of, "of", "the ring that they lie in", "stones").In("inside")
	d.Length(&b.Gap, "gap", "least air to the stones of that ring, the largest of both lots").In("inside").Range(0, 50).Default("0.2")
	d.Choice(&b.Snap, "snap", "stock: the next smaller size that is sold", "stock", "none").Default(`"none"`)
	d.Lengths(&b.Points, "points", "places from the middle: right, up, right, up ...", 0).In("points").Range(-300, 300)
	d.Ref(&b.On, "on", "the plate whose middle is theirs", "plate").Optional()
	b.Spot.describe(d, "one", "ring", "points")
	d.Angle(&b.Turn, "turn", "bearing of the first stone").In("ring").Default("0")
	d.Angle(&b.Lean, "lean", "how far each leans outwards").In("ring").Range(-60, 60).Default("0")
	d.Length(&b.Lift, "lift", "height of the girdle's underside above the face").Range(-5, 20).Default("0")
	d.Number(&b.Depth, "depth", "%", "total depth as a share of the size; without it, as the gem is usually cut").Range(leastDepth, mostDepth).Optional()

	d.Gives("size", "mm", "across the girdle")
	d.Gives("radius", "mm", "from the middle of the ring to the middle of a stone")
	d.Gives("gap", "mm", "air between the largest neighbours")
	d.Gives("largest", "mm", "across the girdle of the largest of the lot")
	d.Gives("smallest", "mm", "across the girdle of the smallest of the lot")
	d.Gives("deepest", "mm", "from the girdle's underside down to the culet, of the deepest of the lot")
	d.Gives("reach", "mm", "from the middle to the farthest girdle")
	d.Gives("depth", "%", "total depth as a share of the size")
	d.Gives("crown", "mm", "from the girdle's underside up to the table, or the top of the dome")
	d.Gives("deep", "mm", "from the girdle's underside down to the culet")
	d.Gives("carats", "ct", "weight of one stone")
	d.Later("weight", "g", "weight of all")
}

// leastDepth and mostDepth bound the total depth of a stone as a share of its size, %:
// beyond any that is sold (common practice, no source).
const leastDepth, mostDepth = 20, 90

// mostInRing finds the count of a ring from the rest: the most stones that
// leave at least the gap between neighbours.
func (b *Stones) mostInRing(get func(string) float64) (float64, error) {
	chord := get("size") + b.Tolerance + get("gap")
	r := get("radius")
	if !(chord > 0 && chord < 2*r) {
		return 0, fmt.Errorf("a ring of radius %.4g has no room for stones %.4g apart", r, chord)
	}
	n := math.Floor(math.Pi/math.Asin(chord/(2*r)) + 1e-9) // a count that fits exactly stays
	return n, nil
}

// Derive cuts the stones and puts them in their places.
func (b *Stones) Derive(s *lang.Scope) {
	b.Spot.check(s)
	if b.On.Given() {
		b.middle = lang.Get[*Plate](s, b.On).middle
	}
	b.middle = b.Spot.from(b.middle)
	b.gem, _ = stock.GemNamed(b.Gem)

	if b.Layout == "inside" && !b.inside(s) {
		return
	}
	if b.Layout != "inside" && b.Snap == "stock" && !b.snap(s) {
		return
	}
	if !b.lot.derive(s, b) {
		return
	}
	switch b.Layout {
	case "one", "inside":
		b.places = []vec.Place{vec.Shift(b.middle.At(b.Lift))}
	case "ring":
		if b.Gap <= -b.Size/2 {
			s.Fault("gap", "the stones overlap by more than half", "make count or size smaller, or radius greater")
			return
		}
		spots, err := layout.Ring{Count: b.Count, Radius: b.Radius, Phase: radians(b.Turn), Lean: radians(b.Lean)}.Spots()
		if err != nil {
			s.Fault("count", err.Error(), "change the number that it names")
			return
		}
		to := vec.Shift(b.middle.At(b.Lift))
		for _, p := range spots {
			b.places = append(b.places, to.After(p.At))
		}
	case "points":
		if len(b.Points) == 0 || len(b.Points)%2 != 0 {
			s.Fault("points", fmt.Sprintf("%d numbers are no list of places", len(b.Points)), "give two numbers a place: right, up")
			return
		}
		if len(b.Points) > 2*most {
			s.Fault("points", fmt.Sprintf("%d places are more than a piece may have", len(b.Points)/2), fmt.Sprintf("give at most %d", most))
			return
		}
		for i := 0; i < len(b.Points); i += 2 {
			at := b.middle.Add(vec.P2{X: b.Points[i], Y: b.Points[i+1]})
			b.places = append(b.places, vec.Shift(at.At(b.Lift)))
		}
	}
	b.give(s)
}

// inside finds the size of a stone in the middle of a ring.
func (b *Stones) inside(s *lang.Scope) bool {
	ring := lang.Get[*Stones](s, b.Of)
	if ring.Layout != "ring" {
		s.Fault("of", b.Of.Address+" is no ring of stones", `name stones with layout = "ring"`)
		return false
	}
	b.middle = ring.middle
	b.Size = 2*(ring.Radius-ring.Largest()/2-b.Gap) - b.Tolerance
	how := "2 (of.radius - of.largest / 2 - gap) - tolerance"
	if b.Size < 0.5 {
		s.Fault("gap", fmt.Sprintf("the ring leaves a stone of %.2f mm", b.Size), "make gap smaller, or radius of "+b.Of.Address+" greater")
		return false
	}
	if b.Snap == "stock" {
		size, ok := stock.SizeBelow(b.Cut, b.Size)
		if !ok {
			s.Fault("snap", fmt.Sprintf("no stone of %.2f mm or less is sold in this cut", b.Size), `write snap = "none"`)
			return false
		}
		b.Size = size
		how += ", the next smaller size that is sold"
	}
	s.Give("size", b.Size, how)
	return true
}

// snap makes the size the next smaller one that is sold. In a ring the gap
// stays and the radius follows, but a radius that the recipe gives stays.
func (b *Stones) snap(s *lang.Scope) bool {
	size, ok := stock.SizeBelow(b.Cut, b.Size)
	if !ok {
		s.Fault("snap", fmt.Sprintf("no stone of %.2f mm or less is sold in this cut", b.Size), `write snap = "none"`)
		return false
	}
	if size == b.Size {
		return true
	}
	b.Size = size
	s.Give("size", size, "the next smaller size that is sold")
	if b.Layout != "ring" {
		return true
	}
	half := math.Sin(math.Pi / float64(b.Count))
	if s.Given("radius") {
		b.Gap = 2*b.Radius*half - size - b.Tolerance
		s.Give("gap", b.Gap, "2 radius sin(180 / count) - size - tolerance, for stones that are sold")
	} else {
		b.Radius = (size + b.Tolerance + b.Gap) / (2 * half)
		s.Give("radius", b.Radius, "(size + tolerance + gap) / (2 sin(180 / count)), for stones that are sold")
	}
	return true
}

// share is the total depth as a share of the size: as given, else as the gem
// is usually cut; a cabochon has its cut's own.
func (b *Stones) share() float64 {
	switch {
	case b.Depth > 0:
		return b.Depth / 100
	case b.Cut == "round":
		return b.gem.Family.Depth()
	}
	return 0
}

func (b *Stones) give(s *lang.Scope) {
	far := 0.0
	for _, p := range b.places {
		far = max(far, p.O.XY().Sub(b.middle).Len())
	}
	if b.Layout == "ring" {
		s.Give("reach", far+b.Largest()/2, "radius + largest / 2")
	} else {
		s.Give("reach", far+b.Largest()/2, "the farthest middle + largest / 2")
	}
	if len(b.Measured) > 0 {
		s.Give("depth", 100*(b.cut.Top()+b.cut.Deep())/b.across, "as measured")
	} else if b.Depth == 0 {
		how := "as the cut usually is"
		if b.Cut == "round" {
			how = "as " + b.gem.Family.String() + " stones are usually cut"
		}
		s.Give("depth", 100*(b.cut.Top()+b.cut.Deep())/b.Size, how)
	}
	s.Give("crown", b.cut.Top(), "as the stone is cut")
	s.Give("deep", b.cut.Deep(), "as the stone is cut")
	s.Give("carats", b.gem.Carats(b.cut.Volume()), "volume * specific gravity / 200")
}
