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

// A likeness has both ears of a pair, is as near to the surface as asked, knows
// its normals, and is never written.
func TestLikeness(t *testing.T) {
	src, err := os.ReadFile("../../examples/stud/stud.hcl")
	if err != nil {
		t.Fatal(err)
	}
	p, diags := piece.ReadFor(src, "stud.hcl", piece.Options{For: piece.Finished})
	if p == nil {
		t.Fatal(diags)
	}
	ctx := context.Background()
	m, err := Likeness(ctx, p, Options{Tol: 0.03})
	if err != nil {
		t.Fatal(err)
	}
	if n := m.Pieces(); n != 2 {
		t.Errorf("%d ears of a pair", n)
	}
	for _, b := range m.Bodies(true) {
		if b.Stone != nil {
			continue
		}
		if len(b.Normals) != len(b.Mesh.T) {
			t.Fatalf("normals of %d triangles, the mesh has %d", len(b.Normals), len(b.Mesh.T))
		}
		code, err := m.Field(b.Casting)
		if err != nil {
			t.Fatal(err)
		}
		bad := 0
		for i := 0; i < len(b.Mesh.T); i += 97 {
			p, q, r := b.Mesh.Corners(i)
			mid := p.Add(q).Add(r).Mul(1.0 / 3)
			if d := code.Dist(mid); math.Abs(d) > 2*m.Tol {
				t.Errorf("a triangle's middle is %g mm off", d)
			}
			_, n, _ := code.Nearest(mid)
			if sum := b.Normals[i][0].Add(b.Normals[i][1]).Add(b.Normals[i][2]); sum.Unit().Dot(n) < 0.8 {
				bad++
			}
		}
		if bad > len(b.Mesh.T)/97/50 { // triangles across an edge may look either way
			t.Errorf("%d normals are not those of the surface", bad)
		}
	}
	if _, err := Write(ctx, OS{}, m, t.TempDir()); !errors.Is(err, ErrSketch) {
		t.Errorf("writing a likeness: %v", err)
	}
}

// Of a mirrored pair the second ear of a likeness is the mirror image.
func TestLikenessMirrored(t *testing.T) {
	p := read(t, lopsided)
	fine := build(t, p, Options{Tol: 0.02})
	m, err := Likeness(context.Background(), p, Options{Tol: 0.02})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Castings) != len(fine.Castings) || m.Castings[len(m.Castings)-1].Mirrored != fine.Castings[len(fine.Castings)-1].Mirrored {
		t.Fatalf("%d castings of a likeness, %d of the model", len(m.Castings), len(fine.Castings))
	}
	a, b := m.Bodies(true), fine.Bodies(true)
	for i := range a {
		x, y := a[i].Mesh.Transform(a[i].Place).Bounds(), b[i].Mesh.Transform(b[i].Place).Bounds()
		if x.Min.Sub(y.Min).Len() > 0.1 || x.Max.Sub(y.Max).Len() > 0.1 {
			t.Errorf("body %d of the likeness fills %v, of the model %v", i, x, y)
		}
	}
}
