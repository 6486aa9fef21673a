package proof

import (
	"context"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
)

// beyond is a stone of a size on a round plate, its middle so far out, held by prongs
// or by a bezel.
func beyond(size, across, out float64, holder string) string {
	return fmt.Sprintf(`piece "bud" {}
stones "bud" {
  layout    = "one"
  gem       = "citrine"
  size      = %g
  tolerance = 0
  out       = %g
}
plate "disc" {
  form      = "circle"
  across    = %g
  thickness = 1.2
}
%s
`, size, out, across, holder)
}

const (
	claws = "prongs \"claws\" {\n on = plate.disc\n holds = stones.bud\n where = \"around\"\n wire = 0.9\n}"
	rim   = "bezel \"rim\" {\n on = plate.disc\n holds = stones.bud\n}"
)

// overhanging returns the remark about a stone beyond its plate, nil for none.
func overhanging(t *rapid.T, src string) *Remark {
	p, diags := piece.Read([]byte(src), "bud.hcl", nil)
	if p == nil {
		t.Fatal(diags)
	}
	r, err := Prove(context.Background(), &build.Model{Piece: p}, Options{Only: []Group{Stones}})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range r.Remarks {
		if m.Check == overhang {
			return &m
		}
	}
	return nil
}

// A round stone reaches beyond a round plate by the difference of what lies on the line
// of their middles: out + size/2 - across/2. What holds it stands off the plate if a
// prong does by the same reckoning, which four prongs at 45 degrees make one of a
// triangle.
func TestOverhang(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(least, most int, name string) float64 {
			return float64(rapid.IntRange(least, most).Draw(t, name)) / 100
		}
		size, across, out := draw(200, 800, "size"), draw(300, 1200, "across"), draw(0, 500, "out")
		by := out + size/2 - across/2
		for _, holder := range []string{claws, rim} {
			r := overhanging(t, beyond(size, across, out, holder))
			if r == nil {
				if by > inside {
					t.Fatalf("%g mm beyond, and nothing is said", by)
				}
				continue
			}
			if math.Abs(r.Figure-by) > 0.001*size { // see girdlePoints
				t.Fatalf("%.4f mm beyond, want %.4f", r.Figure, by)
			}
			axis := size/2 + 0.9/2 - 0.25*0.9
			away := math.Hypot(axis*math.Sqrt2/2, out+axis*math.Sqrt2/2) // of the farthest prongs
			if off := away-across/2 >= 0.9/2; holder == claws && off && r.Grade != Fail {
				t.Fatalf("a prong %.2f mm off the plate is a %s", away-across/2, r.Grade)
			}
			// the seat takes all of the face: with no lift it is as wide there as the stone
			if all := size/2 - out - across/2; math.Abs(all) > 1e-6 && holder == rim && (all > 0) != (r.Grade == Fail) {
				t.Fatalf("the seat reaches %.2f mm beyond the whole edge: %s", all, r.Grade)
			}
		}
	})
}

// A stone that hides the edge of its plate, on prongs that stand on it, is a note; one
// whose prongs stand beside it is told before what follows from that.
func TestOverhangGrades(t *testing.T) {
	hidden := strings.Replace(beyond(5, 4.9, 0, claws), "size ", "lift = 1.4\n  size ", 1)
	if r := prove(t, hidden, "bud.hcl", Options{}); r.Count(Fail)+r.Count(Caution) != 0 || !slices.ContainsFunc(r.Remarks, func(m Remark) bool { return m.Check == overhang }) {
		t.Errorf("%+v", r.Remarks)
	}
	src, err := os.ReadFile("../../testdata/faulty/overhang.hcl")
	if err != nil {
		t.Fatal(err)
	}
	r := prove(t, string(src), "overhang.hcl", Options{})
	if first := r.Remarks[0]; first.Check != overhang || first.Word != "across" || r.Remarks[1].Group != Mesh {
		t.Errorf("first of %d: %+v", len(r.Remarks), first)
	}
}
