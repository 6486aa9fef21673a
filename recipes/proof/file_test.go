package proof

import (
	"context"
	"strings"
	"testing"

	"waxwright/geom/mesh"
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
