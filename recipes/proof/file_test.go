package proof

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/threemf"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
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
	p, diags := piece.Read([]byte(src), "recipe.hcl", nil)
	if p == nil {
		t.Fatal(diags)
	}
	m, err := build.Make(t.Context(), p, build.Options{Tol: coarse})
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
	var lumps []Lump
	for _, o := range read.Objects {
		lumps = append(lumps, Lump{Name: o.Name, Mesh: o.Mesh, Parts: o.Parts})
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
