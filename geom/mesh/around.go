package mesh

import (
	"math"

	"waxwright/geom/vec"
)

// Around calls f for every triangle that comes within the radius of p, with
// its point nearest to p, in no useful order but always the same.
func (t *Tree) Around(p vec.P, radius float64, f func(Hit)) {
	if len(t.node) == 0 || !(radius >= 0) {
		return
	}
	limit := radius * radius
	var stack [maxDepth]uint32
	for top := 1; top > 0; {
		top--
		nd := &t.node[stack[top]]
		if nd.dist2(p) > limit {
			continue
		}
		if nd.n == 0 {
			stack[top], stack[top+1] = nd.first+1, nd.first
			top += 2
			continue
		}
		for i := nd.first; i < nd.first+nd.n; i++ {
			if t.box[i].dist2(p) > limit {
				continue
			}
			id := t.tri[i]
			a, b, c := t.m.Corners(int(id))
			q := nearOnTriangle(p, a, b, c)
			if d2 := q.Sub(p).Len2(); d2 <= limit {
				f(Hit{T: id, P: q, Dist: math.Sqrt(d2)})
			}
		}
	}
}
