package build

import (
	"context"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/sdf"
)

// What a cache made before does not change what it makes next.
func TestCacheOrder(t *testing.T) {
	code, err := sdf.Compile(sdf.Cylinder{R: 2, Z0: 0, Z1: 1})
	if err != nil {
		t.Fatal(err)
	}
	count := func(k *Cache, faces bool) int {
		m, err := k.mesh(context.Background(), code, faces, contour.Options{Tol: 0.004})
		if err != nil {
			t.Fatal(err)
		}
		return len(m.mesh.T)
	}
	var one, other Cache
	faced, cells := count(&one, true), count(&one, false)
	if faced == cells {
		t.Fatal("both meshers make as many triangles: another solid is needed here")
	}
	if c, f := count(&other, false), count(&other, true); c != cells || f != faced {
		t.Errorf("%d and %d triangles in one order, %d and %d in the other", faced, cells, f, c)
	}
}
