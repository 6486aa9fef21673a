package picture

import (
	"math"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// A flat triangle that ends a little down a rounding is flat all over, and a
// triangle on a round keeps its true normals.
func TestEvened(t *testing.T) {
	up := vec.P{Z: 1}
	leaning := func(a float64) vec.P { return vec.P{X: math.Sin(a), Z: math.Cos(a)} }
	flat := &mesh.Mesh{
		V: []vec.P{{X: -3, Y: -1}, {X: -3, Y: 1}, {X: 0, Z: -0.027}},
		T: [][3]uint32{{0, 2, 1}},
	}
	got := evened(flat, [][3]vec.P{{up, leaning(0.43), up}})[0]
	if own := flat.V[2].Sub(flat.V[0]).Cross(flat.V[1].Sub(flat.V[0])).Unit(); got != [3]vec.P{up, own, up} {
		t.Errorf("a streak on a flat triangle: %v", got)
	}
	low := &mesh.Mesh{ // two corners down the rounding
		V: []vec.P{{X: -3}, {X: 0, Y: -0.3, Z: -0.027}, {X: 0, Y: 0.3, Z: -0.027}},
		T: [][3]uint32{{0, 1, 2}},
	}
	got = evened(low, [][3]vec.P{{up, leaning(0.43), leaning(0.41)}})[0]
	if own := low.V[1].Sub(low.V[0]).Cross(low.V[2].Sub(low.V[0])).Unit(); got != [3]vec.P{up, own, own} {
		t.Errorf("a broad streak on a flat triangle: %v", got)
	}
	for _, step := range []float64{0.1, 0.3, 0.5} { // two triangles of a tube along y
		at := func(a, y float64) vec.P { return leaning(a).Add(vec.P{Y: y}) }
		tube := &mesh.Mesh{
			V: []vec.P{at(0, 0), at(step, 0), at(0, 2), at(step, 2)},
			T: [][3]uint32{{0, 1, 2}, {2, 1, 3}},
		}
		want := [][3]vec.P{{up, leaning(step), up}, {up, leaning(step), leaning(step)}}
		for i, n := range evened(tube, want) {
			if n != want[i] {
				t.Errorf("a tube of steps of %g: triangle %d has %v, not %v", step, i, n, want[i])
			}
		}
	}
}
