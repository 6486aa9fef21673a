package proof

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// slipsOf returns the slips of a recipe by their keys.
func slipsOf(t *testing.T, src string) map[string]Remark {
	t.Helper()
	p, diags := piece.Read([]byte(src), "recipe.hcl", nil)
	if p == nil {
		t.Fatal(diags)
	}
	b := &bench{piece: p, house: p.House}
	if err := b.slips(); err != nil {
		t.Fatal(err)
	}
	all := map[string]Remark{}
	for _, r := range b.remarks {
		all[r.Key()+" "+r.Word] = r
	}
	return all
}

// setPin is a stone in a bezel, with numbers of the bench's.
const setPin = `piece "pin" {}
stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 5
  lift   = 1.4
}
plate "disc" {
  form      = "circle"
  across    = 9
  thickness = 1.6
}
bezel "rim" {
  on        = plate.disc
  holds     = stones.bud
  wall      = 0.45
  clearance = 0.05
  lip       = 0.5
}
`

// Numbers that are ten times too large or too small are told with what was
// meant; what follows from them is not.
func TestSlips(t *testing.T) {
	if all := slipsOf(t, setPin); len(all) > 0 {
		t.Fatal(all)
	}
	for _, c := range [][3]string{ // the word as it was, as it slipped, what was meant
		{"thickness = 1.6", "thickness = 12", "1.2"},
		{"clearance = 0.05", "clearance = 0.9", "0.09"},
		{"lip       = 0.5", "lip       = 0.1", "1"},
		{"lip       = 0.5", "lip       = 5", "0.5"},
		{"wall      = 0.45", "wall      = 4.5", "0.45"},
		{"across    = 9", "across    = 240", "24"},
	} {
		all := slipsOf(t, strings.Replace(setPin, c[0], c[1], 1))
		if len(all) != 1 {
			t.Errorf("%s: %v", c[1], all)
		}
		for _, r := range all {
			if word, _, _ := strings.Cut(c[1], " "); r.Meant != c[2] || r.Word != word || r.Grade != Caution || r.Source == "" {
				t.Errorf("%s: %+v", c[1], r)
			}
		}
	}
}

// What is within four times the usual is never told, and what is ten times out of
// it always: for any range of the table.
func TestSlipped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(usuals).Draw(t, "range")
		v := rapid.Float64Range(max(u.low/3.99, 1e-3), 3.99*u.high).Draw(t, "unusual")
		if _, off := u.off(v); off {
			t.Fatalf("%s %s: %g is told", u.kind, u.word, v)
		}
		in := rapid.Float64Range(max(u.low, u.high/2), u.high).Draw(t, "usual")
		if end, off := u.off(10 * in); !off || end != u.high {
			t.Fatalf("%s %s: %g is not told", u.kind, u.word, 10*in)
		}
		if m, ok := u.meant(10 * in); !ok || abs(m-in) > 1e-5 {
			t.Fatalf("%s %s: of %g, %g is meant", u.kind, u.word, 10*in, m)
		}
	})
}

// Every word of the table is a word of its kind of block, a length, with a range
// that a recipe may leave.
func TestUsuals(t *testing.T) {
	words := map[string]string{}
	for _, k := range piece.Kinds().Blocks {
		ref, err := lang.Reference(piece.Kinds(), k.Name)
		if err != nil {
			t.Fatal(err)
		}
		words[k.Name] = ref
	}
	for _, u := range usuals {
		if !strings.Contains(words[u.kind], "  "+u.word) {
			t.Errorf("a %s has no word %q", u.kind, u.word)
		}
		if !(u.low < u.high) || u.source == "" {
			t.Error(fmt.Sprint("no range: ", u))
		}
	}
}
