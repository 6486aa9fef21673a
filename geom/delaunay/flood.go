package delaunay

import "fmt"

// LeakError says that one region, not divided by directed edges, is inside by
// one of them and outside by another. In and Out are the two as their side
// towards the region has them, counter-clockwise round it; Out is Ghost twice
// where the region reaches the outside of the hull.
type LeakError struct{ In, Out [2]int32 }

func (e *LeakError) Error() string {
	if e.Out[0] == Ghost {
		return fmt.Sprintf("region: inside by the edge %d-%d, but open to the outside of the hull", e.In[0], e.In[1])
	}
	return fmt.Sprintf("region: inside by the edge %d-%d, outside by the edge %d-%d", e.In[0], e.In[1], e.Out[0], e.Out[1])
}

// Marks of a triangle for Flood: for each slot whether the edge says that this
// side is inside, and whether it says that it is outside.
const (
	markIn  = 1
	markOut = 1 << 3
	seen    = 1 << 6
)

// Flood says which triangles are inside. What lies left of each directed edge
// is inside and what lies right of it outside; an edge that occurs in both
// directions has the inside on both sides, and the outside of the hull is
// outside. An edge may consist of several that are fixed, as Constrain left
// them. Fixed edges that are not listed divide nothing. All triangles are
// outside after an error: a LeakError, or one that names an edge which is not
// fixed.
func (t *Triangulation) Flood(edges [][2]int32) error {
	for i := range t.Triangles {
		t.Triangles[i].Inside = false
	}
	t.marks = t.marks[:0]
	for range t.Triangles {
		t.marks = append(t.marks, 0)
	}
	for _, e := range edges {
		if err := t.direct(e[0], e[1]); err != nil {
			return err
		}
	}
	for id := range t.marks {
		if err := t.region(int32(id)); err != nil {
			for i := range t.Triangles {
				t.Triangles[i].Inside = false
			}
			return err
		}
	}
	return nil
}

// direct marks both sides of the fixed edges from a to b.
func (t *Triangulation) direct(a, b int32) error {
	if err := t.ends(a, b); err != nil {
		return err
	}
	for v := a; v != b; {
		id, k, on := t.wedge(v, b)
		i := before[k]
		tr := &t.Triangles[id]
		if !on || tr.Fixed>>i&1 == 0 {
			return fmt.Errorf("edge %d-%d: not fixed at vertex %d", a, b, v)
		}
		t.marks[id] |= markIn << i
		t.marks[tr.N[i].Triangle()] |= markOut << tr.N[i].Slot()
		v = tr.V[after[k]]
	}
	return nil
}

// region colours all that can be reached from a triangle without crossing a
// directed edge.
func (t *Triangulation) region(from int32) error {
	if t.marks[from]&seen != 0 {
		return nil
	}
	const no = Edge(-1)
	in, out, open := no, no, false
	t.marks[from] |= seen
	t.stack = append(t.stack[:0], from)
	for n := 0; n < len(t.stack); n++ {
		id := t.stack[n]
		tr := &t.Triangles[id]
		open = open || tr.Ghost()
		for i, e := range tr.N {
			mark := t.marks[id] >> i
			to := e.Triangle()
			switch {
			case mark&markIn != 0:
				if in == no {
					in = EdgeOf(id, i)
				}
			case mark&markOut != 0:
				if out == no {
					out = EdgeOf(id, i)
				}
			case t.marks[to]&seen == 0:
				t.marks[to] |= seen
				t.stack = append(t.stack, to)
			}
		}
	}
	if in == no {
		return nil
	}
	if open || out != no {
		leak := &LeakError{Out: [2]int32{Ghost, Ghost}}
		leak.In[0], leak.In[1] = t.Ends(in)
		if out != no {
			leak.Out[0], leak.Out[1] = t.Ends(out)
		}
		return leak
	}
	for _, id := range t.stack {
		t.Triangles[id].Inside = true
	}
	return nil
}
