package delaunay

import (
	"errors"
	"fmt"
)

// ErrOutside says that a point lies outside the hull.
var ErrOutside = errors.New("point: outside the hull")

// FixedError says that a point lies on a fixed edge.
type FixedError struct{ A, B int32 }

func (e *FixedError) Error() string {
	return fmt.Sprintf("point: on the fixed edge %d-%d", e.A, e.B)
}

// Insert adds a point, to be looked for from the triangle near (any there is;
// one close by makes it quick), and returns its vertex: that which is there
// already, or a new one, the last of Points. New triangles are inside if the
// place was. A point on a fixed edge is refused with a FixedError, one outside
// the hull with ErrOutside, one out of Reach with an error that names it, and
// any point with ErrFlat if there are no triangles.
func (t *Triangulation) Insert(p Point, near int32) (int32, error) {
	return t.insert(p, near, false)
}

// Cut is Insert for a point that may lie on a fixed edge, which it cuts into
// two fixed edges.
func (t *Triangulation) Cut(p Point, near int32) (int32, error) {
	return t.insert(p, near, true)
}

func (t *Triangulation) insert(p Point, near int32, cut bool) (int32, error) {
	if err := inReach(p); err != nil {
		return 0, fmt.Errorf("point: %w", err)
	}
	if len(t.Triangles) == 0 {
		return 0, ErrFlat
	}
	on := t.Locate(p, near)
	tr := &t.Triangles[on.Triangle]
	switch {
	case on.Kind == Outside:
		return 0, ErrOutside
	case on.Kind == OnVertex:
		return tr.V[on.Slot], nil
	case on.Kind == OnEdge && tr.Fixed>>on.Slot&1 != 0 && !cut:
		a, b := t.Ends(EdgeOf(on.Triangle, on.Slot))
		return 0, &FixedError{a, b}
	}
	v := int32(len(t.Points))
	t.Points = append(t.Points, p)
	t.at = append(t.at, -1)
	t.put(v, on)
	return v, nil
}

// put makes v a vertex at its place and restores the Delaunay property.
func (t *Triangulation) put(v int32, on Place) {
	t.stack = t.stack[:0]
	if on.Kind == OnEdge {
		t.splitEdge(v, EdgeOf(on.Triangle, on.Slot))
	} else {
		t.splitTriangle(v, on.Triangle)
	}
	t.settle(t.Points[v])
	t.last = on.Triangle
}

// splitTriangle joins v to the corners of a triangle.
func (t *Triangulation) splitTriangle(v, in int32) {
	old := t.Triangles[in]
	n := int32(len(t.Triangles))
	t.Triangles = append(t.Triangles, Triangle{}, Triangle{})
	ids := [3]int32{in, n, n + 1}
	for k, id := range ids {
		t.spoke(v, id, &old, k, ids[after[k]], ids[before[k]])
	}
}

// splitEdge joins v, which lies on an edge, to the corners of both triangles.
func (t *Triangulation) splitEdge(v int32, e Edge) {
	i := e.Slot()
	one := t.Triangles[e.Triangle()]
	f := one.N[i]
	j := f.Slot()
	two := t.Triangles[f.Triangle()]
	n := int32(len(t.Triangles))
	t.Triangles = append(t.Triangles, Triangle{}, Triangle{})
	ids := [4]int32{e.Triangle(), n, f.Triangle(), n + 1}
	t.spoke(v, ids[0], &one, after[i], ids[1], ids[3])
	t.spoke(v, ids[1], &one, before[i], ids[2], ids[0])
	t.spoke(v, ids[2], &two, after[j], ids[3], ids[1])
	t.spoke(v, ids[3], &two, before[j], ids[0], ids[2])
	if one.Fixed>>i&1 != 0 {
		t.Triangles[ids[0]].Fixed |= 4
		t.Triangles[ids[1]].Fixed |= 2
		t.Triangles[ids[2]].Fixed |= 4
		t.Triangles[ids[3]].Fixed |= 2
	}
}

// spoke makes triangle id of v and the edge of old opposite its slot k; left
// and right are its neighbours round v, counter-clockwise and clockwise.
func (t *Triangulation) spoke(v, id int32, old *Triangle, k int, left, right int32) {
	b := old.V[after[k]]
	t.Triangles[id] = Triangle{
		V:      [3]int32{v, b, old.V[before[k]]},
		N:      [3]Edge{old.N[k], EdgeOf(left, 2), EdgeOf(right, 1)},
		Fixed:  old.Fixed >> k & 1,
		Inside: old.Inside,
	}
	out := old.N[k]
	t.Triangles[out.Triangle()].N[out.Slot()] = EdgeOf(id, 0)
	t.at[v+1], t.at[b+1] = id, id
	t.stack = append(t.stack, id)
}

// settle flips edges until no triangle has p inside its circle, unless a fixed
// edge is between. On the stack are triangles with p at slot 0 whose opposite
// edges have yet to be looked at.
func (t *Triangulation) settle(p Point) {
	for n := len(t.stack); n > 0; {
		id := t.stack[n-1]
		tr := &t.Triangles[id]
		e := tr.N[0]
		other, j := e.Triangle(), e.Slot()
		to := &t.Triangles[other]
		if tr.Fixed&1 != 0 || !t.conflict(to, p) {
			n--
			t.stack = t.stack[:n]
			continue
		}
		// From p, a, b and q, b, a to p, a, q and p, q, b.
		v, a, b, q := tr.V[0], tr.V[1], tr.V[2], to.V[j]
		aq, qb, bp := to.N[after[j]], to.N[before[j]], tr.N[1]
		fixed, ofixed := tr.Fixed, to.Fixed
		tr.V[2] = q
		tr.N[0], tr.N[1] = aq, EdgeOf(other, 2)
		tr.Fixed = fixed&4 | ofixed>>after[j]&1
		to.V = [3]int32{v, q, b}
		to.N = [3]Edge{qb, bp, EdgeOf(id, 1)}
		to.Fixed = fixed&2 | ofixed>>before[j]&1
		t.Triangles[aq.Triangle()].N[aq.Slot()] = EdgeOf(id, 0)
		t.Triangles[qb.Triangle()].N[qb.Slot()] = EdgeOf(other, 0)
		t.Triangles[bp.Triangle()].N[bp.Slot()] = EdgeOf(other, 1)
		t.at[a+1], t.at[b+1], t.at[q+1] = id, other, id
		t.stack = append(t.stack, other)
		n++
	}
}

// Flip puts the other diagonal in place of an edge and returns it, where it can:
// not where the edge is fixed or on the hull, where the inside ends, or where the
// two triangles are no convex quadrangle. What Flip did is undone by nothing but
// an Insert beside it.
func (t *Triangulation) Flip(e Edge) (diagonal Edge, ok bool) {
	id, i := e.Triangle(), e.Slot()
	tr := &t.Triangles[id]
	f := tr.N[i]
	other, j := f.Triangle(), f.Slot()
	to := &t.Triangles[other]
	if tr.Ghost() || to.Ghost() || tr.Fixed>>i&1 != 0 || tr.Inside != to.Inside {
		return e, false
	}
	// From v, a, b and q, b, a to v, a, q and q, b, v.
	v, a, b, q := tr.V[i], tr.V[after[i]], tr.V[before[i]], to.V[j]
	if t.side(v, a, q) <= 0 || t.side(q, b, v) <= 0 {
		return e, false
	}
	va, bv := tr.N[before[i]], tr.N[after[i]]
	aq, qb := to.N[after[j]], to.N[before[j]]
	fixed := func(tr *Triangle, slot, to int) uint8 { return tr.Fixed >> slot & 1 << to }
	one, two := fixed(tr, before[i], 2)|fixed(to, after[j], 0), fixed(to, before[j], 2)|fixed(tr, after[i], 0)
	tr.V, tr.N, tr.Fixed = [3]int32{v, a, q}, [3]Edge{aq, EdgeOf(other, 1), va}, one
	to.V, to.N, to.Fixed = [3]int32{q, b, v}, [3]Edge{bv, EdgeOf(id, 1), qb}, two
	t.Triangles[va.Triangle()].N[va.Slot()] = EdgeOf(id, 2)
	t.Triangles[aq.Triangle()].N[aq.Slot()] = EdgeOf(id, 0)
	t.Triangles[bv.Triangle()].N[bv.Slot()] = EdgeOf(other, 0)
	t.Triangles[qb.Triangle()].N[qb.Slot()] = EdgeOf(other, 2)
	t.at[v+1], t.at[a+1], t.at[q+1], t.at[b+1] = id, id, id, other
	return EdgeOf(id, 1), true
}
