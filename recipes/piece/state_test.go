package piece

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
)

func compile(t *testing.T, src string, to For) *Piece {
	t.Helper()
	p, d := ReadFor([]byte(src), "test.hcl", Options{For: to})
	if p == nil {
		t.Fatal(d)
	}
	return p
}

const held = `
piece "test" { finish = "FINISH" }
stones "s" {
  layout = "one"
  gem    = "citrine"
  size   = 4
  LOT
}
plate "p" {
  form      = "circle"
  across    = 12
  thickness = 1.5
}
opening "o" {
  form  = "under"
  in    = plate.p
  under = stones.s
}
opening "w" {
  form   = "circle"
  in     = plate.p
  across = 1.5
  at     = 180
  out    = 4
}
HOLDER
post "e" {
  on  = plate.p
  at  = 0
  out = 4
}
`

const claws = `prongs "h" {
  on    = plate.p
  holds = stones.s
  where = "around"
  wire  = 0.9
  cover = 0.2
}`

const wall = `bezel "h" {
  on    = plate.p
  holds = stones.s
}`

func filled(finish, lot, holder string) string {
	return strings.NewReplacer("FINISH", finish, "LOT", lot, "HOLDER", holder).Replace(held)
}

// The worst stone, worked by hand: 4 mm, 0.05 either way; prongs of 0.9 that
// cover 0.2 of the smallest, 3.95, stand at 1.975 + 0.45 - 0.2 = 2.225; a bezel
// round the largest, 4.05, is 4.05 + 2 (0.05 + 0.45) = 5.05 across.
func TestWorstStone(t *testing.T) {
	p := compile(t, filled("as-cast", "", claws), ForCasting)
	h, _ := lang.Find[*Prongs](p.Recipe, "prongs.h")
	g, _ := lang.Find[*Stones](p.Recipe, "stones.s")
	near(t, "largest", g.Largest(), 4.05)
	near(t, "smallest", g.Smallest(), 3.95)
	near(t, "deepest", g.Deepest(), g.Stone().Deep()*4.05/4)
	near(t, "axis", h.Axes()[0].Len(), 2.225)
	near(t, "tip", h.Tip(), g.Worst().Top()+0.3)
	near(t, "bearing under the smallest", p.Castings[0].Metal.Dist(vec.P{X: 3.95/2 - 0.5, Z: -1.45}), 0)

	p = compile(t, filled("as-cast", "measured = [4.02, 3.97, 2.6]", wall), ForCasting)
	g, _ = lang.Find[*Stones](p.Recipe, "stones.s")
	near(t, "measured", g.Largest(), 4.02)
	near(t, "measured", g.Smallest(), 3.97)
	near(t, "measured depth", g.Worst().Top()+g.Worst().Deep(), 2.6)
	near(t, "bezel wall, outside", p.Castings[0].Metal.Dist(vec.P{X: 4.02/2 + 0.5, Z: 0.2}), 0)

	if p, _ := Read([]byte(filled("polish", "measured = [4.2, 3.97, 2.6]", wall)), "t", nil); p != nil {
		t.Error("no fault for stones far off their size")
	}
	p = compile(t, filled("polish", `goods = "commercial"`, wall), ForCasting)
	g, _ = lang.Find[*Stones](p.Recipe, "stones.s")
	near(t, "commercial goods under 1 ct (International Gem Society): 0.1", g.Largest(), 4.1)
	p = compile(t, strings.Replace(filled("polish", `snap = "stock"`, wall), "= 4\n", "= 4.3\n", 1), ForCasting)
	g, _ = lang.Find[*Stones](p.Recipe, "stones.s")
	near(t, "snapped to a size that is sold", g.Size, 4)
}

// A ring: (2 + 0.05 + 0.2) / (2 sin 18) from the middle.
func TestWorstRing(t *testing.T) {
	p := compile(t, sound, ForCasting)
	g, _ := lang.Find[*Stones](p.Recipe, "stones.ring")
	near(t, "radius", g.Radius, 2.25/(2*math.Sin(math.Pi/10)))
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// To set, nothing stands in the way of the largest stone, lowered along its
// axis, but each prong by its cover and the difference of the lot; set, the
// tips lie over the crown and lower than the table.
func TestWayIn(t *testing.T) {
	toSet := compile(t, filled("as-cast", "", claws), ForCasting)
	set := compile(t, filled("as-cast", "", claws), Finished)
	g, _ := lang.Find[*Stones](toSet.Recipe, "stones.s")
	free := g.Largest()/2 - 0.2 - (g.Largest()-g.Smallest())/2
	rapid.Check(t, func(t *rapid.T) {
		at := vec.Bearing(rapid.Float64Range(0, free-1e-6).Draw(t, "r"), rapid.Float64Range(0, 7).Draw(t, "bearing"))
		z := rapid.Float64Range(0.001, 3).Draw(t, "z")
		if d := toSet.Castings[0].Metal.Dist(at.At(z)); d < -1e-9 {
			t.Fatalf("metal %g deep at %v, %g", -d, at, z)
		}
	})
	table := g.Stone().Top()
	if top := toSet.Castings[0].Metal.Bounds().Max.Z; top < table+0.3 {
		t.Errorf("to set the tips end at %g", top)
	}
	crown := table - g.Stone().GirdleTop()
	top := 0.0
	for x := 1.0; x < 3; x += 0.005 {
		for z := 0.0; z < 2; z += 0.005 {
			if q := vec.Bearing(x, math.Pi/4).At(z); set.Castings[0].Metal.Dist(q) < 0 {
				top = max(top, z)
			}
		}
	}
	if rise := (top - g.Stone().GirdleTop()) / crown; rise < 0.6 || rise > 0.8 {
		t.Errorf("set, the tips rise %.0f %% of the crown", 100*rise)
	}
}

// Growth moves polished outsides by half of what the house's polish takes off
// a thickness (practised: 0.10), and nothing else.
func TestGrowth(t *testing.T) {
	for _, holder := range []string{claws, wall} {
		plain := compile(t, filled("as-cast", "", holder), ForCasting)
		satin := compile(t, filled("satin", "", holder), ForCasting)
		grown := compile(t, filled("polish", "", holder), ForCasting)
		near(t, "grown", grown.Grow, 0.05)
		near(t, "satin", satin.Grow, 0.025)
		a, b := plain.Castings[0].Metal, grown.Castings[0].Metal
		same := map[string]vec.P{
			"window": {X: 0.75, Y: -4, Z: -0.7}, "hole under the stone": {X: 3.95/2 - 0.5, Z: -1.45},
			"post": {X: 0.4059, Y: 4, Z: -5}, "seat": {X: 1.9, Z: -0.1}, "back": {X: 5, Z: -1.5},
		}
		for what, q := range same {
			if d, e := a.Dist(q), b.Dist(q); math.Abs(d-e) > 1e-9 {
				t.Errorf("%s: %g before, %g grown", what, d, e)
			}
		}
		near(t, "face", b.Dist(vec.P{X: 5, Z: 0.05}), 0)
		near(t, "edge", b.Dist(vec.P{X: 6.05, Z: -0.7}), 0)
		near(t, "finished", compile(t, filled("polish", "", holder), Finished).Castings[0].Metal.Dist(vec.P{X: 5}), 0)
		// the way down to the seat stays open
		for _, r := range []float64{1.0, 1.5, 1.7} {
			if b.Dist(vec.Bearing(r, 0.1).At(0.02)) < 0 {
				t.Errorf("growth stands in the seat at radius %g", r)
			}
		}
	}
}

// Both states have the same parts.
func TestStatesAlike(t *testing.T) {
	a, b := compile(t, filled("polish", "", claws), ForCasting), compile(t, filled("polish", "", claws), Finished)
	if len(a.Owners) != len(b.Owners) || len(a.Castings) != len(b.Castings) {
		t.Errorf("%d parts for casting, %d finished", len(a.Owners), len(b.Owners))
	}
	for i := range a.Owners {
		if a.Owners[i] != b.Owners[i] {
			t.Errorf("part %d: %v and %v", i, a.Owners[i], b.Owners[i])
		}
	}
}

// TestAs: a piece compiled anew for the other state, and back, is the one that
// is read for it: the same distances everywhere.
func TestAs(t *testing.T) {
	src := filled("polish", "", claws)
	cast, done := compile(t, src, ForCasting), compile(t, src, Finished)
	other, d := cast.As(Finished)
	if other == nil {
		t.Fatal(d)
	}
	back, d := other.As(ForCasting)
	if back == nil {
		t.Fatal(d)
	}
	if same, _ := cast.As(ForCasting); same != cast {
		t.Error("the same state is not the same piece")
	}
	for i := range 1000 {
		p := vec.P{X: float64(i%10) - 5, Y: float64(i/10%10) - 5, Z: float64(i/100)/2 - 2.3}
		if a, b := done.Castings[0].Metal.Dist(p), other.Castings[0].Metal.Dist(p); a != b {
			t.Fatalf("finished at %v: %g, compiled anew %g", p, a, b)
		}
		if a, b := cast.Castings[0].Metal.Dist(p), back.Castings[0].Metal.Dist(p); a != b {
			t.Fatalf("for casting at %v: %g, compiled anew %g", p, a, b)
		}
	}
	if other.Grow != 0 || back.Grow != cast.Grow || other.Digest != cast.Digest {
		t.Errorf("growth %g and %g, want 0 and %g", other.Grow, back.Grow, cast.Grow)
	}
}

// A size of a ring is a number or a word; L is 51.25 mm round (BS 6820).
func TestRingSize(t *testing.T) {
	for call, want := range map[string]float64{
		`ringsize("ISO", 54)`: 54 / math.Pi, `ringsize("US", 7.5)`: 55.7 / math.Pi, `ringsize("US", "7 1/2")`: 55.7 / math.Pi,
		`ringsize("UK", "L")`: 51.25 / math.Pi, `ringsize("UK", "L½")`: 51.875 / math.Pi,
	} {
		p := compile(t, strings.Replace(sound, "across = 20", "across = "+call, 1), ForCasting)
		g, _ := lang.Find[*Plate](p.Recipe, "plate.sun")
		if math.Abs(g.Across-want) > 0.01/math.Pi {
			t.Errorf("%s = %g, want %g", call, g.Across, want)
		}
	}
}
