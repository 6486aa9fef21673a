package proof

import (
	"os"
	"strings"
	"testing"
)

// A wall is as thick as its recipe says, however coarse the mesh is and wherever on it
// the wall is found: the marigold's bezel is 0.42 mm thick and its gallery 0.70, its
// sides polished and its faces not, which is what is advised or more.
func TestCoarseWalls(t *testing.T) {
	src, err := os.ReadFile("../../examples/marigold/marigold.hcl")
	if err != nil {
		t.Fatal(err)
	}
	large := strings.Replace(string(src), "value = 2.5 ", "value = 3.5 ", 1)
	if large == string(src) {
		t.Fatal("the marigold has no stones of 2.5 mm")
	}
	for _, tol := range []float64{0.005, 0.08} {
		for _, r := range proveAt(t, tol, large, "marigold.hcl", Options{Only: []Group{Metal}}).Remarks {
			if r.Check == "wall" {
				t.Errorf("tolerance %g: %s: %s", tol, r.Part, r.Says)
			}
		}
	}
}

// A polished wall is as thick as its recipe says when it is finished, measured at its
// very edge, too, where all of what has grown beside it goes.
func TestWornWalls(t *testing.T) {
	src, err := os.ReadFile("../../testdata/faulty/thin-plate.hcl")
	if err != nil {
		t.Fatal(err)
	}
	const thickness = 0.7
	for _, tol := range []float64{0.005, 0.08} {
		for _, r := range proveAt(t, tol, string(src), "thin-plate.hcl", Options{Only: []Group{Metal}}).Remarks {
			if r.Check == "wall" && abs(r.Figure-thickness) > give/2 {
				t.Errorf("tolerance %g: a plate of %g: %s", tol, thickness, r.Says)
			}
		}
	}
}
