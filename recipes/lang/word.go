package lang

import (
	"fmt"
	"reflect"
	"slices"
)

// wordType is what a word's value is.
type wordType uint8

const (
	typeKind wordType = iota
	typeChoice
	typeChoices
	typeText
	typeFlag
	typeNumber
	typeCount
	typeNumbers
	typeRef
	typeRefs
	typeBlock
	typeBlocks
	typeTexts   // free words: the choices of a dial
	typeLiteral // a number or a word, never a formula: the value of a dial
	typeAny     // whatever an expression gives: the value of a let
)

// Word is one described word of a block. Its methods add to the description
// and return the word itself.
type Word struct {
	typ              wordType
	name, unit, help string
	desc             *Desc

	choices  []string // of a kind, a choice
	kinds    []string // that a reference may name
	n        int      // length of a list, 0: any
	in       []string // forms that have the word, nil: all
	ranged   bool
	lo, hi   float64
	def      string     // default expression, "": none
	defIn    []formText // defaults that differ by form
	optional bool
	pose     bool
	loose    bool
	auto     bool
	alts     []alt
	called   []string // what makers write that mean it

	set     func(Value)
	setRefs func([]Ref)
	newSub  func() Describer
	setSub  func(Describer)
}

// alt is a plain word that may stand in place of a value.
type alt struct {
	plain, help string
	to          *bool
}

// formText is a default expression that holds in one form.
type formText struct{ form, text string }

// In limits the word to these forms of the block.
func (w *Word) In(forms ...string) *Word {
	if w.desc.kind == nil {
		panic("lang: " + w.name + ": In before the kind word")
	}
	for _, f := range forms {
		if !slices.Contains(w.desc.kind.choices, f) {
			panic(fmt.Sprintf("lang: %s: In: %s has no form %q", w.name, w.desc.kind.name, f))
		}
	}
	w.in = append(w.in, forms...)
	return w
}

// Range sets the least and the greatest value allowed, both included. For a
// list it holds for every element.
func (w *Word) Range(least, most float64) *Word {
	w.ranged, w.lo, w.hi = true, least, most
	return w
}

// Default gives the value that holds if the word is not written: an expression
// in the language itself, "1.5 * across", which may read the block's own words
// and, through a reference word, the block that it names ("on.thickness"). For
// a member of a tie it is what is assumed if too little is given.
func (w *Word) Default(expr string) *Word {
	w.def = expr
	return w
}

// DefaultIn gives a default that holds in one form, in place of Default.
func (w *Word) DefaultIn(form, expr string) *Word {
	w.defIn = append(w.defIn, formText{form, expr})
	return w
}

// Optional says that the word may be left out; its field then stays zero.
func (w *Word) Optional() *Word {
	w.optional = true
	return w
}

// Called says what else makers call the word: none of these may be written, but who
// writes one is asked whether this word was meant.
func (w *Word) Called(others ...string) *Word {
	w.called = append(w.called, others...)
	return w
}

// Pose says that the reference is about how the piece hangs, not about shape:
// it has an order of its own, and the block may not ask for what it names while
// it is derived.
func (w *Word) Pose() *Word {
	w.pose = true
	return w
}

// Loose lets the recipe give a range, gap = [0.10, 0.20], in place of a number,
// if the word is a member of a tie: a whole number in that tie is then chosen
// so that the word comes to lie in the range.
func (w *Word) Loose() *Word {
	w.loose = true
	return w
}

// Auto lets the recipe write "auto" in place of a count that a tie finds.
func (w *Word) Auto() *Word {
	w.auto = true
	return w
}

// belongs says whether a form has the word. The empty form stands for any.
func (w *Word) belongs(form string) bool {
	return form == "" || w.in == nil || slices.Contains(w.in, form)
}

// defaultIn returns the default expression in a form, "" if there is none.
func (w *Word) defaultIn(form string) string {
	for _, d := range w.defIn {
		if d.form == form {
			return d.text
		}
	}
	return w.def
}

// bindSub checks that to is the address of a *T, or of a []*T if many, where
// *T is a Describer, and returns how to make one and where to put it.
func bindSub(word string, to any, many bool) (func() Describer, func(Describer)) {
	v := reflect.ValueOf(to)
	if v.Kind() != reflect.Pointer || v.IsNil() {
		panic("lang: " + word + ": want the address of a field")
	}
	field := v.Elem()
	t := field.Type()
	if many {
		if t.Kind() != reflect.Slice {
			panic("lang: " + word + ": want the address of a slice")
		}
		t = t.Elem()
	}
	if t.Kind() != reflect.Pointer || !t.Implements(reflect.TypeFor[Describer]()) {
		panic(fmt.Sprintf("lang: %s: %s does not describe itself", word, t))
	}
	make := func() Describer { return reflect.New(t.Elem()).Interface().(Describer) }
	put := func(d Describer) {
		if many {
			field.Set(reflect.Append(field, reflect.ValueOf(d)))
		} else {
			field.Set(reflect.ValueOf(d))
		}
	}
	return make, put
}
