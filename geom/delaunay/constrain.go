package delaunay

import (
	"fmt"
	"slices"
)

// CrossingError says that the segment from A to B crosses the fixed edge C-D.
type CrossingError struct{ A, B, C, D int32 }

func (e *CrossingError) Error() string {
	return fmt.Sprintf("segment %d-%d: crosses the fixed edge %d-%d", e.A, e.B, e.C, e.D)
}

// cavity is what a segment crosses on its way from one vertex to the next, and
// the two chains of edges round that: of the triangles taken out, from the
// beginning to the end of the segment.
type cavity struct {
	path        []int32 // vertices on the segment
	dead        []int32
	left, right []link
}

// link is an edge of a chain and the vertex it leads to.
type link struct {
	e  Edge
	to int32
}

// Constrain fixes the segment from vertex a to vertex b. Vertices exactly on
// it split it: path has all of them in order, a first and b last, and is valid
// until the next call. Pieces that are fixed already stay so. A segment that
// crosses a fixed edge is refused with a CrossingError.
func (t *Triangulation) Constrain(a, b int32) (path []int32, err error) {
	if err := t.ends(a, b); err != nil {
		return nil, err
	}
	// A look before anything is changed.
	t.cut.path = append(t.cut.path[:0], a)
	for v := a; v != b; {
		to, _, err := t.march(v, b)
		if err != nil {
			err.A = a
			return nil, err
		}
		t.cut.path = append(t.cut.path, to)
		v = to
	}
	for i, v := range t.cut.path[1:] {
		_, e, _ := t.march(t.cut.path[i], v)
		if len(t.cut.dead) > 0 {
			e = t.carve(t.cut.path[i], v)
		}
		t.fix(e)
	}
	return t.cut.path, nil
}

// ends checks the ends of a segment.
func (t *Triangulation) ends(a, b int32) error {
	for _, v := range [2]int32{a, b} {
		switch {
		case v < 0 || int(v) >= len(t.Points):
			return fmt.Errorf("segment %d-%d: %d is no vertex", a, b, v)
		case t.at[v+1] < 0:
			return fmt.Errorf("segment %d-%d: %d is a twin of %d", a, b, v, twinOf(t.Twins, v))
		}
	}
	if a == b {
		return fmt.Errorf("segment %d-%d: has no length", a, b)
	}
	return nil
}

func (t *Triangulation) fix(e Edge) {
	t.Triangles[e.Triangle()].Fixed |= 1 << e.Slot()
	f := t.Triangles[e.Triangle()].N[e.Slot()]
	t.Triangles[f.Triangle()].Fixed |= 1 << f.Slot()
}

// march goes from a towards b as far as the first vertex it meets. If there is
// an edge to it, e is that edge, with the triangle on the left; or else the
// cavity is filled with what is crossed.
func (t *Triangulation) march(a, b int32) (to int32, e Edge, err *CrossingError) {
	c := &t.cut
	c.dead, c.left, c.right = c.dead[:0], c.left[:0], c.right[:0]
	id, k, on := t.wedge(a, b)
	if on {
		return t.Triangles[id].V[after[k]], EdgeOf(id, before[k]), nil
	}
	// The segment leaves triangle id by the edge from x to y.
	tr := &t.Triangles[id]
	x, y := tr.V[after[k]], tr.V[before[k]]
	c.dead = append(c.dead, id)
	c.left = append(c.left, link{EdgeOf(id, after[k]), y})
	c.right = append(c.right, link{EdgeOf(id, before[k]), x})
	pa, pb := t.Points[a], t.Points[b]
	for i := k; ; {
		if tr.Fixed>>i&1 != 0 {
			return 0, 0, &CrossingError{a, b, x, y}
		}
		in := tr.N[i]
		id, i = in.Triangle(), in.Slot()
		tr = &t.Triangles[id]
		c.dead = append(c.dead, id)
		q := tr.V[i]
		s := int64(0)
		if q != b {
			s = orient(pa, pb, t.Points[q])
		}
		yq, qx := EdgeOf(id, before[i]), EdgeOf(id, after[i])
		switch {
		case s == 0:
			c.left = append(c.left, link{yq, q})
			c.right = append(c.right, link{qx, q})
			return q, 0, nil
		case s > 0:
			c.left = append(c.left, link{yq, q})
			y, i = q, after[i]
		default:
			c.right = append(c.right, link{qx, q})
			x, i = q, before[i]
		}
	}
}

// wedge finds the triangle at a through which the way to b begins; a is at its
// slot k. If on, the way runs along its edge to the vertex after k.
func (t *Triangulation) wedge(a, b int32) (id int32, k int, on bool) {
	pa, pb := t.Points[a], t.Points[b]
	id = t.at[a+1]
	for i, v := range t.Triangles[id].V {
		if v == a {
			k = i
		}
	}
	for start := id; ; {
		tr := &t.Triangles[id]
		x, y := tr.V[after[k]], tr.V[before[k]]
		if x != Ghost {
			if x == b {
				return id, k, true
			}
			px := t.Points[x]
			s := orient(pa, pb, px)
			if s == 0 && ahead(pa, pb, px) {
				return id, k, true
			}
			if s < 0 && y != Ghost && y != b && orient(pa, pb, t.Points[y]) > 0 {
				return id, k, false
			}
		}
		e := tr.N[after[k]]
		id, k = e.Triangle(), after[e.Slot()]
		if id == start {
			panic(fmt.Sprintf("delaunay: no way from vertex %d to %d", a, b))
		}
	}
}

// ahead tells whether p, on the line through a and b, lies on b's side of a.
func ahead(a, b, p Point) bool {
	dx, dy := int64(b.X)-int64(a.X), int64(b.Y)-int64(a.Y)
	return dx*(int64(p.X)-int64(a.X))+dy*(int64(p.Y)-int64(a.Y)) > 0
}

// carve replaces the triangles of the cavity by as many that have an edge from
// a to b, and returns that edge. New ones are made at the end, so that edges of
// old ones still say what they bordered on, and are then put where the old
// ones were.
func (t *Triangulation) carve(a, b int32) Edge {
	c := &t.cut
	n := len(t.Triangles)
	// The right side is filled as the left one is, from b to a.
	r := c.right
	slices.Reverse(r)
	for i := range r[1:] {
		r[i].to = r[i+1].to
	}
	r[len(r)-1].to = a
	e, _ := t.fill(a, b, c.left)
	f, _ := t.fill(b, a, r)
	t.link(e, f)
	inside := t.Triangles[c.dead[0]].Inside
	for i, id := range c.dead {
		tr := t.Triangles[n+i]
		tr.Inside = inside
		t.Triangles[id] = tr
		for k, m := range tr.N {
			t.Triangles[m.Triangle()].N[m.Slot()] = EdgeOf(id, k)
			t.at[tr.V[k]+1] = id
		}
	}
	t.Triangles = t.Triangles[:n]
	return EdgeOf(c.dead[int(e.Triangle())-n], e.Slot())
}

// fill triangulates the polygon left of a-b whose other side is the chain from
// a to b. It returns the edge to be linked to a-b: that of a new triangle, or
// what is beyond the chain if there is nothing to fill, and then whether it is
// fixed.
//
// Of the corners of the chain that one is joined to a and b whose circle
// through them has no other inside. All others of the two chains it divides
// see a-b through edges that were crossed, none of which cross, so they lie
// left of the new edges again.
func (t *Triangulation) fill(a, b int32, chain []link) (e Edge, fixed uint8) {
	if len(chain) == 1 {
		e := chain[0].e
		tr := &t.Triangles[e.Triangle()]
		return tr.N[e.Slot()], tr.Fixed >> e.Slot() & 1
	}
	best := 0
	pa, pb, pc := t.Points[a], t.Points[b], t.Points[chain[0].to]
	for i, l := range chain[:len(chain)-1] {
		if p := t.Points[l.to]; inCircle(pa, pb, pc, p) {
			best, pc = i, p
		}
	}
	c := chain[best].to
	id := int32(len(t.Triangles))
	t.Triangles = append(t.Triangles, Triangle{V: [3]int32{a, b, c}})
	e, fixed = t.fill(c, b, chain[best+1:])
	t.link(EdgeOf(id, 0), e)
	t.Triangles[id].Fixed |= fixed
	e, fixed = t.fill(a, c, chain[:best+1])
	t.link(EdgeOf(id, 1), e)
	t.Triangles[id].Fixed |= fixed << 1
	return EdgeOf(id, 2), 0
}
