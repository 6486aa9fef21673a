package lang

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// fit makes a value into one that the word accepts, or says what it is instead
// and what to do.
func (w *Word) fit(v Value) (fitted Value, problem, fix string) {
	switch w.typ {
	case typeAny:
		return v, "", ""
	case typeKind, typeChoice, typeText:
		if v.typ != isText {
			return v, v.String() + ", not a word", w.insteadOf(v)
		}
	case typeFlag:
		if v.typ != isFlag {
			return v, v.String() + ", neither true nor false", "write true or false, without quotes"
		}
	case typeNumber, typeCount:
		if v.typ != isNumber {
			fix := w.insteadOf(v)
			if len(w.alts) > 0 {
				fix += ", or " + w.altWords()
			}
			return v, v.String() + ", not a number", fix
		}
	case typeNumbers, typeChoices, typeTexts:
		if v.typ != isList {
			if w.typ == typeChoices || w.n <= 1 {
				v = Value{typ: isList, list: []Value{v}}
			} else {
				return v, v.String() + ", not a list", w.insteadOf(v)
			}
		}
		if w.n > 0 && len(v.list) != w.n {
			return v, fmt.Sprintf("a list of %d", len(v.list)), w.insteadOf(v)
		}
		if len(v.list) == 0 {
			return v, "an empty list", w.accepts()
		}
		for i, e := range v.list {
			if w.typ == typeNumbers && e.typ != isNumber || w.typ != typeNumbers && e.typ != isText {
				return v, fmt.Sprintf("a list whose item %d is %s", i+1, e), w.accepts()
			}
		}
	}
	if w.typ == typeCount {
		n, ok := whole(v.num)
		if !ok {
			return v, formatNumber(v.num) + ", and it is counted",
				fmt.Sprintf("write %s or %s; of a formula take floor(...) or ceil(...)", formatNumber(math.Floor(v.num)), formatNumber(math.Ceil(v.num)))
		}
		v = NumberValue(n)
	}
	return w.fitLimits(v)
}

// insteadOf says what to write in place of a value with too many brackets or too
// few, in the maker's own values; of any other it says what may be given.
func (w *Word) insteadOf(v Value) string {
	var item Value // what is at hand for each item that is wanted
	items := v.list
	if v.typ != isList {
		items = []Value{v}
	}
	if len(items) > 0 {
		item = items[len(items)-1]
	}
	if number := unquoted(v); number != "" && (w.typ == typeNumber || w.typ == typeCount) {
		return number
	}
	if len(items) == 0 || (item.typ == isText) == (w.typ == typeNumber || w.typ == typeCount || w.typ == typeNumbers) {
		return w.accepts()
	}
	switch {
	case w.typ != typeNumbers && len(items) == 1 && v.typ == isList:
		return "write it without brackets: " + item.String()
	case w.typ != typeNumbers && v.typ == isList:
		return fmt.Sprintf("write one of them, without brackets: %s", items[0])
	case w.typ == typeNumbers && w.n > 1:
		for len(items) < w.n {
			items = append(items[:len(items):len(items)], item)
		}
		return fmt.Sprintf("write a list of %d numbers, such as %s: %s", w.n, Value{typ: isList, list: items[:w.n]}, w.help)
	}
	return w.accepts()
}

// unquoted says how to write a number that stands in quotes, perhaps with a unit;
// it is empty for any other value.
func unquoted(v Value) string {
	if v.typ != isText || v.text == "" || !strings.ContainsRune("+-.0123456789", rune(v.text[0])) {
		return ""
	}
	if _, err := strconv.ParseFloat(v.text, 64); err == nil {
		return "write it without quotes: " + v.text
	}
	_, fix := notPlain(v.text)
	return fix
}

// fitLimits checks range and choices, of every item of a list.
func (w *Word) fitLimits(v Value) (Value, string, string) {
	items := v.list
	if v.typ != isList {
		items = []Value{v}
	}
	for _, e := range items {
		if w.ranged && (e.num < w.lo || e.num > w.hi) {
			fix := fmt.Sprintf("it may be %s to %s", formatNumber(w.lo), formatUnit(w.hi, w.unit))
			if m, ok := Tenfold(e.num, w.lo, w.hi); ok && w.unit == "mm" && e.num > 0 {
				fix += fmt.Sprintf("; was %s meant?", formatNumber(m))
			}
			return v, formatUnit(e.num, w.unit), fix
		}
		if w.typ == typeCount && !w.ranged && e.num < 0 {
			return v, formatNumber(e.num) + ", and it is counted", "counts are not negative"
		}
		if w.choices != nil && !slices.Contains(w.choices, e.text) {
			fix := "it may be " + either(w.choices)
			var s suggester
			if c := s.nearest(e.text, w.choices); c != "" {
				fix = fmt.Sprintf("did you mean %q?", c)
			} else if more := longer(e.text, w.choices); len(more) > 0 {
				fix = "did you mean " + either(more) + "?"
			}
			return v, fmt.Sprintf("%q, which it cannot be", clip(e.text)), fix
		}
	}
	return v, "", ""
}

// Tenfold returns the number from low to high from which v differs by one place of the
// decimal point.
func Tenfold(v, low, high float64) (float64, bool) {
	for _, m := range [2]float64{v / 10, v * 10} {
		if m = math.Round(m*1e6) / 1e6; m >= low && m <= high {
			return m, true
		}
	}
	return 0, false
}

// accepts says in a few words what may be given.
func (w *Word) accepts() string {
	s := ""
	switch w.typ {
	case typeKind, typeChoice:
		return either(w.choices)
	case typeChoices:
		return "one or a list of " + either(w.choices)
	case typeText, typeTexts:
		return "words in quotes"
	case typeFlag:
		return "true or false"
	case typeRef:
		return "the name of " + orList(articles(w.kinds))
	case typeRefs:
		return "the names of " + orList(w.kinds) + " blocks"
	case typeCount:
		s = "a whole number"
	case typeNumbers:
		s = "a list of numbers"
		switch {
		case w.n == 1:
			s = "a number"
		case w.n > 1:
			s = fmt.Sprintf("a list of %d numbers, [%s]", w.n, strings.TrimSuffix(strings.Repeat("..., ", w.n), ", "))
		}
	default:
		s = "a number"
	}
	if w.ranged {
		return s + fmt.Sprintf(", %s to %s", formatNumber(w.lo), formatUnit(w.hi, w.unit))
	}
	if w.unit != "" {
		s += " of " + w.unit
	}
	return s
}

// altWords lists the plain words that may stand in place of the value.
func (w *Word) altWords() string {
	var words []string
	for _, a := range w.alts {
		words = append(words, a.plain)
	}
	return either(words)
}

// formatUnit writes a number with its unit.
func formatUnit(v float64, unit string) string {
	if unit == "" {
		return formatNumber(v)
	}
	return formatNumber(v) + " " + unit
}
