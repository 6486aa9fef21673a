package proof

import (
	"context"
	"fmt"
	"os"
	"slices"
	"testing"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// shares returns for a disc with a bezel of that wall and a ray the least share of
// what is asked that the bezel shows, and the back under the grooves.
func shares(t *testing.T, wall, thick float64) (bezel, floor float64, leasts []Least) {
	t.Helper()
	p, diags := piece.ReadFor(fmt.Appendf(nil, `piece "disc" { finish = "as-cast" }
stones "heart" {
  layout = "one"
  gem    = "citrine"
  size   = 3
}
plate "disc" {
  form      = "circle"
  across    = 12
  thickness = %g
  rays {
    count = 6
    from  = 3.5
    depth = 0.6
    width = [1, 1.4]
  }
}
bezel "rim" {
  on    = plate.disc
  holds = stones.heart
  wall  = %g
}
`, thick, wall), "disc.hcl", piece.Options{For: piece.Finished})
	if diags.Faulty() {
		t.Fatal(diags)
	}
	m, err := build.Make(context.Background(), p, build.Options{})
	if err != nil {
		t.Fatal(err)
	}
	asked, leasts := Asked(m)
	c := &m.Castings[0]
	on := m.Cast(c).Split(0.3, 60_000)
	all, err := m.Shares(context.Background(), c, on, 3, asked, 0)
	if err != nil {
		t.Fatal(err)
	}
	bezel, floor = 10, 10
	for i, v := range on.V {
		switch r := v.XY().Len(); {
		case v.Z > 0.1:
			bezel = min(bezel, all[i])
		case r > 4 && r < 5.5 && v.Z < 0.01-thick:
			floor = min(floor, all[i])
		}
	}
	return bezel, floor, leasts
}

// Walls are held against limits of their own: a bezel of 0.42 mm is more than the
// 0.35 that is asked of bezels, though less than the 0.60 of small plates, and one
// of 0.30 is less; so are 0.60 and 0.30 mm left under grooves, of which 0.40 are
// asked.
func TestAsked(t *testing.T) {
	house, _ := stock.HouseNamed("practised")
	fail := func(r stock.Role) float64 { l, _ := house.Limit(r); return l.Fail.Value }
	for _, c := range []struct{ wall, thick float64 }{{0.42, 1.2}, {0.30, 0.9}} {
		bezel, floor, leasts := shares(t, c.wall, c.thick)
		if want := c.wall / (fail(stock.BezelWall) - give); bezel < want-0.1 || bezel > want+0.1 {
			t.Errorf("a bezel of %g shows %.2f of its limit, want %.2f", c.wall, bezel, want)
		}
		// on the back no vertex need lie right under the bottom of a groove
		if want := (c.thick - 0.6) / (fail(stock.Grooved) - give); floor < want-0.1 || (floor < 1) != (want < 1) {
			t.Errorf("%g under a groove show %.2f of their limit, want %.2f", c.thick-0.6, floor, want)
		}
		var words []string
		for _, l := range leasts {
			words = append(words, l.String())
		}
		if want := []string{"plate 0.60", "grooved 0.40", "bezel 0.35", "bearing 0.20"}; !slices.Equal(words, want) {
			t.Errorf("limits %q, want %q", words, want)
		}
	}
}

// crown is a ring of three stones held by prongs in their outer pockets.
const crown = `piece "crown" { finish = "as-cast" }
stones "ring" {
  layout = "ring"
  gem    = "citrine"
  size   = 2.5
  count  = 3
  gap    = 0.15
}
plate "disc" {
  form      = "circle"
  across    = 10
  thickness = 1.6
}
opening "light" {
  form  = "under"
  in    = plate.disc
  under = stones.ring
}
prongs "outer" {
  on    = plate.disc
  holds = stones.ring
  where = "outer pockets"
  wire  = 0.9
  cover = 0.17
}
`

// A tip thins out over the crown of its stone, and between two girdles metal is as thin
// as they are near: neither is too thin a wall, set or to set, where the necks of prongs
// are as thick as is asked. A neck that is thinner is one.
func TestAskedAtSeats(t *testing.T) {
	file, err := os.ReadFile("../../testdata/faulty/prong-neck.hcl")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		src   string
		state piece.For
		thin  bool
	}{{crown, piece.ForCasting, false}, {crown, piece.Finished, false}, {string(file), piece.Finished, true}} {
		p, diags := piece.ReadFor([]byte(c.src), "recipe.hcl", piece.Options{For: c.state})
		if diags.Faulty() {
			t.Fatal(diags)
		}
		m, err := build.Make(t.Context(), p, build.Options{Tol: coarse})
		if err != nil {
			t.Fatal(err)
		}
		asked, _ := Asked(m)
		on := m.Cast(&m.Castings[0]).Split(0.2, 20_000)
		all, err := m.Shares(t.Context(), &m.Castings[0], on, 1, asked, 0)
		if err != nil {
			t.Fatal(err)
		}
		if least := slices.Min(all); (least < 1) != c.thin {
			t.Errorf("%s, %v: %.2f of what is asked at %v", p.Title, c.state, least, on.V[slices.Index(all, least)])
		}
	}
}
