package lang

import (
	"fmt"
	"math"
)

// Origin says where a value comes from.
type Origin uint8

// The origins. The first two are written in the recipe.
const (
	Literal Origin = iota // written as it is
	Formula               // written as an expression
	Default               // the description's default
	Tied                  // solved from a tie
	Derived               // given by the block
	Set                   // a dial set from outside
)

// Fact is one value of a block with where it comes from.
type Fact struct {
	Address string // of the block
	Word    string
	Unit    string
	Help    string
	Value   Value
	Origin  Origin
	Formula string // "(size + gap) / (2 sin(180 / count))"; empty for a literal
	Numbers string // the same with numbers, "(2.5 + 0.20) / (2 sin 18)"; empty if they say nothing new
	Span    Span   // where it is written, else the block's header
	Items   []Span // where each literal of a list stands; nil for what is not written as one

	source string // of a literal number, as it is written
}

// From says in words where the value comes from: "line 12", "1.5 * across =
// 1.5 * 20, default", "(size + gap) / 2 = (2.5 + 0.20) / 2".
func (f Fact) From() string {
	how := f.Formula
	if f.Numbers != "" {
		how += " = " + f.Numbers
	}
	switch f.Origin {
	case Literal:
		return fmt.Sprintf("line %d", f.Span.Line)
	case Set:
		return fmt.Sprintf("set, in place of line %d", f.Span.Line)
	case Formula:
		return fmt.Sprintf("%s, line %d", how, f.Span.Line)
	case Default:
		if how == f.Value.String() {
			return "default"
		}
		return how + ", default"
	}
	return how
}

// follows says what a word of the part follows from if it is no literal that
// could be changed where it stands, on a line of its own; else it is empty.
func (p *part) follows(word string) string {
	f := p.facts[word]
	if f == nil {
		return ""
	}
	how := f.Formula
	if f.Numbers != "" {
		how += " = " + f.Numbers
	}
	switch f.Origin {
	case Formula:
		return fmt.Sprintf("\n%s = %s", word, how)
	case Default:
		return fmt.Sprintf("\n%s is not given, and then it is %s", word, how)
	case Tied:
		return fmt.Sprintf("\n%s follows from other words: %s", word, how)
	}
	return ""
}

// Link is one reference of a block to another.
type Link struct {
	Word string
	To   Ref
	Pose bool // about hanging, not shape
}

// give notes a value that a block gives while it derives.
func (r *reader) give(b *block, name string, v float64, how string) {
	g := gift(b.desc.gives, name)
	if g == nil {
		panic("lang: " + b.kind.Name + " gives " + name + ", which its description does not announce")
	}
	if math.IsNaN(v) || math.Abs(v) > maxNumber {
		r.fault(b.spanOf(name), b.head.Address+": "+name+" is out of all measure", how)
		b.state = failed
		return
	}
	f := &Fact{Address: b.head.Address, Word: name, Unit: g.Unit, Help: g.Help, Value: NumberValue(v), Origin: Derived, Formula: how, Span: b.spanOf(name)}
	if old := b.facts[name]; old != nil && old.Value.num == v {
		return // the word's own value, and it says better where it comes from
	}
	if e, err := r.formula(how); err == nil {
		f.Numbers = (&evaluator{r: r, p: &b.part, quiet: true}).inNumbers(e)
	}
	b.facts[name] = f
}

// allFacts lists the facts of a block and its sub-blocks in the order of the
// description.
func (p *part) allFacts() []Fact {
	var all []Fact
	listed := map[string]bool{}
	add := func(name string) {
		if f := p.facts[name]; f != nil && !listed[name] {
			listed[name] = true
			all = append(all, *f)
		}
	}
	for _, w := range p.desc.active(p.form) {
		add(w.name)
		for _, s := range p.subs {
			if s.word == w.name {
				all = append(all, s.allFacts()...)
			}
		}
	}
	for _, g := range p.desc.gives {
		add(g.Name)
	}
	return all
}
