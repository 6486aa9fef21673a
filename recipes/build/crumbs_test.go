package build

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Bits of metal and hollows that no printer draws are left out, and told; larger ones
// stay, and so does a piece that is no larger itself.
func TestCrumbs(t *testing.T) {
	at := vec.P{X: 2.2, Y: 0.4}
	ball := func(r float64, at vec.P) sdf.Field { return sdf.At(sdf.Sphere{R: r}, vec.Shift(at)) }
	for what, c := range map[string]struct {
		field  sdf.Field
		shells int
		told   bool
	}{
		"a crumb beside a ball":        {sdf.Union{ball(2, vec.P{}), ball(0.02, at)}, 1, true},
		"a bubble in a ball":           {sdf.Difference{From: ball(2, vec.P{}), Cut: []sdf.Field{ball(0.02, vec.P{X: 1})}}, 1, true},
		"a bead beside a ball":         {sdf.Union{ball(2, vec.P{}), ball(0.03, at)}, 2, false},
		"a ball no larger than crumbs": {ball(0.02, at), 1, false},
	} {
		code, err := sdf.Compile(c.field)
		if err != nil {
			t.Fatal(err)
		}
		for _, faces := range []bool{true, false} {
			m, err := new(Cache).mesh(context.Background(), code, faces, contour.Options{Tol: 0.002, Normals: true})
			if err != nil {
				t.Fatal(err)
			}
			if n := len(m.mesh.Shells()); n != c.shells {
				t.Errorf("%s (faces %v): %d shells, want %d", what, faces, n, c.shells)
			}
			if n := len(m.report.Normals); n != len(m.mesh.T) {
				t.Errorf("%s (faces %v): normals of %d triangles for %d", what, faces, n, len(m.mesh.T))
			}
			if told := len(m.report.Unresolved) > 0; told != c.told {
				t.Errorf("%s (faces %v): unresolved %v", what, faces, m.report.Unresolved)
			} else if s := m.report.Unresolved; told && (len(s) != 1 || math.Abs(s[0].Width-0.04) > 0.005) {
				t.Errorf("%s (faces %v): told as %v", what, faces, s)
			}
		}
	}
}
