package build

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/recipes/piece"
)

// anyRecipe writes recipes as a maker might, with numbers that need not fit.
func anyRecipe(t *rapid.T) string {
	var s strings.Builder
	num := func(name string, lo, hi float64) float64 {
		return float64(int(rapid.Float64Range(lo, hi).Draw(t, name)*100)) / 100
	}
	count := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(t, name) }
	maybe := func(name string) bool { return rapid.Bool().Draw(t, name) }
	word := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }

	fmt.Fprintf(&s, "piece \"random\" {\n  pair = %q\n}\n", word("pair", "single", "same", "mirrored"))
	fmt.Fprintf(&s, "stones \"ring\" {\n  layout = \"ring\"\n  gem = \"peridot\"\n  cut = %q\n  size = %g\n  count = %d\n  gap = %g\n}\n",
		word("cut", "round", "cabochon"), num("size", 1, 4), count("count", 3, 12), num("gap", -0.2, 1.5))
	across := num("across", 6, 24)
	fmt.Fprintf(&s, "plate \"disc\" {\n  form = %q\n  across = %g\n  thickness = %g\n  edge = %g\n",
		word("form", "circle", "ellipse", "cushion", "pear", "scallop"), across, num("thickness", 0.5, 3), num("edge", 0, 0.6))
	if strings.Contains(s.String(), `"scallop"`) {
		fmt.Fprintf(&s, "  lobes = %d\n", count("lobes", 3, 16))
	}
	if maybe("rays") {
		fmt.Fprintf(&s, "  rays {\n    count = %d\n    form = %q\n    from = %g\n    depth = %g\n    width = [%g, %g]\n  }\n",
			count("rays.count", 1, 30), word("rays.form", "v", "round"), num("rays.from", 0.2, 8), num("rays.depth", 0.1, 1), num("w0", 0.1, 0.6), num("w1", 0.3, 1.2))
	}
	s.WriteString("}\n")
	if maybe("light") {
		s.WriteString("opening \"light\" {\n  form = \"under\"\n  in = plate.disc\n  under = stones.ring\n}\n")
	}
	if maybe("window") {
		fmt.Fprintf(&s, "opening \"window\" {\n  form = \"circle\"\n  in = plate.disc\n  across = %g\n  at = %d\n  out = %g\n}\n",
			num("window", 0.5, 6), count("window.at", 0, 359), num("window.out", 0, 6))
	}
	switch word("setting", "bezel", "prongs", "both", "none") {
	case "bezel":
		fmt.Fprintf(&s, "bezel \"ring\" {\n  on = plate.disc\n  holds = stones.ring\n  wall = %g\n}\n", num("wall", 0.2, 0.8))
	case "prongs":
		fmt.Fprintf(&s, "prongs \"ring\" {\n  on = plate.disc\n  holds = stones.ring\n  where = %q\n  wire = %g\n}\n",
			word("where", "around", "inner pockets", "outer pockets"), num("wire", 0.4, 1.2))
	case "both":
		fmt.Fprintf(&s, "bezel \"ring\" {\n  on = plate.disc\n  holds = stones.ring\n}\nprongs \"ring\" {\n  on = plate.disc\n  holds = stones.ring\n  where = \"around\"\n  wire = %g\n}\n", num("wire", 0.4, 1.2))
	}
	if maybe("gallery") {
		fmt.Fprintf(&s, "gallery \"back\" {\n  behind = plate.disc\n  clears = stones.ring\n  inset = %g\n  rim = %g\n  windows = %d\n  bars = %d\n}\n",
			num("inset", 0, 2), num("rim", 0.4, 2), count("windows", 2, 9), count("bars", 0, 2))
	}
	switch word("finding", "post", "bail", "link", "none") {
	case "post":
		fmt.Fprintf(&s, "post \"ear\" {\n  on = plate.disc\n  at = %d\n  out = %g\n}\n", count("post.at", 0, 359), num("post.out", 0, 6))
	case "bail":
		fmt.Fprintf(&s, "bail \"loop\" {\n  on = plate.disc\n  at = %d\n  bore = %g\n  turn = %d\n}\n", count("bail.at", 0, 359), num("bore", 1, 5), count("bail.turn", 0, 90))
	case "link":
		fmt.Fprintf(&s, "link \"first\" {\n  hangs_from = plate.disc\n  wire = %g\n  bore = %g\n}\n", num("link.wire", 0.4, 1.2), num("link.bore", 1, 4))
	}
	return s.String()
}

// Random recipes give diagnostics, or sound meshes, even at this coarse
// tolerance.
func TestRandomRecipes(t *testing.T) {
	checks := 40
	if testing.Short() {
		checks = 5
	}
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		if checks--; checks < 0 { // rapid has no bound of its own per test
			return
		}
		src := anyRecipe(t)
		p, diags := piece.Read([]byte(src), "random.hcl", nil)
		if p == nil {
			if len(diags) == 0 {
				t.Fatalf("neither piece nor fault\n%s", src)
			}
			return
		}
		m, err := Make(context.Background(), p, Options{Tol: 0.05})
		if err != nil {
			return // refused with a reason
		}
		made++
		for _, c := range m.Castings {
			if !c.Report.OK() {
				t.Fatalf("%s is not sound: %v\n%s", c.Name, c.Report.Count, src)
			}
		}
	})
	if made == 0 {
		t.Error("no random recipe could be made")
	}
}
