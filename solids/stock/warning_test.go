package stock

import (
	"slices"
	"strings"
	"testing"
)

// law returns a figure of a warning, -1 if it is not there.
func law(name, says string) float64 {
	w, _ := WarningNamed(name)
	for _, l := range w.Limits {
		if strings.HasPrefix(l.Says, says) {
			return l.Value
		}
	}
	return -1
}

func TestLaws(t *testing.T) {
	check(t, []fact{
		{"08-001", "nickel from posts, ug/cm2/week", law("pierced ears", "nickel released by posts"), 0.2, 0, reach27},
		{"08-001", "the same under nickel", law("nickel", "nickel released by posts"), 0.2, 0, reach27},
		{"08-002", "nickel on skin, ug/cm2/week", law("nickel", "nickel released by what touches skin"), 0.5, 0, reach27},
		{"08-004", "cadmium, % by weight", law("cadmium", "cadmium in metal parts, EU"), 0.01, 0, entry23},
		{"08-005", "lead, % by weight", law("lead", "lead in any part, EU"), 0.05, 0, entry63},
		{"08-006", "UK gold, g", law("hallmark", "gold, unmarked in the UK"), 1, 0, ccmUK},
		{"08-007", "UK silver, g", law("hallmark", "silver, unmarked in the UK"), 7.78, 0, ccmUK},
		{"08-007", "UK silver is a quarter of a troy ounce, g", law("hallmark", "silver, unmarked in the UK"), 31.1035 / 4, 0.005, "from memory: a troy ounce is 31.1034768 g"},
		{"08-008", "UK platinum, g", law("hallmark", "platinum, unmarked in the UK"), 0.5, 0, ccmUK},
		{"08-009", "UK palladium, g", law("hallmark", "palladium, unmarked in the UK"), 1, 0, ccmUK},
		{"08-010", "Finland gold, g", law("hallmark", "gold, platinum, palladium, unmarked in Finland"), 1, 0, ccmFI},
		{"08-010", "Finland silver, g", law("hallmark", "silver, unmarked in Finland"), 10, 0, ccmFI},
		{"08-012", "Finland gold, parts in 1000", law("hallmark", "gold, least fineness"), 375, 0, tukes},
		{"08-012", "Finland silver, parts in 1000", law("hallmark", "silver, least fineness"), 800, 0, tukes},
		{"08-012", "Finland platinum, parts in 1000", law("hallmark", "platinum, least fineness"), 500, 0, tukes},
		{"08-012", "Finland palladium, parts in 1000", law("hallmark", "palladium, least fineness"), 500, 0, tukes},
		{"08-013", "US children's lead, ppm", law("lead", "lead in children's jewellery"), 100, 0, kidsLead},
		{"08-013", "US children's coatings, ppm", law("lead", "lead in coatings"), 90, 0, kidsLead},
		{"08-014", "US children's cadmium, ppm", law("cadmium", "cadmium in children's"), 300, 0, "MJSA note on ASTM F2923"},
		{"08-015", "US adults' lead, % by weight", law("lead", "lead in unplated metal of adult"), 1.5, 0, adultLead},
		{"08-016", "silica, US limit, ug/m3", law("silica", "respirable silica in air, US limit"), 50, 0, cpwr},
		{"08-016", "silica, ACGIH, ug/m3", law("silica", "respirable silica in air, ACGIH"), 25, 0, cpwr},
		{"08-017", "silica, action level, ug/m3", law("silica", "respirable silica in air, US action"), 25, 0, actionOf},
	})
	if got := law("lead", "no such"); got != -1 {
		t.Errorf("a figure that is not there is %g", got)
	}
}

// Every alloy with a fineness keeps the least that Finland prints for its
// metal.
func TestAlloysMayBeMarked(t *testing.T) {
	for _, name := range AlloyNames() {
		a, _ := AlloyNamed(name)
		if a.Fineness == 0 {
			continue
		}
		if least := law("hallmark", a.Base+", least fineness"); float64(a.Fineness) < least || least < 0 {
			t.Errorf("%s: %d parts of %s, at least %g", a.Name, a.Fineness, a.Base, least)
		}
	}
}

// Every warning names its source, and says itself short and in full.
func TestWarningsAreWhole(t *testing.T) {
	traits := []Trait{Printed, Burnt, Worn, Pierced, NickelIn, Precious, Zinc, SmallParts, Delicate}
	all := Warnings(traits...)
	if len(all) != len(warnings) {
		t.Errorf("%d of %d warnings go with some trait", len(all), len(warnings))
	}
	seen := map[string]bool{}
	for _, w := range all {
		if w.Source == "" || w.Short == "" || len(w.Short) > 76 || w.Text == "" || seen[w.Name] || strings.HasSuffix(w.Short, ".") || !strings.HasSuffix(w.Text, ".") {
			t.Errorf("%+v", w)
		}
		seen[w.Name] = true
		for _, l := range w.Limits {
			if l.Source == "" || l.Unit == "" || l.Value <= 0 {
				t.Errorf("%s: %+v", w.Name, l)
			}
		}
	}
	if all[0].Name != "law" {
		t.Errorf("first comes %s, not the law", all[0].Name)
	}
	none := Warnings()
	if len(none) != 1 || none[0].Name != "law" {
		t.Errorf("without a trait: %v", none)
	}
}

// Nickel is spoken of for the white golds that have it, zinc for brass.
func TestTraitsOfAlloys(t *testing.T) {
	for name, want := range map[string][]Trait{
		"silver-925": {Precious}, "gold-14-white": {Precious, NickelIn}, "gold-18-white": {Precious},
		"bronze": nil, "brass": {Zinc},
	} {
		a, ok := AlloyNamed(name)
		if got := a.Traits(); !ok || !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
	for _, n := range nickelWhites {
		if _, ok := AlloyNamed(n); !ok {
			t.Errorf("no alloy is called %s", n)
		}
	}
}

// What the trade spares pearls, opals and their like it does not spare diamonds;
// whoever sets such a gem and whoever wears it are warned both.
func TestDelicateGems(t *testing.T) {
	for _, name := range GemNames() {
		g, _ := GemNamed(name)
		delicate := slices.Contains(g.Traits(), Delicate)
		if delicate != (g.Bench() != "") || delicate != strings.Contains(strings.ToLower(g.Care()), "no ultrasonic") {
			t.Errorf("%s: %q, %q", name, g.Bench(), g.Care())
		}
		want := slices.Contains([]string{"pearl", "coral", "turquoise", "lapis-lazuli", "opal", "emerald", "tanzanite", "tourmaline", "peridot", "topaz", "zircon", "aquamarine"}, name)
		if delicate != want {
			t.Errorf("%s is delicate: %t", name, delicate)
		}
		for _, harm := range []string{"no ultrasonic", "no steam", "no pickle"} {
			if delicate && !strings.Contains(strings.ToLower(g.Bench()), harm) {
				t.Errorf("%s: %s is not said: %s", name, harm, g.Bench())
			}
		}
	}
	for _, k := range keepings {
		for _, name := range k.gems {
			if _, ok := GemNamed(name); !ok {
				t.Errorf("no gem is called %s", name)
			}
		}
	}
}

// Titles are words, without the marks of recipes, and no two are the same.
func TestTitles(t *testing.T) {
	for name, want := range map[string]string{
		"silver-925": "silver 925", "gold-9-rose": "9 ct rose gold", "gold-18-white-nickel": "18 ct white gold with nickel",
		"platinum-950": "platinum 950", "bronze": "bronze",
	} {
		if a, _ := AlloyNamed(name); a.Title() != want {
			t.Errorf("%s: %q, want %q", name, a.Title(), want)
		}
	}
	seen := map[string]bool{}
	for _, name := range AlloyNames() {
		a, _ := AlloyNamed(name)
		if strings.Contains(a.Title(), "-") || seen[a.Title()] {
			t.Errorf("%s: %q", name, a.Title())
		}
		seen[a.Title()] = true
	}
	for name, want := range map[string]string{"garnet-rhodolite": "rhodolite garnet", "lapis-lazuli": "lapis lazuli", "pearl": "pearl"} {
		if g, _ := GemNamed(name); g.Title() != want {
			t.Errorf("%s: %q, want %q", name, g.Title(), want)
		}
	}
}
