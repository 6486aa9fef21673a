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

// neighbour is what lies in the place of a block of the same size.
type neighbour struct {
	b     *block // nil where the surface does not pass
	finer bool   // nothing of b is left
}

// spot is a cell of a block.
type spot struct {
	b       *block
	x, y, z int
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
	n := uint32(0)
	for _, b := range m.blocks {
		b.base = n
		n += uint32(len(b.verts))
		if b.tame != 0 {
			j := joiner{m: m}
			j.tame(b)
		}
	}
	out := &joined{Mesh: mesh.Mesh{V: m.verts}, class: make([]uint8, n)}
	if m.verts == nil {
		out.V = make([]vec.P, n)
	}
	err := m.parallelBlocks(ctx, m.blocks, func(_ *worker, b *block) {
		class := out.class[b.base:]
		for k := range b.marks {
			class[k] = b.marks[k].class
		}
		if m.verts == nil {
			copy(out.V[b.base:], b.verts)
		}
	})
	if err != nil {
		return nil, err
	}
	for _, b := range m.blocks {
		if b.tame != 0 {
			out.held = append(out.held, b.tameVerts()...)
		}
	}
	chunk, _ := share(max(1, len(blocks)), 64)
	parts := slices.Collect(slices.Chunk(blocks, chunk))
	js := make([]joiner, len(parts))
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
	total = 0
	for i := range js {
		j := &js[i]
		if j.err != nil {
			return nil, j.err
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
	return out, nil
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

// beside returns the block of regular cells of the same size in which a cell on
// the near side of the block in hand lies, nil where there is another one, and
// makes c its place in it.
func (j *joiner) beside(c *[3]int) *block {
	n, scale := 13, 1
	for i := range c {
		if c[i] < 0 {
			c[i] = side - 1
			n -= scale
		}
		scale *= 3
	}
	o := j.around(n)
	if o.b == nil || o.finer || o.b.level != j.b.level || !o.b.even() || o.b.tame != 0 || o.b.gone != 0 {
		return nil
	}
	return o.b
}

// border makes the polygon of any edge, if it is a finest one and the block in
// hand is the first that has it.
func (j *joiner) border(d int, at [3]int, inside bool) {
	u, v := (d+1)%3, (d+2)%3
	s := j.m.shift(j.b.level)
	ref := edgeRef{axis: d, level: j.b.level}
	for i := range 3 {
		ref.low[i] = j.low[i] + int32(at[i])<<s
	}
	var cells [4]spot
	mine := false
	for _, i := range [4]int{2, 3, 1, 0} {
		q := &quadrants[i]
		c := at
		c[u] += q.u
		c[v] += q.v
		spot, finer := j.find(c)
		if finer {
			return
		}
		if spot.b == nil {
			j.err = errOpen
			return
		}
		cells[i] = spot
		if !mine && spot.b.level == j.b.level {
			if spot.b != j.b {
				return
			}
			mine = true
		}
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
		axis := u
		if q.axis == 1 {
			axis = v
		}
		if a, ok := j.doubled(cells[i], next, axis, q.side, ref); ok {
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

// find returns the leaf cell at c, which may lie one step outside the block in
// hand, or finer where smaller cells are there.
func (j *joiner) find(c [3]int) (s spot, finer bool) {
	in := c
	n, scale := 0, 1
	for i := range c {
		switch {
		case c[i] < 0:
			in[i] = side - 1
		case c[i] >= side:
			in[i] = 0
			n += 2 * scale
		default:
			n += scale
		}
		scale *= 3
	}
	if n == 13 {
		return spot{j.b, c[0], c[1], c[2]}, octant(c[0], c[1], c[2])&j.b.gone != 0
	}
	o := j.around(n)
	switch {
	case o.finer:
		return s, true
	case o.b == nil:
		return s, false
	case o.b.level == j.b.level:
		return spot{o.b, in[0], in[1], in[2]}, octant(in[0], in[1], in[2])&o.b.gone != 0
	}
	// a coarser block: its cell is twice as large
	k := [3]int32{j.b.x, j.b.y, j.b.z}
	for i := range in {
		at := k[i]*side + int32(c[i])
		in[i] = int(at>>1) & (side - 1)
	}
	return spot{o.b, in[0], in[1], in[2]}, false
}

// around returns what lies in direction n (base three digits 0, 1, 2 for steps
// -1, 0, 1 in x, y, z) of the block in hand.
func (j *joiner) around(n int) neighbour {
	if !j.known[n] {
		j.known[n] = true
		j.near[n] = j.m.neighbour(j.b.key, n)
	}
	return j.near[n]
}

// neighbour returns what lies in direction n of block k.
func (m *mesher) neighbour(k key, n int) neighbour {
	o, ok := k.step(int32(n%3-1), int32(n/3%3-1), int32(n/9-1))
	if !ok {
		return neighbour{}
	}
	if b := m.at.get(o); b != nil {
		return neighbour{b, b.split()}
	}
	if o.level > 0 {
		if b := m.at.get(o.parent()); b != nil && o.octant()&b.gone == 0 {
			return neighbour{b: b}
		}
	}
	return neighbour{}
}

// loop returns the number in its block of the vertex of the cell's patch that
// crosses the edge.
func (j *joiner) loop(s spot, e edgeRef) int {
	low := [3]int32{}
	low[0], low[1], low[2] = j.m.low(s.b.key)
	shift := j.m.shift(s.b.level)
	at := [3]int{s.x, s.y, s.z}
	var rel [3]int // in half cells
	for i := range rel {
		rel[i] = int((e.low[i]-low[i]-int32(at[i])<<shift)*2) >> shift
	}
	if t := s.b.transition(s.x, s.y, s.z); t != nil {
		code := halfEdge(rel[0]+3*rel[1]+9*rel[2], e.axis)
		for _, l := range t.loops {
			if l.edge == code {
				return int(l.vert)
			}
		}
		panic("contour: a cell does not know one of its edges")
	}
	c := s.b.cells[s.b.find(s.x, s.y, s.z)]
	u, v := rel[(e.axis+1)%3]>>1, rel[(e.axis+2)%3]>>1
	return int(c.vert) + int(patterns[c.inside].loop[e.axis*4+u+2*v])
}
