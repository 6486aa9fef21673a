package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
	"waxwright/solids/stock"
)

// Casting is what the caster is to make of one file.
type Casting struct {
	Name     string     `json:"name"`
	File     string     `json:"file"`
	Quantity int        `json:"quantity"`
	Hand     string     `json:"hand"` // in words: one file two off, or its mirror image beside it
	Box      [3]float64 `json:"box"`  // that the file should measure, mm
	Bodies   int        `json:"bodies"`
	Volume   float64    `json:"volume"`  // of the file, mm3
	Reached  float64    `json:"reached"` // largest distance of the mesh from the true surface, mm
	Weights  []Weight   `json:"weights"` // of one, cast: the chosen alloy first
}

// Weight is the weight of one casting in an alloy.
type Weight struct {
	Alloy string  `json:"alloy"`
	Grams float64 `json:"grams"`
}

// others are the alloys that weights are also given in: the first two that the
// piece is not made of. What a piece is tried in, and what it may be asked for
// next.
var others = []string{"silver-925", "gold-14-yellow", "gold-18-yellow"}

// alloys are the chosen alloy and two others.
func alloys(chosen string) []string {
	all := []string{chosen}
	for _, o := range others {
		if o != chosen && len(all) < 3 {
			all = append(all, o)
		}
	}
	return all
}

func castings(m *build.Model) []Casting {
	var all []Casting
	k := m.Piece.Scale
	for i := range m.Castings {
		c := &m.Castings[i]
		s := c.Size()
		out := Casting{
			Name: c.Name, File: m.File(c), Quantity: c.Quantity, Hand: hand(m, c),
			Box: [3]float64{s.X, s.Y, s.Z}, Bodies: len(c.Report.Bodies), Volume: c.Report.Volume, Reached: c.Reached,
		}
		for _, name := range alloys(m.Piece.Alloy.Name) {
			a, _ := stock.AlloyNamed(name)
			out.Weights = append(out.Weights, Weight{name, a.Grams(c.Report.Volume / (k * k * k))})
		}
		all = append(all, out)
	}
	return all
}

// hand says whether a casting has a mirror image of its own.
func hand(m *build.Model, c *build.Casting) string {
	switch {
	case m.Piece.Pair == piece.Single:
		return "single"
	case c.Mirrored:
		return "a mirror image, for the other ear"
	case c.Handed:
		return "handed: its mirror image has a file of its own"
	case m.Piece.Pair == piece.Mirrored:
		return "its own mirror image: one file, two off"
	}
	return "the same for both ears: one file, two off"
}

// inch is one inch in mm, by definition.
const inch = stock.Inch

// misread says what a box reads when somebody takes the numbers for inches.
func misread(box [3]float64) string {
	long := slices.Max(box[:])
	return fmt.Sprintf("If you read %s mm or %s mm along its longest side, it was read in inches: stop, and read it in millimetres", short(long/inch), short(long*inch))
}

// short writes a length with two digits that matter, at least one behind the
// point of small ones.
func short(mm float64) string {
	switch {
	case mm < 10:
		return fmt.Sprintf("%.2f", mm)
	case mm < 100:
		return fmt.Sprintf("%.1f", mm)
	}
	return fmt.Sprintf("%.0f", mm)
}

// Dimension is a length that has to come out right.
type Dimension struct {
	What  string  `json:"what"`
	Value float64 `json:"value"` // mm, of the finished piece
	Minus float64 `json:"minus"` // how much less it may be
	Plus  float64 `json:"plus"`  // how much more
	Why   string  `json:"why"`
	Part  string  `json:"part"` // address
}

// Tolerances of what is measured, mm: common practice, no source; what a
// calliper shows and a small casting keeps.
const (
	fine  = 0.05 // what fits into something
	plain = 0.10
)

// dimensions lists what matters, by the blocks of the recipe.
func dimensions(p *piece.Piece, house string) []Dimension {
	all := []Dimension{}
	add := func(d Dimension) { all = append(all, d) }
	limits, ok := stock.HouseNamed(house)
	if !ok { // one of the maker's own
		limits = p.House
	}
	for _, b := range p.Recipe.Blocks() {
		at := lang.HeadOf(b).Address
		switch b := b.(type) {
		case *piece.Plate:
			l, _ := limits.Limit(stock.PlateOf(b.Span()))
			minus := min(plain, max(0, b.Thickness-l.Fail.Value))
			add(Dimension{"thickness of plate " + b.Name, b.Thickness, minus, plain, "no thinner than the house casts", at})
		case *piece.Bezel:
			g, _ := lang.Find[*piece.Stones](p.Recipe, b.Holds.Address)
			add(Dimension{"inside of bezel " + b.Name, g.Largest() + 2*b.Clearance, b.Clearance, fine, "the largest stone has to go in", at})
		case *piece.Prongs:
			add(Dimension{"wire of prongs " + b.Name, b.Wire, fine, plain, "thinner ones do not hold", at})
		case *piece.Post:
			add(Dimension{"wire of post " + b.Name, b.Wire, fine, fine, "the back has to grip, the ear to take it", at})
			add(Dimension{"length of post " + b.Name, b.Length, 0.5, 0.5, "room for ear and back", at})
		case *piece.Link:
			add(Dimension{"bore of link " + b.Name, b.Bore, plain, plain, "its neighbour has to pass", at})
		case *piece.Bail:
			add(Dimension{"bore of bail " + b.Name, b.Bore, plain, plain, "the end of the chain has to pass", at})
		}
	}
	return all
}

// Surface is where no support, sprue or mark may stand.
type Surface struct {
	What string `json:"what"`
	Why  string `json:"why"`
	Part string `json:"part"` // address
}

func keepFree(p *piece.Piece) []Surface {
	all := []Surface{}
	for _, b := range p.Recipe.Blocks() {
		h := lang.HeadOf(b)
		switch b := b.(type) {
		case *piece.Plate:
			what := "face of plate " + h.Name
			if b.Rays != nil {
				what += " and its grooves"
			}
			all = append(all, Surface{what, "it shows", h.Address})
		case *piece.Bezel:
			all = append(all, Surface{"inside and rim of bezel " + h.Name, "the stone sits there, the rim is burnished", h.Address})
		case *piece.Prongs:
			all = append(all, Surface{"tips and inner sides of prongs " + h.Name, "the stones sit there", h.Address})
		case *piece.Link:
			all = append(all, Surface{"inside of link " + h.Name, "metal runs on metal there", h.Address})
		case *piece.Bail:
			all = append(all, Surface{"inside of bail " + h.Name, "the chain runs there", h.Address})
		case *piece.Post:
			all = append(all, Surface{"post " + h.Name + " and its notch", "it goes through the ear", h.Address})
		}
	}
	return all
}

func (p *Papers) casterSheet(art *Art) sheet {
	s := sheet{name: "caster", title: "Caster's order"}
	s.blocks = append(s.blocks, p.Proof.stop("on the job sheet")...)
	said := facts{}
	said.add("Please cast", fmt.Sprintf("%s in %s", castingsText(p.Castings), alloyText(p.Piece.Alloy)))
	said.add("For", p.Piece.Title+", "+p.off())
	said.add("Units", "millimetres; STL files do not say so themselves")
	said.add("Scale", p.scaleText())
	said.add("State", p.Piece.State)
	if p.Piece.Ears == 2 {
		said.add("Left, right", p.hands())
	}
	said.add("Finish", p.Piece.Finish+", by us, unless we agree otherwise")
	said.add("Judged", fmt.Sprintf("every mesh is closed, faces outwards, has two triangles at every edge and no crossings; it differs from the true surface by %.3f mm at most", p.reached()))
	s.blocks = append(s.blocks, said)

	t := table{cols: []column{{"file", left}, {"off", right}, {"should measure, mm", right}, {"bodies", right}, {"mm³", right}}}
	names := alloys(p.Piece.Alloy)
	for _, a := range names {
		alloy, _ := stock.AlloyNamed(a)
		t.cols = append(t.cols, column{alloy.Title(), right})
	}
	together := make([]float64, len(names))
	off := 0
	for _, c := range p.Castings {
		row := []string{c.File, fmt.Sprint(c.Quantity), fmt.Sprintf("%.2f × %.2f × %.2f", c.Box[0], c.Box[1], c.Box[2]), fmt.Sprint(c.Bodies), fmt.Sprintf("%.1f", c.Volume)}
		for i, w := range c.Weights {
			row = append(row, grams(w.Grams))
			together[i] += w.Grams * float64(c.Quantity)
		}
		off += c.Quantity
		t.rows = append(t.rows, row)
	}
	t.foot = []string{"together", fmt.Sprint(off), "", "", ""}
	for _, g := range together {
		t.foot = append(t.foot, grams(g))
	}
	s.blocks = append(s.blocks, heading{"Files"}, t, para{quiet: true, text: fmt.Sprintf("Weights of one casting, without sprues and stones; with sprues and button about ×%g (%s).", p.Weights.Sprue, stock.Common)})
	largest := slices.MaxFunc(p.Castings, func(a, b Casting) int { return cmp.Compare(slices.Max(a.Box[:]), slices.Max(b.Box[:])) })
	s.blocks = append(s.blocks, para{strong: true, text: fmt.Sprintf("%s measures %.2f × %.2f × %.2f mm. %s.", largest.File, largest.Box[0], largest.Box[1], largest.Box[2], misread(largest.Box))})
	s.blocks = append(s.blocks, heading{"Keep free of supports, sprues and marks"})
	keep := items{}
	for _, k := range alike(p.KeepFree) {
		keep.add("", proof.Sentence(inOne(k)+": "+k[0].Why))
	}
	if art.Keep != nil {
		s.blocks = append(s.blocks, columns{[]part{{keepShare, []block{figures{[]figure{{art: art.Keep, alt: "surfaces to keep free, shaded"}}}}}, {1 - keepShare, []block{keep}}}})
	} else {
		s.blocks = append(s.blocks, keep)
	}
	if len(p.Matters) > 0 {
		d := table{cols: []column{{"what matters", left}, {"mm", right}, {"from", right}, {"to", right}, {"why", note}}}
		for _, g := range alike(p.Matters) {
			m := g[0]
			d.row(inOne(g), fmt.Sprintf("%.2f", m.Value), fmt.Sprintf("%.2f", m.Value-m.Minus), fmt.Sprintf("%.2f", m.Value+m.Plus), m.Why)
		}
		s.blocks = append(s.blocks, heading{"Dimensions that matter"}, d, para{quiet: true, text: "Sizes of the finished piece; " + p.growthText() + " Tolerances: common practice, no source."})
	}
	s.blocks = append(s.blocks, heading{"These papers belong to"}, p.fingerprints())
	return s
}

// hands says which castings are handed, those that are alike in one go.
func (p *Papers) hands() string {
	names := map[string][]string{}
	var order []string
	for _, c := range p.Castings {
		if names[c.Hand] == nil {
			order = append(order, c.Hand)
		}
		names[c.Hand] = append(names[c.Hand], c.Name)
	}
	var all []string
	for _, h := range order {
		each := ""
		if len(names[h]) > 1 {
			each = "each "
		}
		all = append(all, strings.Join(names[h], ", ")+": "+each+h)
	}
	said := strings.Join(all, "; ")
	if p.Piece.Pair == piece.Mirrored.String() {
		said += ". Tested by holding each mesh against its mirror image, to twice the tolerance of the model"
	}
	return said
}

// reached is the largest distance of any mesh from the true surface, mm.
func (p *Papers) reached() float64 {
	worst := 0.0
	for _, c := range p.Castings {
		worst = max(worst, c.Reached)
	}
	return worst
}

func (p *Papers) growthText() string {
	if p.Piece.Finish == "as-cast" {
		return "the model is not grown for a finish."
	}
	return "polished outsides of the model are grown for what the finish takes off."
}

func (p *Papers) scaleText() string {
	if p.Piece.Scale == 1 {
		return "not scaled: the files have the size of the castings. If your process shrinks, scale them by your own factor, and tell us"
	}
	return fmt.Sprintf("already scaled by %.3f: do not scale again. The castings should come out at 1/%.3f of the files", p.Piece.Scale, p.Piece.Scale)
}
