package build

import (
	"context"
	"errors"
	"math"
	"os"
	"testing"

	"waxwright/geom/manifold"
	"waxwright/recipes/piece"
)

// A sketch is closed and weighs about the same as the model, comes from the
// cache where the model was made before, and is never written.
func TestSketch(t *testing.T) {
	src, err := os.ReadFile("../../examples/stud/stud.hcl")
	if err != nil {
		t.Fatal(err)
	}
	p, diags := piece.Read(src, "stud.hcl", nil)
	if p == nil {
		t.Fatal(diags)
	}
	ctx := context.Background()
	var cache Cache
	rough, err := Sketch(ctx, p, 0.25, Options{Cache: &cache})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range rough.Castings {
		r := manifold.Judge(c.Mesh)
		if n := r.Count[manifold.Open] + r.Count[manifold.Crowded] + r.Count[manifold.Flipped]; n > 0 {
			t.Errorf("sketch of %s is not closed: %s", c.Name, r.String())
		}
		if c.Report.OK() {
			t.Errorf("sketch of %s passes for judged", c.Name)
		}
	}
	fine := build(t, p, Options{Cache: &cache})
	if a, b := rough.Grams(), fine.Grams(); math.Abs(a-b) > 0.1*b {
		t.Errorf("the sketch weighs %g g, the model %g g", a, b)
	}
	if a, b := rough.Pieces(), fine.Pieces(); a != b {
		t.Errorf("the sketch has %d castings, the model %d", a, b)
	}
	again, err := Sketch(ctx, p, 0.25, Options{Cache: &cache})
	if err != nil {
		t.Fatal(err)
	}
	if len(again.Castings[0].Mesh.T) != len(fine.Castings[0].Mesh.T) {
		t.Error("the model in the cache was not taken")
	}
	if _, err := Write(ctx, OS{}, rough, t.TempDir()); !errors.Is(err, ErrSketch) {
		t.Errorf("writing a sketch: %v", err)
	}
	for _, cell := range []float64{0, -1, 5, math.NaN()} {
		if _, err := Sketch(ctx, p, cell, Options{}); err == nil {
			t.Errorf("cells of %g mm are taken", cell)
		}
	}
	stopped, stop := context.WithCancel(ctx)
	stop()
	if _, err := Sketch(stopped, p, 0.2, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}
