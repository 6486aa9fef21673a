package contour

import (
	"context"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Taming: vertices that lie outside their cells, on a crease or in a corner
// beside it, can make triangles cross. Where they do, blocks are cut into
// smaller ones; cells that can't be smaller are tamed. A tame cell's vertices
// lie in it, and the polygons round its edges are fans from a point of the edge
// that go through points of the faces between the cells, so that each triangle
// lies in one cell. Triangles of different cells then can't cross, and those of
// one patch are a cone over a simple loop on the cell's boundary (T. Ju and T.
// Udeshi, Intersection-free contouring on an octree grid, Pacific Graphics
// 2006).

// fromWall is how far from the walls of its cell, and from the ends of edges and
// faces, a tame vertex stays, in cells: triangles of the finest cells are then
// more than a tenth of a micron high.
const fromWall = 0.1

// mostTaming bounds how often crossings are looked for again.
const mostTaming = 24

// cellBit is the bit of a cell in block.tame.
func cellBit(x, y, z int) uint64 { return 1 << cellNumber(x, y, z) }

// isTame reports whether the cell is tame.
func (s spot) isTame() bool { return s.b.tame&cellBit(s.x, s.y, s.z) != 0 }

// tame moves the vertices of the block's tame cells into them.
func (j *joiner) tame(b *block) {
	h := j.m.cell(b.level)
	for z := range side {
		for y := range side {
			for x := range side {
				s := spot{b, x, y, z}
				t := b.transition(x, y, z)
				if !s.isTame() || t == nil && !b.isActive(x, y, z) {
					continue
				}
				low := j.m.lowOf(s)
				lo := j.m.at3(low)
				var edges []loopEdge
				if t != nil {
					edges = t.loops
				} else {
					c := b.cells[b.find(x, y, z)]
					for e, l := range patterns[c.inside].loop {
						if l >= 0 {
							edges = append(edges, loopEdge{halfEdge(int(cornerPoint[edgeCorners[e][0]]), e/4), c.vert + uint16(l)})
						}
					}
				}
				one := !slices.ContainsFunc(edges, func(e loopEdge) bool { return e.vert != edges[0].vert })
				if one {
					v := &b.verts[edges[0].vert]
					if at := within(*v, lo, h); at != *v {
						*v, b.marks[edges[0].vert].class = at, smooth
					}
					continue
				}
				sum := map[uint16]vec.P{}
				n := map[uint16]float64{}
				for _, e := range edges {
					sum[e.vert] = sum[e.vert].Add(j.onEdge(b.local, j.absolute(s, t, e.edge)))
					n[e.vert]++
				}
				for v := range sum {
					b.verts[v], b.marks[v].class = sum[v].Mul(1/n[v]), smooth
				}
			}
		}
	}
}

// tameVerts returns the numbers in the mesh of the vertices of tame cells.
func (b *block) tameVerts() (list []uint32) {
	for _, t := range b.trans() {
		if b.tame>>t.cell&1 != 0 {
			for _, l := range t.loops {
				list = append(list, b.base+uint32(l.vert))
			}
		}
	}
	n := 0
	for r, a := range b.active {
		for ; a != 0; a &= a - 1 {
			if b.tame&cellBit(trailing(a), r%side, r/side) != 0 {
				first := b.cells[n].vert
				for l := range patterns[b.cells[n].inside].loops {
					list = append(list, b.base+uint32(first)+uint32(l))
				}
			}
			n++
		}
	}
	return list
}

// lowOf returns the lattice numbers of a cell's low corner.
func (g *grid) lowOf(s spot) (low [3]int32) {
	low[0], low[1], low[2] = g.low(s.b.key)
	shift := g.shift(s.b.level)
	for i, k := range [3]int{s.x, s.y, s.z} {
		low[i] += int32(k) << shift
	}
	return low
}

// within moves p into the cube of edge h at lo, off its walls.
func within(p, lo vec.P, h float64) vec.P {
	in := func(x, lo float64) float64 { return min(max(x, lo+fromWall*h), lo+(1-fromWall)*h) }
	return vec.P{X: in(p.X, lo.X), Y: in(p.Y, lo.Y), Z: in(p.Z, lo.Z)}
}

// onFaceOf returns the point of the surface near p on the face of a cell square
// to axis, given by the face's low corner and its size.
func onFaceOf(local *sdf.Local, p, lo vec.P, axis int, h float64) vec.P {
	q, _, _ := local.Project(p)
	q = within(q, lo, h)
	switch axis {
	case 0:
		q.X = lo.X
	case 1:
		q.Y = lo.Y
	default:
		q.Z = lo.Z
	}
	return q
}

// crossed returns the triangles among out's that cross one of those listed or
// lie folded on it, and these.
func (t *tidier) crossed(ctx context.Context, listed []uint32) ([]uint32, error) {
	listed = slices.DeleteFunc(listed, func(i uint32) bool { return isDead(t.out.T[i]) })
	slices.Sort(listed)
	listed = slices.Compact(listed)
	if len(listed) == 0 {
		return nil, nil
	}
	some := mesh.Mesh{V: t.out.V}
	facets := make([]facet, 0, len(listed))
	for _, i := range listed {
		tr := t.out.T[i]
		f, ok := newFacet(int32(i), tr, t.out.V[tr[0]], t.out.V[tr[1]], t.out.V[tr[2]])
		if ok {
			facets = append(facets, f)
			some.T = append(some.T, tr)
		}
	}
	if len(facets) == 0 {
		return nil, nil
	}
	tree := mesh.NewTree(&some)
	const row = 32
	chunk, n := share(len(t.out.T), 4096)
	found := make([][]uint32, n)
	err := t.m.parallel(ctx, len(found), func(_ *worker, k int) {
		end := min((k+1)*chunk, len(t.out.T))
		for from := k * chunk; from < end; from += row { // few rows have one near that is listed
			to := min(from+row, end)
			near := false
			tree.InBox(t.box(from, to), func(uint32) bool { near = true; return false })
			for i := from; near && i < to; i++ {
				tr := t.out.T[i]
				p := [3]vec.P{t.out.V[tr[0]], t.out.V[tr[1]], t.out.V[tr[2]]}
				tree.InBox(vec.BoxOf(p[:]...), func(n uint32) bool {
					f := &facets[n]
					if f.id != int32(i) && !isDead(t.out.T[i]) && (cross(f, tr, p) || folded(f, tr, p)) {
						found[k] = append(found[k], uint32(f.id), uint32(i))
					}
					return true
				})
			}
		}
	})
	return slices.Concat(found...), err
}

// box returns the box of some triangles in a row.
func (t *tidier) box(from, to int) vec.Box {
	b := vec.Empty()
	for _, tr := range t.out.T[from:to] {
		for _, v := range tr {
			b = b.With(t.out.V[v])
		}
	}
	return b
}

// folded reports whether two triangles with a common edge lie on each other.
func folded(f *facet, v [3]uint32, p [3]vec.P) bool {
	shared := 0
	for _, a := range f.v {
		if slices.Contains(v[:], a) {
			shared++
		}
	}
	return shared == 2 && p[1].Sub(p[0]).Cross(p[2].Sub(p[0])).Unit().Dot(f.n) < cosFold
}

// cosFold is the cosine of the angle between the normals of triangles folded on
// each other: all but 0.001 rad of a straight one.
const cosFold = -(1 - 1e-3*1e-3/2)

// settleCrossed marks what is to be done at the cells whose vertices the
// triangles have: the blocks that should be cut are returned, other cells and
// those round them are tamed. fresh is false where nothing is left to do. Of a mesh
// that is not the first one, with vertices that have other numbers, cells are
// found by place alone.
func (m *mesher) settleCrossed(out *mesh.Mesh, crossed []uint32, first bool) (todo []cutting, fresh bool) {
	for _, i := range crossed {
		for _, v := range out.T[i] {
			s := spot{}
			if first {
				s = m.cellOf(v)
			}
			if s.b == nil {
				s = m.cellAt(out.V[v])
			}
			if s.b == nil {
				continue
			}
			if int(s.b.level) < m.top {
				todo = append(todo, cutting{s.b, octant(s.x, s.y, s.z)})
				continue
			}
			for n := range 27 {
				o := m.cellBeside(s, n%3-1, n/3%3-1, n/9-1)
				if o.b == nil || o.isTame() {
					continue
				}
				o.b.tame |= cellBit(o.x, o.y, o.z)
				o.b.age = m.age
				fresh = true
			}
		}
	}
	return todo, fresh || len(todo) > 0
}

// cellOf returns the cell of a vertex of the first mesh, none for a vertex on an
// arc or in a polygon.
func (m *mesher) cellOf(v uint32) spot {
	i, _ := slices.BinarySearchFunc(m.blocks, v, func(b *block, v uint32) int {
		if b.base <= v {
			return -1
		}
		return 1
	})
	if i == 0 {
		return spot{}
	}
	b := m.blocks[i-1]
	k := v - b.base
	if int(k) >= len(b.verts) {
		return spot{}
	}
	at := func(c int) spot { return spot{b, c % side, c / side % side, c / side / side} }
	for _, t := range b.trans() {
		for _, l := range t.loops {
			if uint32(l.vert) == k {
				return at(int(t.cell))
			}
		}
	}
	n := 0
	for r, a := range b.active {
		for ; a != 0; a &= a - 1 {
			if n+1 == len(b.cells) || uint32(b.cells[n+1].vert) > k {
				return spot{b, trailing(a), r % side, r / side}
			}
			n++
		}
	}
	return spot{}
}

// cellAt returns the leaf cell in which p lies.
func (m *mesher) cellAt(p vec.P) spot {
	b := m.leaf(p)
	if b == nil {
		return spot{}
	}
	c, half := m.middle(b.key)
	d := p.Sub(c).Add(vec.P{X: half, Y: half, Z: half}).Mul(1 / m.cell(b.level))
	in := func(x float64) int { return min(max(int(x), 0), side-1) }
	return spot{b, in(d.X), in(d.Y), in(d.Z)}
}

// cellBeside returns the cell the given steps from s, or the coarser one there;
// none where the cells are finer or the surface does not pass.
func (m *mesher) cellBeside(s spot, dx, dy, dz int) spot {
	j := joiner{m: m, b: s.b}
	o, finer := j.find([3]int{s.x + dx, s.y + dy, s.z + dz})
	if finer {
		return spot{}
	}
	return o
}
