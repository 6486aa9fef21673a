package stock

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// RingScale is a system of ring sizes.
type RingScale struct {
	Name      string // as recipes write it
	About     string // how sizes are written and what they measure
	Low, High float64
	Source    string

	inside func(n float64) float64 // the inside diameter in mm of size number n
}

var ringScales = []RingScale{
	{"US", "numbers from 0, halves and quarters too; scale A: diameter (0.458 + 0.032 n) in. There is no legal standard", 0, 16,
		`Wikipedia "Ring size"; Ganoksin Orchid thread 39687`,
		func(n float64) float64 { return (0.458 + float64(0.032*n)) * Inch }},
	{"UK", `letters A to Z, then Z+1 and on, halves too ("L½" or "L1/2"); BS 6820:1987: circumference 36.25 + 1.25 n, A = 1`, 1, 32.5,
		"GNU Units definitions (cites BS 6820); navettejewellery.org 2020",
		func(n float64) float64 { return (36.25 + float64(1.25*n)) / math.Pi }},
	{"ISO", "numbers: the circumference in mm; ISO 8653", 38, 76,
		"BS EN ISO 8653:2014 text preview (41 to 76)",
		func(n float64) float64 { return n / math.Pi }},
	{"JP", "numbers from 1: diameter (38 + n) / 3", 1, 30,
		"GNU Units definitions; tenmaya-j.jp note 1050 (No. 1 = 13 mm, 3 sizes a mm)",
		func(n float64) float64 { return (38 + n) / 3 }},
	{"CH", "Swiss, Italian, Spanish numbers: circumference 40 + n", 0, 36,
		`GNU Units definitions; Wikipedia "Ring size"`,
		func(n float64) float64 { return (40 + n) / math.Pi }},
}

// RingScales returns the systems of ring sizes, in the order of the table.
func RingScales() []RingScale { return slices.Clone(ringScales) }

// RingSize returns the inside diameter in mm of a ring of that size: "7",
// "7.5", "7½" or "7 1/2" in the number systems, "L", "L½", "L 1/2" or "Z+2" in
// the British one. It fails where the system is not known or the size is not
// one of it.
func RingSize(system, size string) (float64, error) {
	s, ok := named(ringScales, system, func(s RingScale) string { return s.Name })
	if !ok {
		return 0, fmt.Errorf("ring system %q is not known: give one of %s", system,
			strings.Join(names(ringScales, func(s RingScale) string { return s.Name }), ", "))
	}
	read := ringNumber
	if s.Name == "UK" {
		read = ringLetter
	}
	n, ok := read(strings.TrimSpace(size))
	if !ok {
		return 0, fmt.Errorf("ring size %q is not a size of the %s system: %s", size, s.Name, s.About)
	}
	if !(n >= s.Low && n <= s.High) {
		return 0, fmt.Errorf("ring size %q is outside the %s system", size, s.Name)
	}
	return s.inside(n), nil
}

// ringNumber reads a number, perhaps with a fraction after it.
func ringNumber(s string) (float64, bool) {
	whole, part := splitFraction(s)
	n, err := strconv.ParseFloat(whole, 64)
	return n + part, err == nil
}

// ringLetter reads a British letter as its number: A is 1, Z 26, Z+1 27.
func ringLetter(s string) (float64, bool) {
	whole, part := splitFraction(s)
	if part != 0 && part != 0.5 || whole == "" {
		return 0, false
	}
	n := float64(strings.ToUpper(whole)[0]) - 'A' + 1
	if !(n >= 1 && n <= 26) {
		return 0, false
	}
	rest := whole[1:]
	if n == 26 && strings.HasPrefix(rest, "+") {
		more, err := strconv.ParseUint(rest[1:], 10, 8)
		return n + float64(more) + part, err == nil && more > 0
	}
	return n + part, rest == ""
}

// fractions are what may stand behind a whole size.
var fractions = []struct {
	text string
	part float64
}{{"½", 0.5}, {"¼", 0.25}, {"¾", 0.75}, {"1/2", 0.5}, {"1/4", 0.25}, {"3/4", 0.75}}

// splitFraction takes a half or a quarter off the end of a size. Where a digit
// stands right before it ("71/2") or the rest has a point the size is unclear
// and stays as it is.
func splitFraction(s string) (whole string, part float64) {
	for _, f := range fractions {
		cut, ok := strings.CutSuffix(s, f.text)
		if !ok {
			continue
		}
		whole = strings.TrimSpace(cut)
		glued := f.text[0] < 128 && cut == whole && strings.TrimRight(cut, "0123456789") != cut
		if glued || strings.Contains(whole, ".") {
			return s, 0
		}
		return whole, f.part
	}
	return s, 0
}
