package lang_test

import (
	"errors"
	"math"

	"waxwright/recipes/lang"
)

// The toy trade of these tests lays out gardens: a garden (the title), beds,
// rings of plants, hedges and hanging baskets.

var garden = lang.Kinds{
	Blocks: []lang.Kind{
		{Name: "garden", New: func() lang.Block { return new(Garden) }, Title: true},
		{Name: "bed", New: func() lang.Block { return new(Bed) }},
		{Name: "ring", New: func() lang.Block { return new(Ring) }},
		{Name: "hedge", New: func() lang.Block { return new(Hedge) }},
		{Name: "basket", New: func() lang.Block { return new(Basket) }},
		{Name: "leave", New: func() lang.Block { return new(Leave) }, About: []string{"weeds", "moss"}},
	},
	Funcs: []lang.Func{{
		Name: "pot", Params: []string{"number"}, Help: "width of a pot of that number",
		Call: func(a []lang.Value) (float64, error) {
			n, err := a[0].Number()
			if err == nil && n < 1 {
				err = errors.New("pots are numbered from 1")
			}
			return 10 * n, err
		},
	}},
}

type Garden struct {
	lang.Head
	Soil  string
	Slope float64
}

func (g *Garden) Describe(d *lang.Desc) {
	d.About("what the garden is called", "")
	d.Choice(&g.Soil, "soil", "what it grows in", "loam", "sand", "clay").Default(`"loam"`)
	d.Angle(&g.Slope, "slope", "how steep it is").Range(0, 45).Default("0")
}

func (g *Garden) Derive(*lang.Scope) {}

// Leave leaves something as it is.
type Leave struct {
	lang.Head
	Why string
}

func (l *Leave) Describe(d *lang.Desc) {
	d.About("something that is left as it is", "")
	d.Text(&l.Why, "why", "for what reason")
}

func (l *Leave) Derive(*lang.Scope) {}

type Bed struct {
	lang.Head
	Form           string
	Across, Height float64
	Lobes          int
	From           lang.Ref
	Turn           float64
	Sunny          bool
	Raised         bool
	Note           string
	Border         *Border
}

func (b *Bed) Describe(d *lang.Desc) {
	d.About("a bed of earth", "Its middle is at the origin.")
	d.Kind(&b.Form, "form", "outline of the bed", "circle", "oblong", "clover", "copy").Called("kind")
	d.Length(&b.Across, "across", "width").In("circle", "oblong", "clover").Range(1, 200).Called("breadth")
	d.Length(&b.Height, "height", "from bottom to top").In("oblong").Range(1, 250).Default("1.5 * across")
	d.Count(&b.Lobes, "lobes", "leaves of the clover").In("clover").Range(3, 64)
	d.Ref(&b.From, "from", "the bed that it copies", "bed").In("copy")
	d.Angle(&b.Turn, "turn", "where the sun comes from").Default("0")
	d.Or("turn", "sun", &b.Sunny, "where it stands at noon")
	d.Flag(&b.Raised, "raised", "does it stand above the ground").Default("false")
	d.Text(&b.Note, "note", "what to remember").Optional()
	d.Block(&b.Border, "border", "bricks along the edge")
	d.Gives("reach", "mm", "from the middle to the edge")
	d.Later("weight", "kg", "weight of the earth")
}

func (b *Bed) Derive(s *lang.Scope) {
	if b.Form == "copy" {
		s.Give("reach", lang.Get[*Bed](s, b.From).Across/2, "reach of the other")
		return
	}
	if b.Border != nil && b.Border.Width[0] > b.Across/2 {
		s.FaultIn("border", "width", "the bricks cover the bed", "make them smaller")
	}
	if b.Note == "flooded" {
		s.Fault("note", "nothing grows there", "drain it")
	}
	s.Give("reach", b.Across/2, "across / 2")
}

type Border struct {
	Count int
	Width []float64
	Kind  string
}

func (b *Border) Describe(d *lang.Desc) {
	d.About("bricks along the edge", "")
	d.Count(&b.Count, "count", "how many").Range(1, 400)
	d.Lengths(&b.Width, "width", "at the inner end, at the edge", 2).Range(0, 50)
	d.Choice(&b.Kind, "kind", "what they are made of", "clay", "stone").Default(`"clay"`)
}

type Ring struct {
	lang.Head
	In                lang.Ref
	Size, Gap, Radius float64
	Count             int
	Plants            []string
	Ones              []*One
}

func (r *Ring) Describe(d *lang.Desc) {
	d.About("plants in a ring", "")
	d.Ref(&r.In, "in", "where they grow", "bed").Optional()
	d.Length(&r.Size, "size", "across a plant").Range(0.1, 50)
	d.Count(&r.Count, "count", "how many").Range(3, 400).Auto()
	d.Length(&r.Gap, "gap", "air between neighbours").Range(-5, 50).Loose().Default("0.5")
	d.Length(&r.Radius, "radius", "from the middle to a plant").Range(0.1, 500)
	d.Choices(&r.Plants, "plants", "what grows, in turn", "sage", "thyme", "rue").Default(`"sage"`)
	d.Blocks(&r.Ones, "one", "a plant that differs")
	d.Tie(
		lang.Solve{Word: "radius", Formula: "(size + gap) / (2 * sin(180 / count))"},
		lang.Solve{Word: "gap", Formula: "2 * radius * sin(180 / count) - size"},
		lang.Solve{Word: "size", Formula: "2 * radius * sin(180 / count) - gap"},
		lang.Solve{Word: "count", Formula: "180 / asin((size + gap) / (2 * radius))"},
	)
	d.Gives("reach", "mm", "from the middle to the outermost leaf")
}

func (r *Ring) Derive(s *lang.Scope) { s.Give("reach", r.Radius+r.Size/2, "radius + size / 2") }

type One struct {
	lang.Head
	Size float64
}

func (o *One) Describe(d *lang.Desc) {
	d.About("a plant that differs", "")
	d.Length(&o.Size, "size", "across").Range(0.1, 50).Default("2 * count")
}

type Hedge struct {
	lang.Head
	Round  lang.Ref
	Clears []lang.Ref
	Height float64
	Wide   float64
	Long   float64
}

func (h *Hedge) Describe(d *lang.Desc) {
	d.About("a hedge round a bed", "")
	d.Ref(&h.Round, "round", "the bed", "bed")
	d.Refs(&h.Clears, "clears", "the plants it keeps off", "ring").Optional()
	d.Length(&h.Height, "height", "from the ground").Range(0.1, 60).Default("round.reach / 4")
	d.Length(&h.Wide, "wide", "thickness").Range(0.1, 20)
	d.Length(&h.Long, "long", "length of it all").Range(0.1, 5000)
	d.Tie(
		lang.Solve{Word: "wide", Formula: "half of the bench", Func: func(get func(string) float64) (float64, error) {
			if get("long") > 4000 {
				return 0, errors.New("no hedge is as long as that")
			}
			return math.Sqrt(get("long")), nil
		}},
		lang.Solve{Word: "long", Formula: "wide * wide"},
	)
}

func (h *Hedge) Derive(s *lang.Scope) {
	for _, c := range h.Clears {
		if lang.Get[*Ring](s, c).Radius > 400 {
			s.Fault("clears", c.Address+" is too wide", "make it smaller")
		}
	}
}

type Basket struct {
	lang.Head
	HangsFrom lang.Ref
	Drop      float64
}

func (b *Basket) Describe(d *lang.Desc) {
	d.About("a basket that hangs", "")
	d.Ref(&b.HangsFrom, "hangs_from", "what carries it", "basket", "bed").Pose().Optional()
	d.Length(&b.Drop, "drop", "length of its rope").Range(0, 100).Default("5")
}

func (b *Basket) Derive(*lang.Scope) {}
