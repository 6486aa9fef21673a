package build

import (
	"math"
	"strings"
	"testing"
)

// Every vertex of a scaled model lies exactly the product of the steps farther
// out; the weight is that of the metal, which shrinks back; files and names say
// what was done.
func TestScale(t *testing.T) {
	plain := build(t, read(t, disc), Options{Tol: 0.02})
	m := build(t, read(t, strings.Replace(disc, `{ finish = "as-cast" }`, "{\n  finish = \"as-cast\"\n  scale {\n    print = 1.007\n    cast = 1.013\n  }\n}", 1)), Options{Tol: 0.02})
	k := m.Piece.Scale
	if math.Abs(k-1.007*1.013) > 1e-15 {
		t.Errorf("the factor is %v", k)
	}
	a, b := plain.Castings[0], m.Castings[0]
	if len(a.Mesh.V) != len(b.Mesh.V) {
		t.Fatalf("%d vertices scaled, %d plain", len(b.Mesh.V), len(a.Mesh.V))
	}
	for i, v := range a.Mesh.V {
		if b.Mesh.V[i] != v.Mul(k) {
			t.Fatalf("vertex %d is %v, want %v", i, b.Mesh.V[i], v.Mul(k))
		}
	}
	if math.Abs(b.Grams/a.Grams-1) > 1e-6 { // float32 coordinates
		t.Errorf("it weighs %g g scaled and %g g plain", b.Grams, a.Grams)
	}
	if got := m.File(&b); got != "disc-disc-x1.020.stl" {
		t.Errorf("the file is called %s", got)
	}
	const says = "scaled x1.020, do not scale again"
	if h := m.header(&b); !strings.Contains(h, says) || len(h) > 80 {
		t.Errorf("header %q", h)
	}
	if d := m.bundle().Description; !strings.Contains(d, says) {
		t.Errorf("description %q", d)
	}
	if d := plain.bundle().Description; !strings.Contains(d, "not scaled") {
		t.Errorf("description %q", d)
	}
	if got := plain.File(&a); got != "disc-disc.stl" {
		t.Errorf("the plain file is called %s", got)
	}
}
