package contour

import (
	"context"
	"slices"

	"waxwright/geom/mesh"
)

// compact takes out dead triangles and vertices without a triangle.
func (t *tidier) compact(ctx context.Context) []uint8 {
	o := t.out
	if t.m.opt.Cell == 0 {
		o.T, o.Tag = dropDead(o.T, o.Tag)
		return compact(o, t.class)
	}
	fill(t.dead, len(o.T), func(from, to uint32) { o.T[to], o.Tag[to] = o.T[from], o.Tag[from] })
	n := len(o.T) - len(t.dead)
	o.T, o.Tag = o.T[:n], o.Tag[:n]

	// of cells of one size all vertices but these have triangles
	n = len(o.V) - len(t.gone)
	number := make([]uint32, len(t.gone)) // of vertices n, n+1, ...
	fill(t.gone, len(o.V), func(from, to uint32) {
		number[int(from)-n] = to
		o.V[to], t.class[to] = o.V[from], t.class[from]
	})
	if len(number) > 0 {
		chunk, tasks := share(len(o.T), 1<<16)
		_ = t.m.parallel(ctx, tasks, func(_ *worker, k int) { // who called looks at ctx
			for i := k * chunk; i < min((k+1)*chunk, len(o.T)); i++ {
				for c, v := range o.T[i] {
					if int(v) >= n {
						o.T[i][c] = number[int(v)-n]
					}
				}
			}
		})
	}
	o.V = o.V[:n]
	return t.class[:n]
}

// fill moves the last of n things into the holes, until there are none among
// the rest. It sorts the holes.
func fill(holes []uint32, n int, move func(from, to uint32)) {
	slices.Sort(holes)
	gone := holes
	for from := n - len(holes); from < n; from++ {
		if _, hole := slices.BinarySearch(gone, uint32(from)); !hole {
			move(uint32(from), holes[0])
			holes = holes[1:]
		}
	}
}

// dropDead takes out dead triangles and their tags; the others stay in order.
func dropDead(tris [][3]uint32, tags []uint32) ([][3]uint32, []uint32) {
	n := 0
	for i, tr := range tris {
		if !isDead(tr) {
			tris[n], tags[n] = tr, tags[i]
			n++
		}
	}
	return tris[:n], tags[:n]
}

// compact takes out vertices without a triangle, and their classes, if there
// are any.
func compact(o *mesh.Mesh, class []uint8) []uint8 {
	number := make([]uint32, len(o.V))
	for _, tr := range o.T {
		for _, v := range tr {
			number[v] = 1
		}
	}
	n := uint32(0)
	for v := range o.V {
		if number[v] == 0 {
			continue
		}
		o.V[n] = o.V[v]
		if class != nil {
			class[n] = class[v]
		}
		number[v] = n
		n++
	}
	for i := range o.T {
		for k, v := range o.T[i] {
			o.T[i][k] = number[v]
		}
	}
	o.V = o.V[:n]
	return class[:min(int(n), len(class))]
}
