package drawing

import (
	"cmp"
	"slices"

	"waxwright/geom/mesh"
)

// pair is an edge from u to v, u < v, and its two triangles; second is -1 where
// there is but one.
type pair struct {
	u, v          uint32
	first, second int
}

// pairs lists the edges of m with their triangles, sorted by their ends.
func pairs(m *mesh.Mesh) []pair {
	type half struct {
		key uint64
		t   int
	}
	hs := make([]half, 0, 3*len(m.T))
	for t, c := range m.T {
		for k := range 3 {
			u, v := c[k], c[(k+1)%3]
			if u > v {
				u, v = v, u
			}
			hs = append(hs, half{uint64(u)<<32 | uint64(v), t})
		}
	}
	slices.SortFunc(hs, func(a, b half) int {
		return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.t, b.t))
	})
	ps := make([]pair, 0, len(hs)/2)
	for i := 0; i < len(hs); {
		p := pair{uint32(hs[i].key >> 32), uint32(hs[i].key), hs[i].t, -1}
		if i+1 < len(hs) && hs[i+1].key == hs[i].key {
			p.second = hs[i+1].t
			i++
		}
		ps = append(ps, p)
		i++
	}
	return ps
}
