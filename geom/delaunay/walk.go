package delaunay

// Kind says what of a triangle a point lies on.
type Kind uint8

// Kinds of places.
const (
	InTriangle Kind = iota
	OnEdge          // the edge opposite Slot
	OnVertex        // the vertex at Slot
	Outside         // Triangle is a ghost whose edge the point lies beyond
)

// Place is where a point lies.
type Place struct {
	Triangle int32
	Slot     int
	Kind     Kind
}

// Locate finds a point by walking from the triangle near, any one there is.
// There must be triangles.
func (t *Triangulation) Locate(p Point, near int32) Place {
	tr := &t.Triangles[near]
	if tr.Ghost() {
		for i, v := range tr.V {
			if v == Ghost {
				near = tr.N[i].Triangle()
				break
			}
		}
		tr = &t.Triangles[near]
	}
	// From each triangle the walk crosses an edge that has p beyond it, never
	// the one it came by. Where there are fixed edges such a walk could run in
	// a circle; so of two edges it takes the one that a sequence of bits
	// without an order of its own says.
	a, b, c := t.Points[tr.V[0]], t.Points[tr.V[1]], t.Points[tr.V[2]]
	side := [3]int64{orient(b, c, p), orient(c, a, p), orient(a, b, p)}
	coin := uint32(0x9e3779b9)
	for {
		out := -1
		for i, s := range side {
			if s < 0 && (out < 0 || coin&1 != 0) {
				out = i
			}
		}
		if out < 0 {
			break
		}
		e := t.Triangles[near].N[out]
		near = e.Triangle()
		tr = &t.Triangles[near]
		if tr.Ghost() {
			return Place{near, 0, Outside}
		}
		i := e.Slot()
		apex := t.Points[tr.V[i]]
		side[i] = 1
		side[after[i]] = orient(t.Points[tr.V[before[i]]], apex, p)
		side[before[i]] = orient(apex, t.Points[tr.V[after[i]]], p)
		coin ^= coin << 13 // xorshift (G. Marsaglia, 2003)
		coin ^= coin >> 17
		coin ^= coin << 5
	}
	on := Place{near, 0, InTriangle}
	for i, s := range side {
		switch {
		case s != 0:
		case on.Kind == InTriangle:
			on.Slot, on.Kind = i, OnEdge
		default: // on two edges: at the vertex opposite the third
			on.Slot, on.Kind = 3-on.Slot-i, OnVertex
		}
	}
	return on
}
