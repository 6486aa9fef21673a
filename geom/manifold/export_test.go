package manifold

import "waxwright/geom/mesh"

// AllCrossings counts the crossing pairs among all pairs of triangles that
// share at most one vertex, without tree or quick tests; no two triangles may
// stand on each other.
func AllCrossings(m *mesh.Mesh) int {
	n := 0
	for i, p := range m.T {
		for _, q := range m.T[:i] {
			shared, kp, kq := 0, 0, 0
			for a, v := range p {
				for b, w := range q {
					if v == w {
						shared, kp, kq = shared+1, a, b
					}
				}
			}
			x := triangle{m.V[p[kp]], m.V[p[(kp+1)%3]], m.V[p[(kp+2)%3]]}
			y := triangle{m.V[q[kq]], m.V[q[(kq+1)%3]], m.V[q[(kq+2)%3]]}
			if shared == 0 && relate(&x, &y).relation == crossing || shared == 1 && relateAt(&x, &y).relation == crossing {
				n++
			}
		}
	}
	return n
}
