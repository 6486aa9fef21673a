package proof

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"waxwright/geom/vec"
)

// Good pieces stay quiet: the examples and the recipe that new writes have no
// fail and no caution.
func TestExamplesStayQuiet(t *testing.T) {
	files, err := filepath.Glob("../../examples/*/*.hcl")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, f := range append(files, "../../cmd/internal/cli/starter.hcl") {
		src, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range prove(t, string(src), f, Options{}).Remarks {
			if m.Grade <= Caution && m.Group != Mesh { // the mesh is coarse here
				t.Errorf("%s: %s, line %d: %s", f, m.Key(), m.Span.Line, m.Says)
			}
		}
	}
}

// A body hung on a pivot turns until its centre of mass is straight below it.
func TestTilt(t *testing.T) {
	for _, c := range []struct {
		pivot, mass    vec.P
		forward, aside float64
	}{
		{vec.P{Y: 10}, vec.P{}, 0, 0},
		{vec.P{Y: 10}, vec.P{Z: 10}, 45, 0},   // heavy in front: the top comes forward
		{vec.P{Y: 10}, vec.P{X: -10}, 0, -45}, // heavy to the left
		{vec.P{Y: 10, Z: -1}, vec.P{Z: -1 + 10*math.Tan(0.1)}, 0.1 * 180 / math.Pi, 0},
	} {
		forward, aside := tilt(c.pivot, c.mass)
		if math.Abs(forward-c.forward) > 1e-9 || math.Abs(aside-c.aside) > 1e-9 {
			t.Errorf("%v hung from %v: %g, %g, want %g, %g", c.mass, c.pivot, forward, aside, c.forward, c.aside)
		}
	}
}

func TestMergeCounts(t *testing.T) {
	all := []Remark{
		{Check: "wall", Address: "a", Group: Metal, Grade: Caution, Figure: 0.5, Limit: 0.6},
		{Check: "wall", Address: "a", Group: Metal, Grade: Caution, Figure: 0.3, Limit: 0.6},
		{Check: "wall", Address: "a", Group: Metal, Grade: Fail, Figure: 0.1, Limit: 0.4},
		{Check: "gap", Address: "a", Group: Metal, Grade: Note},
	}
	got := merge(all)
	if len(got) != 3 || got[0].Grade != Fail || got[1].Count != 2 || got[1].Figure != 0.3 || got[2].Check != "gap" {
		t.Errorf("%+v", got)
	}
}
