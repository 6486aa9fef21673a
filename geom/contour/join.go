package contour

import (
	"context"
	"errors"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Joining: each finest lattice edge whose ends have different signs gives one
// polygon through the vertices of the three or four cells round it. That is
// the dual of a closed surface cut into the cells' patches, so every edge of
// the mesh has two triangles. Two arcs between the same two patches would be
// one edge used four times: each such arc gets a vertex of its own.

// joiner makes the polygons of some blocks.
type joiner struct {
	m       *mesher
	b       *block // in hand
	regular bool   // its cells are all of one size, and not tame
	low     [3]int32
	near    [27]neighbour
	known   [27]bool
	tris    [][3]uint32
	tags    []uint32
	special []polygon

	suspects []uint32 // triangles that may be bad
	loose    []uint32 // triangles that may cross others
	check    bool     // only mark the block when its triangles deviate
	round    octants  // parts of the block round the edge in hand, for check
	err      error
}

// edgeRef names a lattice edge: its low end, axis and level.
type edgeRef struct {
	low   [3]int32
	axis  int
	level uint8
}

// arcRef names an arc of the surface on a face between two cells: the face by
// its low corner, axis and level, and the lesser of the arc's two edges.
type arcRef struct {
	face  edgeRef
	first edgeRef
}

// polygon is one that needs vertices on arcs.
type polygon struct {
	ids  []uint32 // 0 where an arc's vertex comes
	arcs []arc    // that vertex, or none
	tag  uint32
	code *sdf.Local
	hub  *vec.P // the middle of its fan, where it belongs to tame cells
}

// arc is an arc that gets a vertex of its own, and a point near its middle.
type arc struct {
	ref  arcRef
	near vec.P
	set  bool
	firm bool // near is where the vertex must lie
}

// errOpen is what a field gets that lies about its bounds.
var errOpen = errors.New("contour: the field is negative outside its bounds")

// joined is the mesh of the cells before it is tidied.
type joined struct {
	mesh.Mesh
	class    []uint8  // of each vertex
	suspects []uint32 // triangles that may be bad
	loose    []uint32 // triangles that may cross others
	held     []uint32 // vertices that must stay: those of tame cells
}

// join makes the mesh of some of the leaf blocks: all vertices, and the triangles
// of these blocks.
func (m *mesher) join(ctx context.Context, blocks []*block) (*joined, error) {
	out, err := m.vertices(ctx)
	if err != nil {
		return nil, err
	}
	chunk, _ := share(max(1, len(blocks)), 64)
	parts := slices.Collect(slices.Chunk(blocks, chunk))
	room := make([]int, len(parts)+1) // triangles before each part, at most
	err = m.parallel(ctx, len(parts), func(_ *worker, i int) {
		for _, b := range parts[i] {
			room[i+1] += 2 * b.crossed(m.opt.Cell == 0)
		}
	})
	if err != nil {
		return nil, err
	}
	for i := range parts {
		room[i+1] += room[i]
	}
	total := room[len(parts)]
	both(func() { out.T = make([][3]uint32, total, total+total/64) }, // a little more for the special ones
		func() { out.Tag = make([]uint32, total, total+total/64) })
	js := make([]joiner, len(parts))
	err = m.parallel(ctx, len(parts), func(_ *worker, i int) {
		j := &js[i]
		j.m = m
		j.tris = out.T[room[i]:room[i]:room[i+1]]
		j.tags = out.Tag[room[i]:room[i]:room[i+1]]
		for _, b := range parts[i] {
			j.block(b)
		}
	})
	if err != nil {
		return nil, err
	}
	return out, out.gather(js, room)
}

// vertices numbers the vertices of all blocks and returns a mesh of them without
// triangles.
func (m *mesher) vertices(ctx context.Context) (*joined, error) {
	out := &joined{}
	n := uint32(0)
	for _, b := range m.blocks {
		b.base = n
		n += uint32(len(b.verts))
		if b.tame != 0 {
			j := joiner{m: m}
			j.tame(b)
			out.held = append(out.held, b.tameVerts()...)
		}
	}
	out.class = make([]uint8, n)
	if out.V = m.verts; m.verts == nil {
		out.V = make([]vec.P, n)
	}
	return out, m.parallelBlocks(ctx, m.blocks, func(_ *worker, b *block) {
		class := out.class[b.base:]
		for k := range b.marks {
			class[k] = b.marks[k].class
		}
		if m.verts == nil {
			copy(out.V[b.base:], b.verts)
		}
	})
}

// gather puts together what the joiners have made, each from its place in the mesh's
// arrays on.
func (out *joined) gather(js []joiner, room []int) error {
	total := 0
	for i := range js {
		j := &js[i]
		if j.err != nil {
			return j.err
		}
		for _, s := range j.suspects {
			out.suspects = append(out.suspects, s+uint32(total))
		}
		for _, s := range j.loose {
			out.loose = append(out.loose, s+uint32(total))
		}
		if total < room[i] { // close the gap
			copy(out.T[total:], j.tris)
			copy(out.Tag[total:], j.tags)
		}
		total += len(j.tris)
	}
	out.T, out.Tag = out.T[:total], out.Tag[:total]
	extra := map[arcRef]uint32{}
	for i := range js {
		for _, p := range js[i].special {
			p.emit(out, extra)
		}
	}
	return nil
}

// crossed returns the number of lattice edges with a sign change of which the
// block may make polygons: those at its far sides belong to blocks beside it,
// unless these have cells of another size.
func (b *block) crossed(far bool) (n int) {
	last, bits := side, uint8(1<<side-1)
	if far {
		last, bits = corners, 1<<corners-1
	}
	for z := range last {
		for y := range last {
			r := b.sign[row(y, z)]
			n += popcount((r ^ r>>1) & (1<<side - 1))
			if y < side {
				n += popcount((r ^ b.sign[row(y+1, z)]) & bits)
			}
			if z < side {
				n += popcount((r ^ b.sign[row(y, z+1)]) & bits)
			}
		}
	}
	return n
}

// block makes the polygons of the edges that b owns.
func (j *joiner) block(b *block) {
	j.b = b
	j.known = [27]bool{}
	j.low[0], j.low[1], j.low[2] = j.m.low(b.key)
	j.regular = b.even() && b.tame == 0 && b.gone == 0
	last, bits := corners, uint8(1<<corners-1)
	if _, inside := b.step(1, 1, 1); inside && j.m.opt.Cell > 0 { // those at the far sides are others'
		last, bits = side, 1<<side-1
	}
	for z := range last {
		for y := range last {
			r := b.sign[row(y, z)]
			j.edges(0, y, z, (r^r>>1)&(1<<side-1), r)
			if y < side {
				j.edges(1, y, z, (r^b.sign[row(y+1, z)])&bits, r)
			}
			if z < side {
				j.edges(2, y, z, (r^b.sign[row(y, z+1)])&bits, r)
			}
		}
	}
}

// edges makes the polygons of the edges along axis d of row y, z whose bits
// are set; low has the signs of their lower ends.
func (j *joiner) edges(d, y, z int, set, low uint8) {
	for ; set != 0; set &= set - 1 {
		x := trailing(set)
		at := [3]int{x, y, z}
		if j.check {
			j.round = partsRound(d, at)
		}
		if !j.regular || !j.simple(d, at, low>>x&1 != 0) {
			j.border(d, at, low>>x&1 != 0)
		}
	}
}

// quadrants are the cells round an edge by their steps in u and v,
// counter-clockwise seen against the edge; the edge's number in them; and the
// face that each shares with the next: its axis (u or v) and the side on which
// it lies in this cell.
var quadrants = [4]struct{ u, v, e, axis, side int }{
	{-1, -1, 3, 0, 1}, {0, -1, 2, 1, 1}, {0, 0, 0, 0, 0}, {-1, 0, 1, 1, 0},
}

// partsRound returns the parts of a block that have cells round an edge.
func partsRound(d int, at [3]int) (parts octants) {
	u, v := (d+1)%3, (d+2)%3
	for _, q := range &quadrants {
		c := at
		c[u] += q.u
		c[v] += q.v
		if c[u] >= 0 && c[u] < side && c[v] >= 0 && c[v] < side {
			parts |= octant(c[0], c[1], c[2])
		}
	}
	return parts
}

// simple makes the polygon of an edge on the near side of a block of regular
// cells or inside it, if the cells round it are regular, of one size, and have no
// face with two arcs; else it reports false.
func (j *joiner) simple(d int, at [3]int, inside bool) bool {
	u, v := (d+1)%3, (d+2)%3
	if at[u] == side || at[v] == side {
		return false
	}
	var id [4]uint32
	var vs [4]vertex
	for i, q := range &quadrants {
		c := at
		c[u] += q.u
		c[v] += q.v
		b := j.b
		if c[u] < 0 || c[v] < 0 {
			if b = j.beside(&c); b == nil {
				return false
			}
		}
		cell := &b.cells[b.find(c[0], c[1], c[2])]
		p := &patterns[cell.inside]
		if p.ambiguous != 0 {
			return false
		}
		k := uint32(cell.vert) + uint32(p.loop[d*4+q.e])
		id[i], vs[i] = b.base+k, b.vertex(int(k))
	}
	if !inside {
		id[1], id[3] = id[3], id[1]
		vs[1], vs[3] = vs[3], vs[1]
	}
	j.quad(d, inside, id, &vs, [4]uint8{})
	return true
}

// border makes the polygon of any edge, if it is a finest one and the block in
// hand is the first that has it.
func (j *joiner) border(d int, at [3]int, inside bool) {
	ref := edgeRef{axis: d, level: j.b.level}
	s := j.m.shift(j.b.level)
	for i := range 3 {
		ref.low[i] = j.low[i] + int32(at[i])<<s
	}
	cells, mine := j.cellsRound(d, at)
	if !mine {
		return
	}
	var id [4]uint32
	var vs [4]vertex
	var level [4]uint8
	n := 0
	var arcs [4]arc // after each cell
	many := false
	for i := range cells {
		next := cells[(i+1)%4]
		if cells[i] == next {
			continue
		}
		k := j.loop(cells[i], ref)
		id[n], vs[n], level[n] = cells[i].b.base+uint32(k), cells[i].b.vertex(k), cells[i].b.level
		q := quadrants[i]
		if a, ok := j.doubled(cells[i], next, (d+1+q.axis)%3, q.side, ref); ok {
			arcs[n] = a
			many = true
		}
		n++
	}
	if many {
		var hub *vec.P
		if cells[0].isTame() || cells[1].isTame() || cells[2].isTame() || cells[3].isTame() {
			p := j.onEdge(j.b.local, ref)
			hub = &p
		}
		j.specialPolygon(id[:n], vs[:n], arcs[:n], hub, inside)
		return
	}
	if n == 3 {
		if !inside {
			id[1], id[2] = id[2], id[1]
			vs[1], vs[2] = vs[2], vs[1]
		}
		j.triangle(d, inside, [3]uint32{id[0], id[1], id[2]}, &vs[0], &vs[1], &vs[2], owner(vs[:3]))
		return
	}
	if !inside {
		id[1], id[3] = id[3], id[1]
		vs[1], vs[3] = vs[3], vs[1]
		level[1], level[3] = level[3], level[1]
	}
	for i := range level {
		level[i] = j.b.level - level[i] // 1 for a coarser cell
	}
	j.quad(d, inside, id, &vs, level)
}

// cellsRound returns the cells round an edge, in the order of quadrants. mine is false
// where some are finer, or another block is the first that has the edge, or a cell is
// missing, which is an error.
func (j *joiner) cellsRound(d int, at [3]int) (cells [4]spot, mine bool) {
	u, v := (d+1)%3, (d+2)%3
	for _, i := range [4]int{2, 3, 1, 0} {
		q := &quadrants[i]
		c := at
		c[u] += q.u
		c[v] += q.v
		spot, finer := j.find(c)
		if finer {
			return cells, false
		}
		if spot.b == nil {
			j.err = errOpen
			return cells, false
		}
		cells[i] = spot
		if !mine && spot.b.level == j.b.level {
			if spot.b != j.b {
				return cells, false
			}
			mine = true
		}
	}
	return cells, mine
}
