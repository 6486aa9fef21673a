package proof

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// A sheet of two triangles that runs past the middle of a ball at some distance stands
// as deep in it as its radius is more, wherever the corners lie, and whichever is named
// first.
func TestShared(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Float64Range
		r, h := draw(0.5, 3).Draw(t, "radius"), draw(0, 4).Draw(t, "height")
		mid := vec.P{X: draw(-4, 4).Draw(t, "x"), Y: draw(-4, 4).Draw(t, "y")}
		sheet := &mesh.Mesh{
			V: []vec.P{{X: -10, Y: -10}, {X: 10, Y: -10}, {X: 10, Y: 10}, {X: -10, Y: 10}},
			T: [][3]uint32{{0, 1, 2}, {0, 2, 3}},
		}
		mid.Z = h
		flat := body{sheet, sdf.Box{Half: vec.P{X: 10, Y: 10}}, vec.Here}
		ball := body{&mesh.Mesh{}, sdf.Sphere{R: r}, vec.Shift(mid)}
		want := max(r-h, inside)
		for _, pair := range [][2]body{{flat, ball}, {ball, flat}} {
			depth, at := shared(pair[0], pair[1], inside)
			if depth > want+1e-9 || depth < want-fine(want) {
				t.Fatalf("%.4f mm deep, want %.4f", depth, want)
			}
			if depth > inside && math.Abs(at.Sub(mid).Len()-(r-depth)) > 1e-9 {
				t.Fatalf("%.4f mm deep at %v, of a ball of %.4f about %v", depth, at, r, mid)
			}
		}
	})
}

// A plate that hangs through a stone does so as deep however wide it is, and is told what
// helps plates.
func TestPlateThroughStone(t *testing.T) {
	src := `piece "drop" {}
stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 3.4
  at     = 150
  out    = 4.5
}
plate "upper" {
  form      = "circle"
  across    = 10
  thickness = 1.5
}
bezel "rim" {
  on    = plate.upper
  holds = stones.bud
}
link "ring" {
  hangs_from = plate.upper
  wire       = 0.8
  bore       = 2.4
  margin     = 1.2
}
plate "lower" {
  form       = "path"
  path       = "M0 0 H%[1]g V8 H0 Z"
  across     = %[1]g
  thickness  = 1.5
  hangs_from = link.ring
}
`
	var depths []float64
	for _, across := range []float64{16, 24, 30} {
		for _, r := range prove(t, fmt.Sprintf(src, across), "drop.hcl", Options{Only: []Group{Wearing}}).Remarks {
			if r.Key() == "plate.lower/clash" && strings.Contains(r.Says, "through stones.bud") {
				depths = append(depths, r.Figure)
				if r.Grade != Fail || !strings.Contains(r.Why, "bore") || strings.Contains(r.Why, "eye") {
					t.Errorf("%+v", r)
				}
			}
		}
	}
	if len(depths) != 3 || math.Abs(depths[0]-depths[1]) > fine(depths[0]) || math.Abs(depths[0]-depths[2]) > fine(depths[0]) {
		t.Errorf("depths of %v", depths)
	}
}

// A link whose eye is drilled through a stone's place runs through the stone: that is
// what is said, not that metal meets metal there.
func TestLinkThroughStone(t *testing.T) {
	src := `piece "drop" {}
stones "bud" {
  layout = "one"
  gem    = "sapphire"
  size   = 3
  at     = 180
  out    = 4
}
plate "disc" {
  form      = "circle"
  across    = 14
  thickness = 1.8
}
bezel "rim" {
  on    = plate.disc
  holds = stones.bud
}
link "ring" {
  hangs_from = plate.disc
  wire       = 1
  bore       = 4
}
`
	clash := func(src string) *Remark {
		for _, m := range prove(t, src, "drop.hcl", Options{Only: []Group{Wearing}}).Remarks {
			if m.Check == "clash" {
				return &m
			}
		}
		return nil
	}
	r := clash(src)
	if r == nil || r.Address != "link.ring" || !strings.Contains(r.Says, "the link runs through stones.bud") || r.Grade != Fail {
		t.Errorf("%+v", r)
	}
	if r := clash(strings.Replace(src, "out    = 4", "out    = 0", 1)); r != nil {
		t.Errorf("with the stone in the middle: %+v", r)
	}
	// hung from the top of its plate, it lies across the metal below
	src = strings.Replace(src, "hangs_from = plate.disc", "hangs_from = plate.disc\n  at = 0", 1)
	if r := clash(src); r == nil || r.Word != "bore" || !strings.Contains(r.Says, "plate.disc") && !strings.Contains(r.Says, "casting disc") || !strings.Contains(r.Why, "(at)") {
		t.Errorf("%+v", r)
	}
}
