package proof

import (
	"strings"
	"testing"
)

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
