package build

import "testing"

// Seats that touch run into each other, and the report says where.
func TestTouchingSeats(t *testing.T) {
	m := build(t, read(t, `piece "row of three" {}
stones "ring" {
  layout = "ring"
  gem    = "peridot"
  cut    = "cabochon"
  size   = 4
  count  = 3
  gap    = 0
}
plate "disc" {
  form      = "circle"
  across    = 10.5
  thickness = 0.9
}
bezel "ring" {
  on    = plate.disc
  holds = stones.ring
  wall  = 0.6
}
`), Options{})
	c := &m.Castings[0]
	if !c.Report.OK() || len(c.Report.Bodies) != 1 {
		t.Errorf("judged: %s", c.Report.String())
	}
	if len(c.Unresolved) != 3 {
		t.Errorf("%d places where seats touch, not 3: %v", len(c.Unresolved), c.Unresolved)
	}
	for _, s := range c.Unresolved {
		if s.Tags[0] == 0 || s.Tags[1] == 0 {
			t.Errorf("the place %v has no owner", s)
		}
	}
	t.Log(m.Remarks())
}
