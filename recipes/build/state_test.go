package build

import (
	"os"
	"testing"

	"waxwright/recipes/piece"
)

// A set piece is as sound as one to set, weighs less (tips are trimmed, what
// grew is polished off), is never scaled, and its files can't be taken for those
// that are cast.
func TestFinished(t *testing.T) {
	src, err := os.ReadFile("../../examples/stud/stud.hcl")
	if err != nil {
		t.Fatal(err)
	}
	var grams [2]float64
	var names [2]string
	for i, to := range []piece.For{piece.ForCasting, piece.Finished} {
		p, diags := piece.ReadFor(src, "stud.hcl", piece.Options{For: to})
		if p == nil {
			t.Fatal(diags)
		}
		m := build(t, p, Options{})
		c := &m.Castings[0]
		if !c.Report.OK() || len(c.Report.Bodies) != 1 {
			t.Errorf("%v: %v, %d bodies", to, c.Report.Count, len(c.Report.Bodies))
		}
		grams[i], names[i] = c.Grams, m.File(c)
		if p.Scaling() != "not scaled" {
			t.Errorf("%v: %s", to, p.Scaling())
		}
	}
	if grams[1] >= grams[0] {
		t.Errorf("finished it weighs %g g, cast %g g", grams[1], grams[0])
	}
	if names[0] != "seed-stud-seat.stl" || names[1] != "seed-stud-seat-finished.stl" {
		t.Errorf("files %v", names)
	}
}
