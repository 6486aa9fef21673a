package contour

// What lies beside a block.

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

// beside returns the block of regular cells of the same size in which a cell on
// the near side of the block in hand lies, nil where there is another one, and
// makes c its place in it.
func (j *joiner) beside(c *[3]int) *block {
	n, scale := itself, 1
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
	if n == itself {
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

// itself is the direction of the block in hand, as around takes it.
const itself = 13

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
