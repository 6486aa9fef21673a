package lang

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const bedOfTwo = `# a garden

bed "a" {
  form   = "circle" # round
  across = 9        # mm

  # the last word of all
}

bed "b" {
	form = "circle"
	across = [
		1, 2,
	]
}
bed "c" { across = 2 }
bed "d" {
}`

// A word is added under the last one, in its indent and its columns; what cannot be
// added is an error.
func TestAddLiteral(t *testing.T) {
	for _, c := range []struct{ address, word, text, after, line string }{
		{"bed.a", "deep", "0.5", "  across = 9        # mm\n", "  deep   = 0.5\n"},
		{"bed.a", "longer_than", "-3", "  across = 9        # mm\n", "  longer_than = -3\n"},
		{"bed.b", "deep", `"wet"`, "\t]\n", "\tdeep   = \"wet\"\n"},
	} {
		got, err := AddLiteral([]byte(bedOfTwo), c.address, c.word, c.text)
		if want := strings.Replace(bedOfTwo, c.after, c.after+c.line, 1); err != nil || string(got) != want {
			t.Errorf("%s: %v\n%s", c.word, err, got)
		}
		back, err := SetLiteral(got, c.address, c.word, "7")
		if err != nil || !strings.Contains(string(back), "= 7") {
			t.Errorf("%s: %v", c.word, err)
		}
	}
	for _, c := range [][3]string{
		{"bed.a", "across", "3"},   // is there
		{"bed.a", "deep", "3 + 4"}, // no literal
		{"bed.c", "deep", "3"},     // on one line
		{"bed.d", "deep", "3"},     // nothing to stand under
		{"bed.e", "deep", "3"},     // no such block
		{"bed.a", "rays.deep", "3"},
		{"bed.a", "de ep", "3"},
		{"bed.a", "deep", "3\n}"},
	} {
		if got, err := AddLiteral([]byte(bedOfTwo), c[0], c[1], c[2]); err == nil {
			t.Errorf("%v: added\n%s", c, got)
		}
	}
}

// Whatever is added, all that was there stays, byte for byte, in one piece before
// and one behind the new line.
func TestAddKeeps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		address := rapid.SampledFrom([]string{"bed.a", "bed.b", "bed.c", "bed.d", "bed"}).Draw(t, "address")
		word := rapid.StringMatching(`[a-z_][a-z0-9_]{0,12}`).Draw(t, "word")
		text := rapid.SampledFrom([]string{"1", "-0.25", `"x"`, "true"}).Draw(t, "text")
		got, err := AddLiteral([]byte(bedOfTwo), address, word, text)
		if err != nil {
			return
		}
		k := 0
		for k < len(bedOfTwo) && got[k] == bedOfTwo[k] {
			k++
		}
		rest := len(got) - len(bedOfTwo)
		if rest <= 0 || string(got[:k])+string(got[k+rest:]) != bedOfTwo {
			t.Fatalf("%q", got)
		}
	})
}
