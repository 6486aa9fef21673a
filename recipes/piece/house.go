package piece

import (
	"fmt"

	"waxwright/recipes/lang"
	"waxwright/solids/stock"
)

// House is a maker's own casting house: a shipped one with some of its figures
// changed.
type House struct {
	lang.Head
	Like   string
	Source string

	limits            [][]float64 // by stock.LimitWords; nil: not changed
	prongs            []float64
	shrinkage, polish float64
	shrinks, polishes bool
}

// Describe says what a house block may hold: a word for each limit.
func (b *House) Describe(d *lang.Desc) {
	d.About("the limits of your own casting house; what it does not say stays as it is",
		"In a recipe it holds for that recipe; in a file of its own it is for prove --house FILE.hcl. Each limit takes one number for each of its bounds; a fail over something may be left out.")
	d.Choice(&b.Like, "like", "whose limits hold where this says nothing; without it those of the piece", stock.HouseNames()...).Optional()
	d.Text(&b.Source, "source", "who said so, and when: remarks print it with each limit").Optional()
	words := stock.LimitWords()
	b.limits = make([][]float64, len(words))
	for i, w := range words {
		n := len(w.Bounds)
		if w.Least() < n {
			n = 0 // any: Derive counts them
		}
		d.Numbers(&b.limits[i], w.Word, w.Unit, w.Help(), n).Optional()
	}
	d.Lengths(&b.prongs, "prong", "wire by stone, from small to large, three numbers each: across the stone, a fail under, a caution under", 0).Range(0, 100).Optional()
	d.Number(&b.shrinkage, "shrinkage", "%", "linear, from the model to the casting").Range(0, 10).Optional()
	d.Length(&b.polish, "polish", "what a full polish takes off a thickness, both sides together").Range(0, 1).Optional()
}

// Derive checks that the bounds do not contradict each other.
func (b *House) Derive(s *lang.Scope) {
	b.shrinks, b.polishes = s.Given("shrinkage"), s.Given("polish")
	scratch := stock.House{}
	for i, w := range stock.LimitWords() {
		if b.limits[i] == nil {
			continue
		}
		if err := scratch.Override(w.Word, b.limits[i], ""); err != nil {
			s.Fault(w.Word, err.Error(), "write all that it takes, from the least to the greatest")
		}
	}
	for i := 0; i < len(b.prongs); i += 3 {
		switch {
		case i+3 > len(b.prongs):
			s.Fault("prong", fmt.Sprintf("%d numbers are no table", len(b.prongs)), "give three a stone: across, a fail under, a caution under")
		case b.prongs[i+1] > b.prongs[i+2]:
			s.Fault("prong", fmt.Sprintf("the wire for stones of %g mm fails under %g and is a caution under %g", b.prongs[i], b.prongs[i+1], b.prongs[i+2]), "the fail comes first and is less")
		case i > 0 && b.prongs[i] <= b.prongs[i-3]:
			s.Fault("prong", fmt.Sprintf("stones of %g mm come after those of %g", b.prongs[i], b.prongs[i-3]), "list them from small to large")
		default:
			continue
		}
		return
	}
}

// Over returns the house with what the block says in place of base, or of the
// house that the block is like.
func (b *House) Over(base stock.House) stock.House {
	if b.Like != "" {
		base, _ = stock.HouseNamed(b.Like)
	}
	base.Name = b.Name
	source := b.Source
	if source == "" {
		source = fmt.Sprintf("the house %q", b.Name)
	}
	for i, w := range stock.LimitWords() {
		if b.limits[i] != nil {
			_ = base.Override(w.Word, b.limits[i], source) // Derive has tried it
		}
	}
	if len(b.prongs) > 0 {
		base.Prongs = nil
	}
	for i := 0; i+2 < len(b.prongs); i += 3 {
		base.Prongs = append(base.Prongs, stock.ProngLimit{Stone: b.prongs[i], Fail: b.prongs[i+1], Caution: b.prongs[i+2], Source: source})
	}
	if b.shrinks {
		base.Shrinkage = stock.Figure{Value: b.shrinkage / 100, Source: source}
	}
	if b.polishes {
		base.PolishLoss = stock.Figure{Value: b.polish, Source: source}
	}
	return base
}

// ReadHouse reads a file that holds one house block and nothing else, but
// dials and lets. It returns a House and no faults, or no House and at least
// one fault.
func ReadHouse(src []byte, name string) (*House, lang.Diags) {
	only := lang.Kinds{Funcs: Kinds().Funcs}
	for _, k := range Kinds().Blocks {
		if k.Name == "house" {
			only.Blocks = append(only.Blocks, k)
		}
	}
	file, diags := lang.Read(src, name, only, lang.Options{})
	if diags.Faulty() {
		return nil, diags
	}
	own := lang.All[*House](file)
	if len(own) != 1 {
		return nil, append(diags, lang.Diag{
			Summary: fmt.Sprintf("the file holds %d houses", len(own)),
			Detail:  `write one: house "name" { }`,
			Span:    lang.Span{File: name},
		})
	}
	return own[0], diags
}
