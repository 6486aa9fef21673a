package patch

import (
	"math"

	"waxwright/geom/delaunay"
	"waxwright/geom/vec"
)

// What is a narrow strip along an arc in space may be turned inside out in a
// layout, where the arc's chords are straight. The chords that are farthest from
// what they stand for there are halved.

// bowedBy is how far from its curve, as a share of its length in the layout, the
// middle of a chord lies that is halved for a border that contradicts itself.
const bowedBy = 0.004

// bowed lists the chords near a leak that are far from their curve in the layout.
func (b *builder) bowed(f *face, leak *delaunay.LeakError) (cut [][2]int32) {
	var near []vec.P2
	for _, v := range [4]int32{leak.In[0], leak.In[1], leak.Out[0], leak.Out[1]} {
		if v != delaunay.Ghost {
			near = append(near, f.lay.flat(b, b.at(f, v), 0))
		}
	}
	for _, i := range f.arcs {
		a := &b.arcs[i]
		for k := 1; k < len(a.pts); k++ {
			p, q := b.named(f, a.pts[k-1], a.pts[k]), b.named(f, a.pts[k], a.pts[k-1])
			from, to := f.lay.flat(b, b.pts[p[0]], p[1]), f.lay.flat(b, b.pts[q[0]], q[1])
			long := to.Sub(from).Len()
			m, ok := b.meet([]int32{a.a, a.b}, b.pts[p[0]].Lerp(b.pts[q[0]], 0.5))
			if !ok || f.lay.flat(b, m, f.lay.end(m, b.pts[p[0]])).Sub(from.Lerp(to, 0.5)).Len() < bowedBy*long {
				continue
			}
			for _, at := range near {
				if fromLine(at, from, to) <= long {
					cut = append(cut, b.key(f, f.local[p], f.local[q]))
					break
				}
			}
		}
	}
	return cut
}

// fromLine returns the distance of a point from a line between two.
func fromLine(p, from, to vec.P2) float64 {
	d := to.Sub(from)
	t := min(max(p.Sub(from).Dot(d)/math.Max(d.Dot(d), math.SmallestNonzeroFloat64), 0), 1)
	return p.Sub(from.Add(d.Mul(t))).Len()
}
