package proof

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/threemf"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// A mesh without triangles fails for that, whichever group is asked for, beside
// the other meshes of its file.
func TestEmptyMesh(t *testing.T) {
	for _, only := range [][]Group{nil, {Mesh}, {Metal}} {
		r, err := ProveFile(context.Background(), []Lump{{Name: "nothing", Mesh: &mesh.Mesh{}}}, Options{Only: only})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range r.Remarks {
			if m.Part != "nothing" {
				continue
			}
			if !strings.Contains(m.Says, "the mesh has no triangles") {
				t.Errorf("%v: %s", only, m.Says)
			}
			if want := m.Group == Mesh; want != (m.Grade == Fail) {
				t.Errorf("%v: %s of group %s", only, m.Grade, m.Group)
			}
		}
		if fails := r.Count(Fail); len(only) == 0 && fails != 1 {
			t.Errorf("%d fails", fails)
		}
	}
}

// lumpsOf writes the 3MF file of a recipe and reads it back.
func lumpsOf(t *testing.T, src string) []Lump {
	t.Helper()
	return lumpsAt(t, build.DefaultTol, src)
}

// lumpsAt is lumpsOf with meshes of the tolerance.
func lumpsAt(t *testing.T, tol float64, src string) []Lump {
	t.Helper()
	p, diags := piece.Read([]byte(src), "recipe.hcl", nil)
	if p == nil {
		t.Fatal(diags)
	}
	m, err := build.Make(t.Context(), p, build.Options{Tol: tol})
	if err != nil {
		t.Fatal(err)
	}
	all := m.Outputs()
	var file bytes.Buffer
	if err := all[len(all)-1].Write(&file); err != nil {
		t.Fatal(err)
	}
	read, err := threemf.Parse(file.Bytes(), threemf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	told, scale := build.Told(read)
	var lumps []Lump
	for _, o := range read.Objects {
		lumps = append(lumps, Lump{Name: o.Name, Mesh: o.Mesh, Parts: o.Parts, Tol: told, Scale: scale})
	}
	return lumps
}

// A 3MF file of ours says what is a bezel, and its wall is judged as one: sound at
// 0.45 mm, too thin for one at 0.25. A mesh alone is judged as a plate, and a post's
// notch in one with parts is no thin wall; its wire is.
func TestFileParts(t *testing.T) {
	src := strings.Replace(setPin, "thickness = 1.6", "thickness = 2.4", 1) + `post "pin" {
  on   = plate.disc
  at   = 90
  out  = 3
  wire = 0.9
}
`
	for _, c := range []struct {
		src   string
		parts bool
		want  string // part of the thin wall, "" for none
		role  string
	}{
		{src, true, "", ""},
		{src, false, "disc", "plate"},
		{strings.Replace(src, "wall      = 0.45", "wall      = 0.25", 1), true, "disc, bezel.rim", "bezel"},
		{strings.Replace(src, "wire = 0.9", "wire = 0.4", 1), true, "disc, post.pin", "ear post"},
	} {
		lumps := lumpsOf(t, c.src)
		if !c.parts {
			lumps[0].Parts, lumps[0].Mesh.Tag = nil, nil
		}
		r, err := ProveFile(t.Context(), lumps, Options{Only: []Group{Metal}})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, m := range r.Remarks {
			if m.Check == "wall" && m.Grade == Fail {
				got = m.Part
				if !strings.Contains(m.Says, "("+c.role) {
					t.Errorf("judged as another: %s", m.Says)
				}
			}
		}
		if got != c.want {
			t.Errorf("with parts %v: a thin wall of %q, want %q: %v", c.parts, got, c.want, r.Remarks)
		}
	}
}

// A small plate stays one, however long its post is.
func TestFileSpan(t *testing.T) {
	lumps := lumpsOf(t, `piece "stud" {}
plate "dot" {
  form      = "circle"
  across    = 9
  thickness = 0.9
}
post "ear" {
  on     = plate.dot
  length = 16
}
`)
	for _, parts := range []bool{true, false} {
		if !parts {
			lumps[0].Parts, lumps[0].Mesh.Tag = nil, nil
		}
		r, err := ProveFile(t.Context(), lumps, Options{Only: []Group{Metal}})
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, m := range r.Remarks {
			if m.Check == "wall" && strings.Contains(m.Says, "over 15 mm") {
				n++
			}
		}
		if (n == 0) != parts {
			t.Errorf("with parts %v: %v", parts, r.Remarks)
		}
	}
}

// What stays between the holes under stones is judged in the file as in the recipe, and
// what stays between their girdles in neither: of that the file says so.
func TestFileWebs(t *testing.T) {
	const girdles = "webs at the girdles"
	for _, c := range []struct {
		name string
		fail bool
	}{{"web", true}, {"spacing-caution", false}} {
		src, err := os.ReadFile("../../testdata/faulty/" + c.name + ".hcl")
		if err != nil {
			t.Fatal(err)
		}
		r, err := ProveFile(t.Context(), lumpsOf(t, string(src)), Options{Only: []Group{Metal}})
		if err != nil {
			t.Fatal(err)
		}
		said, fails := false, 0
		for _, m := range r.Remarks {
			said = said || m.Grade == Unchecked && strings.Contains(m.Says, girdles)
			if m.Check == "wall" && m.Grade == Fail {
				if fails++; !strings.Contains(m.Says, string(stock.Web)) {
					t.Errorf("%s: judged as another: %s", c.name, m.Says)
				}
			}
		}
		if !said || (fails > 0) != c.fail {
			t.Errorf("%s: what is not checked is said: %v; %d thin walls: %v", c.name, said, fails, r.Remarks)
		}
	}
}

// worstWall is the gravest remark about a wall of a file.
func worstWall(t *testing.T, lumps []Lump) (worst Remark) {
	t.Helper()
	r, err := ProveFile(t.Context(), lumps, Options{Only: []Group{Metal}})
	if err != nil {
		t.Fatal(err)
	}
	worst.Grade = none
	for _, m := range r.Remarks {
		if m.Check == "wall" && m.Grade < min(worst.Grade, Unchecked) {
			worst = m
		}
	}
	return worst
}

// A plate's wall is that of the plate, though the foot of its bezel is met from there.
func TestFileJoint(t *testing.T) {
	src, err := os.ReadFile("../../testdata/faulty/thin-plate-set.hcl")
	if err != nil {
		t.Fatal(err)
	}
	const cast = 0.75 // 0.7 mm, and its face grown
	if m := worstWall(t, lumpsOf(t, string(src))); m.Grade != Fail || abs(m.Figure-cast) > give {
		t.Errorf("a plate of %g mm: %s %s", cast, m.Grade, m.Says)
	}
}

// A rod of the limit's diameter does not fail on a mesh that makes it thinner, and one
// that is thinner by more than the mesh is off does. Limits are those of the metal, in a
// file that is larger, too.
func TestFileOff(t *testing.T) {
	const pin = `piece "pin" {
  finish = "as-cast"
  scale {
    cast = %g
  }
}
plate "dot" {
  form      = "circle"
  across    = 9
  thickness = 1.2
}
bail "loop" {
  on   = plate.dot
  wire = %g
  bore = 4
}
`
	for _, c := range []struct {
		tol, scale, wire float64
		fails            bool
	}{
		{0.005, 1, 0.8, false}, {0.005, 1, 0.76, true},
		{0.04, 1, 0.8, false}, {0.04, 1, 0.62, true},
		{0.005, 1.1, 0.8, false}, {0.005, 1.1, 0.76, true},
	} {
		lumps := lumpsAt(t, c.tol, fmt.Sprintf(pin, c.scale, c.wire))
		m := worstWall(t, lumps)
		if (m.Grade == Fail) != c.fails || m.Grade > Caution {
			t.Errorf("wire of %g of 0.80 asked, tolerance %g, scaled by %g: %s %s", c.wire, c.tol, c.scale, m.Grade, m.Says)
		}
		if h, ok := mesh.NewTree(lumps[0].Mesh).Near(m.At, 1); !ok || h.Dist > 2*c.tol {
			t.Errorf("scaled by %g: the place %v is not on the mesh", c.scale, m.At)
		}
	}
}
