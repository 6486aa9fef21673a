package contour

import (
	"math"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// A sheet whose sides were exchanged is taken out, and told of with its thickness,
// however it lies.
func TestInwardSheet(t *testing.T) {
	const thick, tol = 0.02, 0.05
	for _, turn := range []vec.Place{vec.Here, vec.Turn(vec.P{X: 1, Y: 1}, 0.8)} {
		m := &mesh.Mesh{}
		for i := range 8 {
			p := vec.P{X: 4 * float64(i&1), Y: 4 * float64(i>>1&1), Z: thick * float64(i>>2)}
			m.V = append(m.V, turn.Point(p))
		}
		for _, q := range [][4]uint32{{0, 1, 3, 2}, {4, 6, 7, 5}, {0, 4, 5, 1}, {2, 3, 7, 6}, {0, 2, 6, 4}, {1, 5, 7, 3}} { // seen from within
			m.T = append(m.T, [3]uint32{q[0], q[1], q[2]}, [3]uint32{q[0], q[2], q[3]})
			m.Tag = append(m.Tag, 1, 1)
		}
		spots := dropSpecks(m, tol, nil)
		if len(m.T) != 0 || len(spots) != 1 || math.Abs(spots[0].Width-thick) > 0.05*thick {
			t.Errorf("%d triangles are left, told is %+v", len(m.T), spots)
		}
	}
}
