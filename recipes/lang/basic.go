package lang

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Dial is a named literal that the maker turns: by hand, by --set, on a page,
// or by a search.
type Dial struct {
	Head
	Value   Value
	Range   []float64 // least and most, or empty
	Step    float64   // 0: none
	Note    string
	Choices []string // of a dial that is a word
	At      Span     // of the literal
}

// Describe says what a dial block may hold.
func (b *Dial) Describe(d *Desc) {
	d.About("a number or word that the maker turns", "Others read it as dial.NAME. Its value is a literal, so that --set, the page and cures can turn it.")
	w := d.add(typeLiteral, "value", "", "a number, or one of the choices; never a formula")
	w.set = func(v Value) { b.Value = v }
	d.Numbers(&b.Range, "range", "", "least and greatest value", 2).Optional()
	d.Number(&b.Step, "step", "", "what one notch of the dial adds").Range(0, 1e6).Optional()
	d.Text(&b.Note, "note", "what it turns, in a few words").Optional()
	c := d.add(typeTexts, "choices", "", "the words that it may be")
	c.set, c.optional = func(v Value) { b.Choices = v.Texts() }, true
}

// Derive checks the value against range and choices.
func (b *Dial) Derive(s *Scope) {
	b.At = s.b.spanOf("value")
	_, number := b.Value.Number()
	as := func(problem string) string {
		if f := s.b.facts["value"]; f.Origin == Set {
			return fmt.Sprintf("set to %s: %s", clip(b.Value.String()), problem)
		}
		return problem
	}
	switch {
	case b.Range != nil && b.Choices != nil:
		s.Fault("choices", "a dial has a range or choices, not both", "drop one of them")
	case b.Range != nil && b.Range[0] > b.Range[1]:
		s.Fault("range", "the range ends before it begins", "write the least first")
	case b.Choices != nil && number == nil:
		s.Fault("value", as("it is a number, and its choices are words"), "it may be "+either(b.Choices))
	case b.Choices != nil && !slices.Contains(b.Choices, b.Value.text):
		s.Fault("value", as(fmt.Sprintf("%q is none of its choices", clip(b.Value.text))), "it may be "+either(b.Choices))
	case b.Choices == nil && number != nil:
		fix := "for a word, list its choices = [...]"
		if number := unquoted(b.Value); number != "" {
			fix = number
		}
		s.Fault("value", as("it is a word, and a dial without choices a number"), fix)
	case b.Range != nil && (b.Value.num < b.Range[0] || b.Value.num > b.Range[1]):
		s.Fault("value", as("the value lies outside of its range"),
			fmt.Sprintf("it may be %s to %s", formatNumber(b.Range[0]), formatNumber(b.Range[1])))
	}
}

// Let is a named value for others to read.
type Let struct {
	Head
	Value Value
}

// Describe says what a let block may hold.
func (b *Let) Describe(d *Desc) {
	d.About("a value under a name, for other blocks to read", "Others read it as let.NAME.")
	w := d.add(typeAny, "value", "", "a number, word, flag, or list of them; formulas welcome")
	w.set = func(v Value) { b.Value = v }
}

// Derive has nothing to derive.
func (b *Let) Derive(*Scope) {}

// writtenDial decodes the literal of a dial, or what is set in its place.
func (r *reader) writtenDial(p *part, w *Word, a *attr) (*Fact, bool) {
	f := p.fact(w)
	switch e := a.value.(type) {
	case *numberExpr:
		f.Value, f.source = NumberValue(e.v), e.text
	case *textExpr:
		f.Value = TextValue(e.s)
	default:
		r.fault(a.span, "the value of a dial is a number or a word in quotes, never a formula", "for a formula write a let block")
		return nil, false
	}
	if s, ok := r.set[p.block.head.Name]; ok {
		v, err := parseSet(s)
		problem, fix := "", ""
		if err != nil {
			problem = err.Error()
		} else if _, ok := a.value.(*numberExpr); ok && v.typ == isText {
			problem, fix = notPlain(v.text)
		}
		if problem != "" {
			r.fault(a.span, fmt.Sprintf("%s set to %s: %s", p.block.head.Address, clip(s), problem), fix)
			return nil, false
		}
		f.Value, f.Origin, f.source = v, Set, ""
	}
	w.set(f.Value)
	return f, true
}

// parseSet reads the value of a dial from outside: a number, else a word.
func parseSet(s string) (Value, error) {
	s = strings.TrimSpace(s)
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		if s == "" {
			return Value{}, fmt.Errorf("nothing is no value")
		}
		return TextValue(strings.Trim(s, `"`)), nil
	}
	if math.Abs(v) > maxNumber {
		return Value{}, fmt.Errorf("a number out of all measure")
	}
	return NumberValue(v), nil
}

// checkSet reports the dials that are set from outside and do not exist.
func (r *reader) checkSet() {
	dials := r.byKind["dial"]
	for _, name := range slices.Sorted(maps.Keys(r.set)) {
		if slices.Contains(dials, name) || r.lost[name] {
			continue
		}
		otherwise := "the recipe has no dials"
		if len(dials) > 0 {
			otherwise = "there are " + strings.Join(dials, ", ")
		}
		r.fault(r.file(), fmt.Sprintf("there is no dial %q to set", clip(name)), r.didYouMean(name, dials, otherwise))
	}
}
