package lang

import "strings"

// block is one block of the recipe on its way to a derived struct.
type block struct {
	part
	head  *Head
	named Span // the label
	dest  Block
	kind  *Kind
	index int // in file order
	state state
	needs []need // blocks that are derived before this one
	hangs []need // blocks that come before this one in the order of hanging
	links []Link
}

// state is how far a block is.
type state uint8

const (
	pending state = iota
	derived
	failed
)

// need is one reason why a block comes after another.
type need struct {
	to  *block
	why string // "across = 2 * stones.petals.reach"
	at  Span

	word string // whose formula reads it; empty for a reference and for a default
}

// part is the words of a block, or of a sub-block.
type part struct {
	block  *block
	parent *part  // of a sub-block
	word   string // of a sub-block: "rays"
	label  string // of a sub-block with a label
	span   Span   // its header
	desc   *Desc
	form   string // what its kind word says
	vague  bool   // the kind word is missing or wrong: no more is known
	failed bool   // a word is missing or wrong

	meant   map[string]bool // words that seem to be written, misspelt
	written map[string]*attr
	refs    map[string][]Ref
	subs    []*part
	facts   map[string]*Fact

	busy   []string        // words that are being worked out
	done   map[string]bool // words that have been, and whether it went well
	solver map[string]solver
	bands  map[string]*listExpr // words of ties that are given as a range
}

// name is what a sub-block is called in its block: "rays", "one 3".
func (p *part) name() string {
	if p.label == "" {
		return p.word
	}
	return p.word + " " + p.label
}

// title is how messages name the part: "plate.sun", "rays of plate.sun".
func (p *part) title() string {
	if p.parent == nil {
		return p.block.head.Address
	}
	return p.name() + " of " + p.parent.title()
}

// kindName is the kind of a block, or the word of a sub-block.
func (p *part) kindName() string {
	if p.parent == nil {
		return p.block.kind.Name
	}
	return p.word
}

// sub returns the sub-block of that name, or the part itself if it has none.
func (p *part) sub(name string) *part {
	for _, s := range p.subs {
		if s.name() == name {
			return s
		}
	}
	return p
}

// spanOf returns where the value of a word is written, or the header. A word of
// a sub-block is "rays.depth".
func (p *part) spanOf(word string) Span {
	if a := p.written[word]; a != nil {
		return a.span
	}
	if name, inner, ok := strings.Cut(word, "."); ok {
		if s := p.sub(name); s != p {
			return s.spanOf(inner)
		}
	}
	for _, s := range p.subs {
		if s.name() == word || s.word == word {
			return s.span
		}
	}
	return p.span
}
