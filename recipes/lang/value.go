package lang

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// valueType is what a value is.
type valueType uint8

const (
	isNumber valueType = iota
	isText
	isFlag
	isList
)

// Value is what an expression gives: a number, a text, a flag, or a list of
// them. The zero value is the number 0.
type Value struct {
	typ  valueType
	num  float64
	text string
	flag bool
	list []Value
}

// NumberValue returns a number as a value.
func NumberValue(v float64) Value { return Value{num: v} }

// TextValue returns a text as a value.
func TextValue(s string) Value { return Value{typ: isText, text: s} }

// Number returns the number, or an error that says what the value is instead.
func (v Value) Number() (float64, error) {
	if v.typ != isNumber {
		return 0, fmt.Errorf("%s is not a number", v)
	}
	return v.num, nil
}

// Text returns the text, or an error that says what the value is instead.
func (v Value) Text() (string, error) {
	if v.typ != isText {
		return "", fmt.Errorf("%s is not a word in quotes", v)
	}
	return v.text, nil
}

// Numbers returns the numbers of a list, or a single number as a list of one.
// What is no number counts as 0.
func (v Value) Numbers() []float64 {
	if v.typ != isList {
		return []float64{v.num}
	}
	ns := make([]float64, len(v.list))
	for i, e := range v.list {
		ns[i] = e.num
	}
	return ns
}

// Texts returns the texts of a list, or a single text as a list of one. What
// is no text counts as empty.
func (v Value) Texts() []string {
	if v.typ != isList {
		return []string{v.text}
	}
	ts := make([]string, len(v.list))
	for i, e := range v.list {
		ts[i] = e.text
	}
	return ts
}

// String writes the value as a recipe would, numbers to four decimals.
func (v Value) String() string {
	switch v.typ {
	case isText:
		return strconv.Quote(v.text)
	case isFlag:
		return strconv.FormatBool(v.flag)
	case isList:
		parts := make([]string, len(v.list))
		for i, e := range v.list {
			parts[i] = e.String()
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return formatNumber(v.num)
}

// formatNumber writes a number for people: at most four decimals, but at least
// four significant digits for small ones, and no trailing zeros.
func formatNumber(v float64) string {
	if v == 0 {
		return "0"
	}
	a := math.Abs(v)
	if a < 0.1 {
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', 3, 64), 64)
		if a < 1e-6 {
			return strconv.FormatFloat(v, 'e', -1, 64)
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	s := strconv.FormatFloat(v, 'f', 4, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
