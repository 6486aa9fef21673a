package papers

import (
	"context"
	"slices"
	"strings"
	"testing"

	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// tide is one ear of a pair, without its stones; pearls are some in a row, garnets
// some in a ring.
const tide = `piece "tide" {
  pair = "mirrored"
}
plate "shell" {
  form      = "circle"
  across    = 30
  thickness = 1.6
}
`

const pearls = `stones "foam" {
  layout = "points"
  cut    = "cabochon"
  gem    = "pearl"
  size   = 3
  points = [-11, 0, -9, 5.5, -5, 9]
}
bezel "foam" {
  on    = plate.shell
  holds = stones.foam
}
`

const garnets = `stones "ripple" {
  layout = "ring"
  cut    = "round"
  gem    = "garnet-tsavorite"
  size   = 2
  count  = 6
  radius = 5
  lean   = 10
}
prongs "ripple" {
  on    = plate.shell
  holds = stones.ripple
  where = "around"
  wire  = 0.6
}
`

func tidePapers(t *testing.T, groups string) *Papers {
	t.Helper()
	p, err := Gather(context.Background(), source(t, tide+groups), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A sheet speaks of what its stones have: cabochons in a row have no table, no
// culet and no opposite; a ring of faceted stones has no base.
func TestWordsByLayoutAndCut(t *testing.T) {
	pearl, _ := stock.GemNamed("pearl")
	row := tidePapers(t, pearls)
	ring := tidePapers(t, garnets)
	both := tidePapers(t, garnets+pearls)
	for _, c := range []struct {
		name       string
		says       string
		want, none []string
	}{
		{"a row of pearls, setting", said(row.settingSheet(&Art{})),
			[]string{"base", "top", pearl.Bench(), "bezels are cast open", "stones on the right of the map lie on its left"},
			[]string{"clockwise", "opposite", "table", "culet", "girdle", "°", "Prongs", "cut them"}},
		{"a row of pearls, order", said(row.stonesSheet(nil)),
			[]string{"across the base", "from top to base", "natural or cultured"},
			[]string{"girdle", "table", "culet", "grown"}},
		{"a ring of garnets, setting", said(ring.settingSheet(&Art{})),
			[]string{"clockwise", "opposite", "girdle", "table", "culet", "cut them to the stone in hand", "lean", "10°", "Prongs are cast straight"},
			[]string{"base", "cabochon", "Delicate", "bezel"}},
		{"a ring of garnets, order", said(ring.stonesSheet(nil)),
			[]string{"across the girdle", "from table to culet", "natural or grown"},
			[]string{"base", "cabochon", "cultured"}},
		{"both, setting", said(both.settingSheet(&Art{})),
			[]string{"rings clockwise", "girdle or base", "table or top", "bezels before prongs", "delicate stones last", pearl.Bench()}, nil},
		{"both, order", said(both.stonesSheet(nil)),
			[]string{"from table to culet, of a cabochon from top to base", "natural, grown or cultured"}, nil},
		{"a row of pearls, cautions", said(row.cautionsSheet(nil)), []string{"delicate stones"}, nil},
		{"a ring of garnets, cautions", said(ring.cautionsSheet(nil)), nil, []string{"delicate stones"}},
	} {
		low := strings.ToLower(c.says)
		for _, w := range c.want {
			if !strings.Contains(low, strings.ToLower(w)) {
				t.Errorf("%s: %q is not there:\n%s", c.name, w, c.says)
			}
		}
		for _, w := range c.none {
			if strings.Contains(low, strings.ToLower(w)) {
				t.Errorf("%s: %q is there:\n%s", c.name, w, c.says)
			}
		}
	}
}

// The caption of the map says where number 1 of a ring lies: at the bearing that its
// list of stones gives it.
func TestWhereNumbersBegin(t *testing.T) {
	turned := strings.Replace(garnets, "lean   = 10", "turn   = 100", 1)
	other := strings.NewReplacer("ripple", "inner", "radius = 5", "radius = 10", "lean   = 10", "turn   = 30").Replace(garnets)
	for _, c := range []struct{ groups, want string }{
		{garnets, "Stones by number, clockwise from the top, seen from the front"},
		{turned, "Stones by number, clockwise, the first 100° from the top, seen from the front"},
		{turned + pearls, "Stones by number, rings clockwise, the first 100° from the top, seen from the front"},
		{turned + other, "Stones by number, clockwise, the first of ripple 100°, of inner 30° from the top, seen from the front"},
		{garnets + other, "Stones by number, clockwise, the first of ripple 0°, of inner 30° from the top, seen from the front"},
	} {
		made, diags := piece.Read([]byte(tide+c.groups), "tide.hcl", nil)
		if made == nil {
			t.Fatal(diags)
		}
		p := Papers{Settings: settings(made)}
		if got := p.mapCaption(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Delicate stones are set last, though bezels come before prongs; stones of no ring
// as they are numbered.
func TestDelicateLast(t *testing.T) {
	citrine := strings.NewReplacer("foam", "spot", "pearl", "citrine", "-11, 0, -9, 5.5, -5, 9", "0, 0").Replace(pearls)
	var groups []string
	var row []int
	for _, o := range tidePapers(t, pearls+garnets+citrine).Order {
		if !slices.Contains(groups, o.Group) {
			groups = append(groups, o.Group)
		}
		if o.Group == "foam" {
			row = append(row, o.N)
		}
	}
	if !slices.Equal(groups, []string{"spot", "ripple", "foam"}) {
		t.Errorf("%v", groups)
	}
	if !slices.Equal(row, []int{1, 2, 3}) {
		t.Errorf("the row is set %v", row)
	}
}

// A table set side by side has each of its rows once, in their order.
func TestSide(t *testing.T) {
	for rows := range 40 {
		tab := table{cols: []column{{"n", right}}}
		var want, got []string
		for i := range rows + 1 {
			tab.row(string(rune('A' + i)))
			want = append(want, string(rune('A'+i)))
		}
		b := tab.side(columnsFor(rows + 1))
		tables := []block{b}
		if c, ok := b.(columns); ok {
			tables = nil
			for _, p := range c.parts {
				tables = append(tables, p.blocks...)
			}
		}
		for _, b := range tables {
			for _, r := range b.(table).rows {
				got = append(got, r[0])
			}
		}
		if !slices.Equal(got, want) {
			t.Fatalf("%v, want %v", got, want)
		}
	}
}
