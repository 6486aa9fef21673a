package wall

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// TestOverlap: lenses of two balls, a rod in a slab, parts that touch.
func TestOverlap(t *testing.T) {
	ball := func(x, r float64) sdf.Field { return sdf.At(sdf.Sphere{R: r}, vec.Shift(vec.P{X: x})) }
	slab := sdf.At(box(20, 20, 1), vec.Shift(vec.P{Z: -0.5})) // its face at z = 0
	rod := func(z float64) sdf.Field { return sdf.Cylinder{R: 0.5, Z0: z, Z1: z + 3} }
	for _, c := range []struct {
		what string
		a, b sdf.Field
		want float64
		at   vec.P
	}{
		{"balls", ball(0, 1), ball(1.6, 1), 0.4, vec.P{X: 0.8}},
		{"a ball within", ball(0, 1), ball(0.3, 0.5), 1, vec.P{X: 0.3}},
		{"a rod that stands 0.12 deep", slab, rod(-0.12), 0.12, vec.P{Z: -0.06}},
		{"a rod through and through", slab, rod(-2), 1, vec.P{Z: -0.5}},
		{"a rod on the face", slab, rod(0), 0, vec.P{}},
		{"balls that touch", ball(0, 1), ball(2, 1), 0, vec.P{X: 1}},
		{"balls apart", ball(0, 1), ball(5, 1), 0, vec.P{X: 2.5}},
	} {
		got, at, err := Overlap(context.Background(), c.a, c.b, math.Inf(1), 0.01)
		if err != nil {
			t.Fatal(err)
		}
		if got > c.want+1e-12 || got < c.want-0.01 {
			t.Errorf("%s: overlap %g, want %g", c.what, got, c.want)
		}
		if c.want > 0 && math.Abs(at.Z-c.at.Z) > 0.02 {
			t.Errorf("%s: at %v, want %v", c.what, at, c.at)
		}
		if got, _, _ = Overlap(context.Background(), c.a, c.b, 0.3, 0.01); got < min(c.want, 0.3)-0.01 {
			t.Errorf("%s: overlap %g when 0.3 is enough", c.what, got)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Overlap(ctx, slab, rod(-1), 1, 0.01); err == nil {
		t.Error("no error when cancelled")
	}
}
