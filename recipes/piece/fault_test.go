package piece

import (
	"fmt"
	"strings"
	"testing"
)

const sound = `
piece "test" {}
stones "ring" {
  layout = "ring"
  gem    = "citrine"
  size   = 2
  count  = 10
}
plate "sun" {
  form   = "circle"
  across = 20
}
prongs "inner" {
  on    = plate.sun
  holds = stones.ring
  where = "inner pockets"
  wire  = 0.7
}
`

// Each spoils the sound recipe in one place and gets one fault, at its word.
func TestFaults(t *testing.T) {
	if p, d := Read([]byte(sound), "sound.hcl", nil); p == nil {
		t.Fatal(d)
	}
	for _, c := range []struct{ from, to, at, says string }{
		{"wire  = 0.7", "wire  = 0.3", "wire", "does not reach between them"},
		{"wire  = 0.7", "wire  = 0.7\n  cover = 0.7", "cover", "wholly under the stones"},
		{`layout = "ring"`, `layout = "one"`, "count", ""},
		{"across = 20", "across = 20000", "across", "300"},
		{"count  = 10", "count  = 1000000000", "count", "400"},
		{"count  = 10", "count  = 3.5", "count", "3.5"},
		{"across = 20", "across = 20\n  thickness = 1\n  edge = 1", "edge", "whole thickness"},
		{"across = 20", "across = 20\n  rays {\n    count = 8\n    from = 12\n    depth = 0.3\n    width = [0.2, 0.5]\n  }", "from", "beyond the edge"},
		{"across = 20", "across = 20\n}\nopening \"o\" {\n  form = \"circle\"\n  in = plate.sun\n  across = 21\n", "in", "does not lie inside"},
		{"across = 20", "across = 20\n}\nlink \"a\" {\n  hangs_from = plate.sun\n  wire = 1\n  bore = 3\n  eye = 12\n  margin = 10\n", "eye", "at (0.00, 6.00), does not lie in metal"},
		{"across = 20", "across = 20\n}\nlet \"thin\" { value = 0.4 }\nbail \"a\" {\n  on = plate.sun\n  bore = 3\n  wire = let.thin\n  sink = 1.25 * wire\n", "sink", "make sink less than wire, 0.4 mm\nsink = 1.25 * wire = 1.25 * 0.4"},
		{"across = 20", "across = 20\n}\nlink \"sun\" {\n  hangs_from = plate.sun\n  wire = 1\n  bore = 3\n", "link", "same file"},
		{"across = 20", "across = 20\n}\nlink \"a\" {\n  hangs_from = plate.sun\n  wire = 1\n  bore = 0.9\n", "bore", "does not pass"},
		{"count  = 10", "count  = 10\n  gap = -1.5", "gap", "overlap"},
		{"count  = 10", "count  = 10\n  radius = 3.3\n  gap = 0.2", "gap", "drop one of"},
		{"size   = 2", "size   = 2\n  measured = [2.03, 1.98, 13.1]", "measured", "slipped: measured = [2.03, 1.98, 1.31]"},
		{"size   = 2", "size   = 2\n  measured = [20.3, 0.198, 13.1]", "measured", "slipped: measured = [2.03, 1.98, 1.31]"},
		{"size   = 2", "size   = 2\n  measured = [2.073, 1.98, 1.31]", "measured", "make tolerance at least 0.08"},
		{"size   = 2", "size   = 2\n  measured = [3.5, 3.3, 2.1]", "measured", "make size 3.4"},
		{"gem    = \"citrine\"", "gem    = \"citrin\"", "gem", "citrine"},
		{"across = 20", "across = ringsize(\"US\", \"L\")", "across", "not a size of the US system"},
		{"across = 20", "across = ringsize(\"shoe\", 7)", "across", "give one of US, UK"},
		{"across = 20", "across = ringsize(7, [7])", "across", "no ring size"},
		{"piece \"test\" {}", "piece \"test\" {\n alloy = \"silver\"\n}", "alloy", "did you mean \"silver-925\" or \"silver-999\"?"},
		{"piece \"test\" {}", "piece \"test\" {\n alloy = \"gold-14\"\n}", "alloy", "did you mean \"gold-14-yellow\", \"gold-14-rose\" or \"gold-14-white\"?"},
		{"piece \"test\" {}", "piece \"test\" {\n metal = \"silver\"\n}", "metal", `did you mean "alloy"?`},
		{"gem    = \"citrine\"", "gem    = \"rhodolite\"", "gem", `did you mean "garnet-rhodolite"?`},
		{"size   = 2", "diameter = 2", "diameter", `did you mean "size"?`},
		{"across = 20", "diameter = 20", "diameter", `did you mean "across"?`},
		{"across = 20", "across = 20\n  depth = 1", "depth", `did you mean "thickness"?`},
		{"across = 20", "across = 20\n  thickness = 0.14", "thickness", "was 1.4 meant?"},
		{"wire  = 0.7", "gauge = 20", "gauge", `did you mean "wire"?`},
		{"wire  = 0.7", "wire  = 0.07", "wire", "was 0.7 meant?"},
		{"piece \"test\" {}", "", "", "piece"},
	} {
		src := strings.Replace(sound, c.from, c.to, 1)
		p, d := Read([]byte(src), "spoilt.hcl", nil)
		if p != nil || len(d) == 0 {
			t.Errorf("%q: no fault", c.to)
			continue
		}
		text := d[0].Summary + " " + d[0].Detail
		if !strings.Contains(text, c.says) {
			t.Errorf("%q: %q does not say %q", c.to, text, c.says)
		}
		if !strings.Contains(d[0].Line, c.at) {
			t.Errorf("%q: the fault is at %q, want the line of %q: %s", c.to, d[0].Line, c.at, text)
		}
	}
}

// A depth that a cut can have is no slip, however thin the stone: a slab of turquoise,
// and a pavilion that is hardly there.
func TestThinStones(t *testing.T) {
	for _, c := range []struct{ cut, gem, measured string }{
		{"cabochon", "turquoise", "[10.02, 9.98, 0.9]"},
		{"cabochon", "turquoise", "[10.02, 9.98, 0.25]"},
		{"cabochon", "turquoise", "[10.02, 9.98, 1.9]"},
		{"round", "citrine", "[10.02, 9.98, 0.9]"},
	} {
		src := fmt.Sprintf("piece \"slab\" {}\nstones \"bud\" {\n layout = \"one\"\n cut = %q\n gem = %q\n size = 10\n measured = %s\n}\nplate \"disc\" {\n form = \"circle\"\n across = 14\n}\n", c.cut, c.gem, c.measured)
		if p, d := Read([]byte(src), "slab.hcl", nil); p == nil {
			t.Errorf("%s, measured %s: %v", c.cut, c.measured, d)
		}
	}
}

func TestSlug(t *testing.T) {
	for title, want := range map[string]string{
		"Marigold pendant": "marigold-pendant", "  --": "piece", "../../etc/passwd": "etc-passwd",
		"Nº 5, «rose»": "n-5-rose", strings.Repeat("x", 300): strings.Repeat("x", 60),
	} {
		if got := slug(title); got != want {
			t.Errorf("%q becomes %q, want %q", title, got, want)
		}
	}
}
