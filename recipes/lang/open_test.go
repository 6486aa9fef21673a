package lang_test

import (
	"strings"
	"testing"

	"waxwright/recipes/lang"
)

// TestOneSignForgotten takes every quote, brace and bracket out of a recipe in
// turn: each time there is one fault, at the line of the sign or of its partner.
func TestOneSignForgotten(t *testing.T) {
	partner := partnerLines(herbs)
	for i, c := range herbs {
		line := partner[i]
		if line == nil || strings.HasPrefix(herbs[:i], "garden") && i < len("garden \"herb \\\"garden\\\"\"") {
			continue // the title's quotes in quotes are a riddle
		}
		_, ds := lang.Read([]byte(herbs[:i]+herbs[i+1:]), "r.hcl", garden, lang.Options{})
		at := 1 + strings.Count(herbs[:i], "\n")
		if len(ds) != 1 || ds[0].Span.Line != line[0] && ds[0].Span.Line != line[1] {
			var b strings.Builder
			ds.Print(&b, lang.Layout{})
			t.Errorf("without the %c of line %d: want one fault at line %d or %d, got\n%s", c, at, line[0], line[1], b.String())
		}
	}
}

// partnerLines returns for every byte that is a quote or bracket the lines of it
// and its partner.
func partnerLines(src string) map[int][]int {
	lines, open, quoted := map[int][]int{}, []int(nil), false
	at := func(i int) int { return 1 + strings.Count(src[:i], "\n") }
	pair := func(i, j int) {
		lines[i], lines[j] = []int{at(i), at(j)}, []int{at(i), at(j)}
	}
	for i, c := range src {
		switch {
		case c == '"' && !quoted, strings.ContainsRune("{[(", c):
			open = append(open, i)
			quoted = c == '"'
		case c == '"', strings.ContainsRune("}])", c):
			pair(open[len(open)-1], i)
			open, quoted = open[:len(open)-1], false
		}
	}
	return lines
}

func TestOpen(t *testing.T) {
	for _, c := range []struct {
		name, src string
		want      []want
	}{
		{"quote of a word", "bed \"a\" {\n form = \"circle  # round\n across = 5\n}\nbed \"b\" {\n form = \"circle\"\n across = 5\n}",
			[]want{{"3:9", "close it on the same line: \"circle\""}}},
		{"quote of a name", "bed \"a {\n form = \"circle\"\n across = 5\n}", []want{{"2:5", "close it on the same line: \"a\""}}},
		{"quotes of two words", "bed \"a\" {\n form = \"circle\n across = 5\n note = \"wet\n}", []want{{"3:9", "circle"}, {"5:9", "wet"}}},
		{"quote in a list", "ring \"a\" {\n size = 1\n count = 5\n plants = [\"sage\", \"rue]\n}", []want{{"5:20", "\"rue\""}}},
		{"quote on the last line", "let \"a\" { value = \"x", []want{{"2:19", "\"x\""}, {"2:1", "x"}}[:1]},
		{"unit beside it", "bed \"a\" {\n form = \"circle\n across = 5mm\n}", []want{{"3:9", "circle"}, {"4:11", "plain mm"}}},
		{"brace before a block", "bed \"a\" {\n form = \"circle\"\n across = 5\n\nlet \"b\" { value = 1 }", []want{{"2:9", "bed \"a\" is not closed\na closing } is missing before line 6, where let begins"}}},
		{"brace before a block of no kind", "bed \"a\" {\n form = \"circle\"\n across = 5\n\nlett \"b\" { value = 1 }", []want{{"2:9", "before line 6, where lett begins"}}},
		{"brace of a sub-block", "bed \"a\" {\n form = \"circle\"\n across = 5\n border {\n  count = 1\n  width = [1, 2]\n}\nlet \"b\" { value = 1 }", []want{{"5:9", "border is not closed\na closing } is missing before line 8"}}},
		{"brace too many", "bed \"a\" {\n form = \"circle\"\n}\n across = 5\n}", []want{{"6:1", "bed \"a\" was closed at line 4 already"}}},
		{"brace on the next line", "bed \"a\"\n{\n form = \"circle\"\n across = 5\n}", []want{{"2:1", "on the same line: bed \"a\" {"}}},
		{"no brace at all", "bed \"a\"\n form = \"circle\"\n across = 5\n}", []want{{"2:1", "on the same line: bed \"a\" {"}}},
		{"no brace of a sub-block", "bed \"a\" {\n form = \"circle\"\n across = 5\n border\n  count = 1\n  width = [1, 2]\n }\n}", []want{{"5:2", "same line: border {"}}},
		{"bracket before a word", "bed \"a\" {\n form = \"circle\"\n across = 5\n border {\n  width = [1, 2\n  count = 1\n }\n}", []want{{"6:11", "a closing ] is missing before line 7, where count begins"}}},
		{"bracket before a brace", "bed \"a\" {\n form = \"circle\"\n across = (5 + 2\n}", []want{{"4:11", "this ( is not closed"}}},
		{"bracket without a beginning", "bed \"a\" {\n form = \"circle\"\n across = 5\n border {\n  count = 1\n  width = 1, 2]\n }\n}", []want{{"7:15", "take it out, or write [ before it"}}},
		{"bracket of the other sort", "let \"a\" { value = [1, 2) }", []want{{"2:24", ") closes what [ opened\nwrite ]"}}},
		{"two blocks", "bed \"a\" {\n form = \"circle\"\n across = 5\n\nbed \"b\" {\n form = \"circle\"\n across = 5\n\nbed \"c\" {\n form = \"circle\"\n across = 5\n}", []want{{"2:9", "line 6"}, {"6:9", "line 10"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, ds := lang.Read([]byte("garden \"x\" { }\n"+c.src+"\n"), "r.hcl", garden, lang.Options{})
			expect(t, ds, c.want)
		})
	}
}
