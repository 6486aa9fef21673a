package piece

import (
	"math"
	"testing"

	"waxwright/recipes/lang"
)

// The rim under a loop at the top of a disc of 16 mm ends at whatever is nearest below its
// edge: an opening, the hole under a stone, the eye of a link, or the plate's own other
// side, by sums on the line from its middle to the top.
func TestRim(t *testing.T) {
	disc := "plate \"frame\" {\n form = \"circle\"\n across = 16\n}\n"
	for what, c := range map[string]struct {
		src, to string
		width   float64
	}{
		"opening": {disc + "opening \"window\" {\n form = \"circle\"\n in = plate.frame\n out = 6.6\n across = 1.4\n}\n", "opening.window", 8 - 6.6 - 0.7},
		"under": {disc + "stones \"bud\" {\n layout = \"one\"\n gem = \"citrine\"\n size = 1.6\n tolerance = 0\n out = 6.6\n}\n" +
			"bezel \"rim\" {\n on = plate.frame\n holds = stones.bud\n}\n" +
			"opening \"light\" {\n form = \"under\"\n in = plate.frame\n under = stones.bud\n bearing = 0.1\n}\n", "opening.light", 8 - 6.6 - (0.8 - 0.1)},
		"eye":        {disc + "link \"ring\" {\n hangs_from = plate.frame\n at = 0\n wire = 0.8\n bore = 5\n eye = 1\n margin = 0.65\n}\n", "the eye of link.ring", 0.65},
		"nothing":    {disc, "", 16},
		"other side": {"plate \"frame\" {\n form = \"path\"\n across = 16\n path = \"M0 0 L16 0 L16 12 L0 12 L0 10 L15 10 L15 0.9 L0 0.9 Z\"\n}\n", "", 0.9},
	} {
		src := "piece \"rims\" {}\n" + c.src + "bail \"loop\" {\n on = plate.frame\n wire = 1.6\n bore = 3.5\n sink = 1\n}\n"
		p, diags := Read([]byte(src), "rims.hcl", nil)
		if p == nil {
			t.Fatal(what, diags)
		}
		loop, _ := lang.Find[*Bail](p.Recipe, "bail.loop")
		plate, _ := lang.Find[*Plate](p.Recipe, "plate.frame")
		width, to, ok := loop.Rim(plate, p.Holes(plate))
		if math.Abs(width-c.width) > 1e-6 || to.String() != c.to || ok != (c.to != "") {
			t.Errorf("%s: %.6f mm to %q, want %.6f to %q", what, width, to, c.width, c.to)
		}
	}
}
