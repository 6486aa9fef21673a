package proof

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
)

// Advice about fillets comes once a casting, however many parts meet; a bare
// plate has none.
func TestFilletOnce(t *testing.T) {
	src, err := os.ReadFile("../../examples/marigold/marigold.hcl")
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string]struct {
		src  string
		want int
	}{
		"marigold":   {string(src), 1},
		"bare plate": {"piece \"p\" {}\nplate \"p\" {\n form = \"circle\"\n across = 9\n}\n", 0},
	} {
		got := 0
		for _, r := range prove(t, c.src, what, Options{Only: []Group{Metal}}).Remarks {
			if r.Check == "fillet" {
				got += r.Count
			}
		}
		if got != c.want {
			t.Errorf("%s: %d remarks about fillets, want %d", what, got, c.want)
		}
	}
}

// What is too narrow at a ray is said of the ray, with what lies on its other
// side.
func TestRaysNamed(t *testing.T) {
	for name, want := range map[string][]string{
		"ray":      {"mm across a ray;", "mm between two rays,"},
		"ray-claw": {"mm between a ray and prongs.claws "},
	} {
		src, err := os.ReadFile("../../testdata/faulty/" + name + ".hcl")
		if err != nil {
			t.Fatal(err)
		}
		all := prove(t, string(src), name, Options{Only: []Group{Metal}}).Remarks
		for _, w := range want {
			if !slices.ContainsFunc(all, func(r Remark) bool {
				return r.Address == "plate.disc" && strings.HasPrefix(r.Word, "rays.") && strings.Contains(r.Says, w)
			}) {
				t.Errorf("%s: nothing says %q: %v", name, w, all)
			}
		}
	}
}

// Meshes from files are asked for holes and heavy spots, too.
func TestFilePoured(t *testing.T) {
	u := sdf.Difference{
		From: sdf.Union{
			sdf.Box{Half: vec.P{X: 9, Y: 2, Z: 0.45}},
			sdf.At(sdf.Sphere{R: 1.6}, vec.Shift(vec.P{X: -7})),
			sdf.At(sdf.Cylinder{R: 2, Z0: -1.6, Z1: 3}, vec.Shift(vec.P{X: 7})),
		},
		Cut: []sdf.Field{sdf.At(sdf.Cylinder{R: 0.5, Z0: 1, Z1: 4}, vec.Shift(vec.P{X: 7}))},
	}
	code, err := sdf.Compile(u)
	if err != nil {
		t.Fatal(err)
	}
	m, _, err := contour.Mesh(context.Background(), code, contour.Options{Tol: coarse})
	if err != nil {
		t.Fatal(err)
	}
	r, err := ProveFile(context.Background(), []Lump{{Name: "lump", Mesh: m}}, Options{Only: []Group{Metal}})
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, m := range r.Remarks {
		found = append(found, m.Check)
	}
	for _, want := range []string{"feed", "hole"} {
		if !strings.Contains(strings.Join(found, " "), want) {
			t.Errorf("no remark about a %s among %v", want, found)
		}
	}
}

// A wall between two outsides loses on both when it is polished, one to a
// window on one only: webs drawn at 0.9 are 0.9 when polished, and cast at 1.1
// and 1.0 (strict: up to 0.2 a piece, 0.1 a side).
func TestPolishedSides(t *testing.T) {
	const head = `piece "p" { house = "strict" }
plate "bar" {
  form      = "cushion"
  across    = 12
  thickness = 1.6
  height    = `
	const window = `
}
opening "w" {
  form   = "cushion"
  in     = plate.bar
  across = 8
  height = 2
  xy     = [0, 0.6]
}
`
	for src, says := range map[string]string{
		head + "0.9\n}\n":   "a finished wall of 0.90 mm, cast at 1.10",
		head + "5" + window: "a finished wall of 0.90 mm beside it in plate.bar, cast at 1.00",
	} {
		n := 0
		for _, m := range proveAt(t, build.DefaultTol, src, "p", Options{Only: []Group{Metal}}).Remarks {
			if m.Check != "wall" {
				continue
			}
			if n++; !strings.HasPrefix(m.Says, says) {
				t.Errorf("want %s, got %s", says, m.Says)
			}
		}
		if n == 0 {
			t.Errorf("no remark that begins with %q", says)
		}
	}
}

// A piece whose files are scaled is judged at the size of the recipe: what is
// too thin stays so in a file 20 % larger.
func TestScaledWalls(t *testing.T) {
	const src = `piece "p" {
  scale {
    cast = 1.2
  }
}
plate "disc" {
  form      = "circle"
  across    = 9
  thickness = 0.55
}
`
	for _, m := range prove(t, src, "p", Options{Only: []Group{Metal}}).Remarks {
		if m.Check == "wall" && m.Grade == Fail && strings.HasPrefix(m.Says, "a finished wall of 0.55 mm, cast at 0.60") {
			return
		}
	}
	t.Error("no fail for a wall of 0.55")
}

// A wall is as thick as the surface says, however coarse the mesh is that it is found
// on: on one of 0.08 mm alone it is off by more than its tolerance allows.
func TestWallOnSurface(t *testing.T) {
	const drawn = 0.36
	src := `piece "pin" {}
stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 3
  lift   = 0.8
}
plate "disc" {
  form      = "circle"
  across    = 9
  thickness = 1.6
}
bezel "rim" {
  on    = plate.disc
  holds = stones.bud
  wall  = 0.36
}
`
	for _, tol := range []float64{0.005, 0.02, 0.05, 0.08} {
		found := 0
		for _, r := range proveAt(t, tol, src, "pin.hcl", Options{Only: []Group{Metal}}).Remarks {
			if r.Key() == "bezel.rim/wall" {
				found++
				if abs(r.Figure-drawn) > 0.002 {
					t.Errorf("at %g mm the wall is %.4f", tol, r.Figure)
				}
			}
		}
		if found != 1 {
			t.Errorf("at %g mm: %d remarks about the wall", tol, found)
		}
	}
}

// A wall beside an opening names the word that makes the opening narrower there, however
// plate and opening are turned: a wall of 0.55 mm at the side of an oval.
func TestBesideTurnedOpening(t *testing.T) {
	for _, c := range []struct {
		plate, opening float64
		across, height float64 // of the opening; of the plate 14 and 20
		want           string
	}{
		{0, 0, 12.9, 16, "across"},
		{90, 0, 12.9, 16, "across"},
		{0, 90, 16, 12.9, "height"},
		{90, 90, 16, 12.9, "height"},
		{60, 90, 16, 12.9, "height"},
		{0, -90, 16, 12.9, "height"},
		{30, 0, 12.9, 16, "across"},
	} {
		src := fmt.Sprintf("piece \"hoop\" {}\nplate \"hoop\" {\n form = \"ellipse\"\n across = 14\n height = 20\n thickness = 1.4\n turn = %g\n}\n"+
			"opening \"window\" {\n form = \"ellipse\"\n in = plate.hoop\n across = %g\n height = %g\n turn = %g\n}\n", c.plate, c.across, c.height, c.opening)
		all := prove(t, src, "hoop", Options{Only: []Group{Metal}}).Remarks
		i := slices.IndexFunc(all, func(r Remark) bool { return r.Key() == "opening.window/wall" })
		if i < 0 || all[i].Word != c.want {
			t.Errorf("plate turned by %g, opening by %g: want %q of %v", c.plate, c.opening, c.want, all)
		}
	}
}
