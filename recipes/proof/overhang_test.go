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

// standing is the grade of a stone whose farthest prong stands so far beyond the edge of
// its plate, on the wire of claws; ok is false too near to where the grade changes.
func standing(off float64) (g Grade, ok bool) {
	ok = math.Abs(off) > 1e-6 && math.Abs(off-0.9/2) > 1e-6
	switch {
	case off > 0.9/2:
		return Fail, ok
	case off > 0:
		return Caution, ok
	}
	return Note, ok
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
			// the seat takes all of the face: with no lift it is as wide there as the stone
			all := size/2 - out - across/2
			if math.Abs(all) < 1e-6 {
				continue
			}
			if holder == rim && (all > 0) != (r.Grade == Fail) {
				t.Fatalf("the seat reaches %.2f mm beyond the whole edge: %s", all, r.Grade)
			}
			axis := size/2 + 0.9/2 - 0.25*0.9
			off := math.Hypot(axis*math.Sqrt2/2, out+axis*math.Sqrt2/2) - across/2 // of the farthest prongs
			if want, ok := standing(off); holder == claws && all < 0 && ok && r.Grade != want {
				t.Fatalf("prongs %.3f mm off the plate are a %s, want a %s", off, r.Grade, want)
			}
			beside := out - size/2 - across/2
			if holder == rim && math.Abs(beside) > 1e-6 && (beside > 0) != strings.Contains(r.Says, "wholly beside") {
				t.Fatalf("%.2f mm beside the plate: %s", beside, r.Says)
			}
		}
	})
}

// Stones that lean outwards, in a ring on a round plate, are ellipses seen from the front,
// and the prongs of each stand at the corners of a rectangle as much narrower.
func TestOverhangOfLeaning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := float64(rapid.IntRange(200, 500).Draw(t, "size")) / 100
		radius := size * float64(rapid.IntRange(80, 200).Draw(t, "radius")) / 100
		lean := float64(rapid.IntRange(-45, 45).Draw(t, "lean"))
		across := 2 * (radius + size*float64(rapid.IntRange(-20, 80).Draw(t, "plate"))/100)
		ring := fmt.Sprintf("layout = \"ring\"\n  count = 4\n  lift = 1.5\n  radius = %g\n  lean = %g\n", radius, lean)
		src := strings.NewReplacer("layout    = \"one\"", ring, "  out       = 0\n", "").Replace(beyond(size, across, 0, claws))
		narrow := math.Cos(lean * math.Pi / 180)
		r, a := size/2, size/2*narrow
		c := 1.0 // cosine of where the ellipse lies farthest out
		if a < r {
			c = min(1, a*radius/(r*r-a*a))
		}
		by := math.Hypot(radius+a*c, r*math.Sqrt(1-c*c)) - across/2
		axis := (r + 0.9/2 - 0.25*0.9) * math.Sqrt2 / 2
		off := math.Hypot(radius+axis*narrow, axis) - across/2
		got := overhanging(t, src)
		if got == nil {
			if by > inside+0.001*size {
				t.Fatalf("%g mm beyond, and nothing is said", by)
			}
			return
		}
		if math.Abs(got.Figure-by) > 0.001*size {
			t.Fatalf("%.4f mm beyond, want %.4f", got.Figure, by)
		}
		if want, ok := standing(off); ok && got.Grade != want {
			t.Fatalf("prongs %.3f mm off the plate are a %s, want a %s", off, got.Grade, want)
		}
	})
}

// A stone that hides the edge of its plate, on prongs that stand on it, is a note; one
// whose prongs stand beside it is told before what follows from that.
func TestOverhangGrades(t *testing.T) {
	hidden := strings.NewReplacer("size ", "lift = 1.7\n  size ", `"circle"`, `"cushion"`+"\n height = 4.9\n corner = 0.1").Replace(beyond(5, 4.9, 0, claws))
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
