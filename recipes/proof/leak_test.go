package proof

import (
	"fmt"
	"slices"
	"testing"
)

// Stones that lean a great deal no longer hide the holes under them: light leaks
// on either side. Upright ones do, and so do leaning ones over smaller holes.
func TestLightLeaks(t *testing.T) {
	for _, c := range []struct {
		lean, bearing float64
		leaks         bool
	}{{0, 0.1, false}, {50, 0.1, true}, {50, 1.2, false}} {
		src := fmt.Sprintf(`
piece "tilted" {}
stones "ring" {
  layout = "ring"
  gem    = "citrine"
  size   = 4
  count  = 6
  gap    = 1.5
  lean   = %g
  lift   = 1.5
}
plate "disc" {
  form      = "circle"
  across    = 2 * stones.ring.reach + 4
  thickness = 1
}
opening "light" {
  form    = "under"
  in      = plate.disc
  under   = stones.ring
  bearing = %g
}
prongs "claws" {
  on    = plate.disc
  holds = stones.ring
  where = "around"
  count = 4
  wire  = 0.9
}
`, c.lean, c.bearing)
		r := prove(t, src, "tilted.hcl", Options{Only: []Group{Stones}})
		found := slices.ContainsFunc(r.Remarks, func(m Remark) bool { return m.Check == "light leak" && m.Span.Line == 3 })
		if found != c.leaks {
			t.Errorf("lean %g over a bearing of %g: %v", c.lean, c.bearing, keys(r.Remarks))
		}
	}
}
