package lang

import (
	"fmt"
	"slices"
)

// Block is one kind of block of a trade: a pointer to a struct that embeds
// Head. Describe binds its fields to words; Derive runs once all words have
// their values, after every block that it refers to.
type Block interface {
	Describer
	Derive(*Scope)
	head() *Head
}

// Describer describes a block or a sub-block.
type Describer interface{ Describe(*Desc) }

// Head is what every block has. Embed it.
type Head struct {
	Kind    string // "plate"
	Name    string // "sun"; for a kind with a title the free text
	Address string // "plate.sun"; for a kind with a title just the kind
	Span    Span   // the header, from the kind to the name
}

func (h *Head) head() *Head { return h }

// Ref is a resolved reference to another block. The zero value is "not given".
type Ref struct {
	Kind    string // "plate"
	Name    string // "sun"
	Address string // "plate.sun"
	Span    Span   // where the reference is written
}

// Given says whether the reference was written.
func (r Ref) Given() bool { return r.Address != "" }

// Kinds is what a trade brings: its block kinds, in the order of the written
// reference, and its functions. The kinds dial and let are always there.
type Kinds struct {
	Blocks []Kind
	Funcs  []Func
}

// Kind is one block kind.
type Kind struct {
	Name  string       // "plate"
	New   func() Block // a fresh, empty struct
	Title bool         // its label is free text, and there is exactly one such block
	// About: its label is what it is about, the address of another block and
	// one of these words, "plate.sun/wall". Nil: its label is a name, or a title.
	About []string
}

// Func is a function that recipes may call, beside the basic ones.
type Func struct {
	Name   string
	Params []string // names for the reference: "number" or "system", "size"
	Help   string   // "diameter in mm of a wire of that gauge"
	Call   func(args []Value) (float64, error)
}

// Desc is the description of a block: its words, relations and what others may
// read. It is filled by Describe and bound to the fields of one struct.
//
// Every word is required unless it has a default, is optional, or is a member
// of a tie. A word may be described more than once with different meanings, if
// no form has two of them.
type Desc struct {
	about, more string
	kind        *Word // the word that fixes the form, or nil
	words       []*Word
	ties        []*Tie
	gives       []Gift
	later       []Gift
}

// Gift is a value that a block gives to others once it is derived, or that is
// known only later.
type Gift struct{ Name, Unit, Help string }

// About says in one line what the block is, and optionally more.
func (d *Desc) About(line, more string) { d.about, d.more = line, more }

// Kind binds the word that fixes which other words the block may have. In a
// recipe it is a plain word out of forms, never a formula.
func (d *Desc) Kind(to *string, word, help string, forms ...string) *Word {
	if d.kind != nil {
		panic("lang: " + word + ": a block has one kind word, here also " + d.kind.name)
	}
	w := d.add(typeKind, word, "", help)
	w.choices, w.set = forms, func(v Value) { *to = v.text }
	d.kind = w
	return w
}

// Choice binds one of a few words. Unlike a kind word it may be read from a
// dial or another block.
func (d *Desc) Choice(to *string, word, help string, choices ...string) *Word {
	w := d.add(typeChoice, word, "", help)
	w.choices, w.set = choices, func(v Value) { *to = v.text }
	return w
}

// Choices binds a list of words out of a few; a single one is a list of one.
func (d *Desc) Choices(to *[]string, word, help string, choices ...string) *Word {
	w := d.add(typeChoices, word, "", help)
	w.choices, w.set = choices, func(v Value) { *to = v.Texts() }
	return w
}

// Text binds free text.
func (d *Desc) Text(to *string, word, help string) *Word {
	w := d.add(typeText, word, "", help)
	w.set = func(v Value) { *to = v.text }
	return w
}

// Flag binds true or false.
func (d *Desc) Flag(to *bool, word, help string) *Word {
	w := d.add(typeFlag, word, "", help)
	w.set = func(v Value) { *to = v.flag }
	return w
}

// Number binds a number with any unit; the empty unit is a plain number.
func (d *Desc) Number(to *float64, word, unit, help string) *Word {
	w := d.add(typeNumber, word, unit, help)
	w.set = func(v Value) { *to = v.num }
	return w
}

// Length binds a length in mm.
func (d *Desc) Length(to *float64, word, help string) *Word {
	return d.Number(to, word, "mm", help)
}

// Angle binds an angle or a bearing in degrees.
func (d *Desc) Angle(to *float64, word, help string) *Word {
	return d.Number(to, word, "degrees", help)
}

// Count binds a whole number; fractions are refused.
func (d *Desc) Count(to *int, word, help string) *Word {
	w := d.add(typeCount, word, "", help)
	w.set = func(v Value) { *to = int(v.num) }
	return w
}

// Numbers binds a list of n numbers, or of any count if n is 0.
func (d *Desc) Numbers(to *[]float64, word, unit, help string, n int) *Word {
	w := d.add(typeNumbers, word, unit, help)
	w.n, w.set = n, func(v Value) { *to = v.Numbers() }
	return w
}

// Lengths binds a list of n lengths in mm, or of any count if n is 0.
func (d *Desc) Lengths(to *[]float64, word, help string, n int) *Word {
	return d.Numbers(to, word, "mm", help, n)
}

// Ref binds a reference to a block of one of the kinds. A reference is a need:
// the block that it names is derived first.
func (d *Desc) Ref(to *Ref, word, help string, kinds ...string) *Word {
	w := d.add(typeRef, word, "", help)
	w.kinds, w.setRefs = kinds, func(r []Ref) { *to = r[0] }
	return w
}

// Refs binds a list of references; a single one is a list of one.
func (d *Desc) Refs(to *[]Ref, word, help string, kinds ...string) *Word {
	w := d.add(typeRefs, word, "", help)
	w.kinds, w.setRefs = kinds, func(r []Ref) { *to = r }
	return w
}

// Block binds an optional sub-block. to is the address of a field of type *T,
// where *T is a Describer; the field stays nil if the recipe has no such block.
func (d *Desc) Block(to any, word, help string) *Word {
	w := d.add(typeBlock, word, "", help)
	w.newSub, w.setSub = bindSub(word, to, false)
	w.optional = true
	return w
}

// Blocks binds any number of sub-blocks with one label each, a name or a whole
// number: one "3" { }. to is the address of a field of type []*T; if *T embeds
// Head, its Name is the label.
func (d *Desc) Blocks(to any, word, help string) *Word {
	w := d.add(typeBlocks, word, "", help)
	w.newSub, w.setSub = bindSub(word, to, true)
	w.optional = true
	return w
}

// Or lets the recipe write a plain word in place of the value of a word that
// was described before: at = "balance". to then becomes true and the value
// stays zero.
func (d *Desc) Or(word, plain string, to *bool, help string) {
	found := false
	for _, w := range d.words {
		if w.name == word {
			w.alts = append(w.alts, alt{plain, help, to})
			found = true
		}
	}
	if !found {
		panic("lang: Or: no word " + word)
	}
}

// Gives announces a value that Derive gives by Scope.Give and that other
// blocks may read. It may bear the name of a word: what is given replaces the
// word's own value, or stands in for it in forms without that word.
func (d *Desc) Gives(name, unit, help string) {
	d.gives = append(d.gives, Gift{name, unit, help})
}

// Later announces a value that is known only once the metal is modelled.
// Reading it in a recipe gets a sentence that says so.
func (d *Desc) Later(name, unit, help string) {
	d.later = append(d.later, Gift{name, unit, help})
}

// add appends a word after checking that no form has it twice.
func (d *Desc) add(t wordType, word, unit, help string) *Word {
	if !isName(word) {
		panic(fmt.Sprintf("lang: %q is not a word", word))
	}
	w := &Word{typ: t, name: word, unit: unit, help: help, desc: d}
	d.words = append(d.words, w)
	return w
}

// active returns the words of a form in the order of their description.
func (d *Desc) active(form string) []*Word {
	var ws []*Word
	for _, w := range d.words {
		if w.belongs(form) {
			ws = append(ws, w)
		}
	}
	return ws
}

// find returns the word of a form by its name, or nil.
func (d *Desc) find(form, name string) *Word {
	for _, w := range d.words {
		if w.name == name && w.belongs(form) {
			return w
		}
	}
	return nil
}

// called returns the word of a form that makers also call so, or "".
func (d *Desc) called(form, other string) string {
	for _, w := range d.words {
		if w.belongs(form) && slices.Contains(w.called, other) {
			return w.name
		}
	}
	return ""
}

// gift returns the gift of that name, or nil.
func gift(gs []Gift, name string) *Gift {
	if i := slices.IndexFunc(gs, func(g Gift) bool { return g.Name == name }); i >= 0 {
		return &gs[i]
	}
	return nil
}
