package contour

import (
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Faces between two cells on which the surface makes more than one arc.

// doubled looks at the face that cells a and b share round the edge; axis and
// side are the face's as seen from a. Where the surface makes several arcs on
// it that join the same patches of a and b, or where one of the cells is tame,
// the arc that ends at the edge needs a vertex of its own, and ok is true.
func (j *joiner) doubled(a, b spot, axis, sideOf int, edge edgeRef) (out arc, ok bool) {
	c, side := a, sideOf // the smaller cell: the face is all of its own
	if b.b.level > a.b.level {
		c, side = b, 1-sideOf
	}
	tame := a.isTame() || b.isTame()
	t := c.b.transition(c.x, c.y, c.z)
	face := axis*2 + side
	if t == nil && patterns[c.b.inside(c.x, c.y, c.z)].ambiguous>>face&1 == 0 && !tame {
		return out, false
	}
	var points [8]uint8
	n, sign := c.rim(t, face, &points)
	var enter, leave [4]uint8
	arcs := rimArcs(points[:n], sign, &enter, &leave)
	if arcs < 2 && !tame {
		return out, false
	}
	ref := func(code uint8) edgeRef { return j.absolute(c, t, code) }
	mine := -1
	for i := range arcs {
		if ref(enter[i]) == edge || ref(leave[i]) == edge {
			mine = i
		}
	}
	if mine < 0 {
		panic("contour: an edge is not on its face")
	}
	la, lb := j.loop(a, edge), j.loop(b, edge)
	for i := range arcs {
		if i == mine {
			continue
		}
		if e := ref(enter[i]); j.loop(a, e) == la && j.loop(b, e) == lb {
			ok = true
		}
	}
	if !ok && !tame {
		return out, false
	}
	e, l := ref(enter[mine]), ref(leave[mine])
	first := e
	if less(l, e) {
		first = l
	}
	low := j.m.lowOf(c)
	low[axis] += int32(side) << j.m.shift(c.b.level)
	out = arc{ref: arcRef{edgeRef{low, axis, c.b.level}, first}, set: true, firm: tame}
	out.near = j.onEdge(c.b.local, e).Add(j.onEdge(c.b.local, l)).Mul(0.5)
	if tame && arcs == 1 {
		out.near = onFaceOf(c.b.local, out.near, j.m.at3(low), axis, j.m.cell(c.b.level))
	}
	return out, true
}

// rim writes the points round a face of a cell with the record t, nil for a regular
// cell, and returns their number, and which points are inside.
func (s spot) rim(t *transition, face int, points *[8]uint8) (n int, sign uint32) {
	if t != nil {
		return t.rim(face, points), t.sign
	}
	in := s.b.inside(s.x, s.y, s.z)
	for _, k := range faceCorners[face] {
		points[n] = cornerPoint[k]
		sign |= uint32(in>>k&1) << points[n]
		n++
	}
	return n, sign
}

func less(a, b edgeRef) bool {
	for i := range 3 {
		if a.low[i] != b.low[i] {
			return a.low[i] < b.low[i]
		}
	}
	return a.axis < b.axis
}

// absolute returns the lattice edge that a cell knows by its code.
func (j *joiner) absolute(c spot, t *transition, code uint8) edgeRef {
	p, axis := int(code/3), int(code%3)
	e := edgeRef{axis: axis, level: c.b.level}
	if t.half(code) {
		e.level++
	}
	e.low[0], e.low[1], e.low[2] = j.m.low(c.b.key)
	s := j.m.shift(c.b.level)
	rel := [3]int32{int32(p % 3), int32(p / 3 % 3), int32(p / 9)}
	for i, k := range [3]int{c.x, c.y, c.z} {
		e.low[i] += int32(k)<<s + rel[i]<<s>>1
	}
	return e
}

// onEdge returns where the surface crosses an edge, by halving, but not too near
// to its ends.
func (j *joiner) onEdge(local *sdf.Local, e edgeRef) vec.P {
	a := j.m.at3(e.low)
	e.low[e.axis] += 1 << j.m.shift(e.level)
	b := j.m.at3(e.low)
	lo, hi := 0.0, 1.0
	if v, _ := local.At(a); v >= 0 {
		a, b = b, a
	}
	for range 30 {
		m := (lo + hi) / 2
		if v, _ := local.At(a.Lerp(b, m)); v < 0 {
			lo = m
		} else {
			hi = m
		}
	}
	return a.Lerp(b, min(max(lo, fromWall), 1-fromWall))
}

func (g *grid) at3(p [3]int32) vec.P { return g.at(p[0], p[1], p[2]) }

// specialPolygon keeps a polygon with arc vertices for later.
func (j *joiner) specialPolygon(id []uint32, vs []vertex, arcs []arc, hub *vec.P, inside bool) {
	p := polygon{tag: owner(vs), code: j.b.local, hub: hub}
	for i := range id {
		p.ids, p.arcs = append(p.ids, id[i]), append(p.arcs, arc{})
		if arcs[i].set {
			p.ids, p.arcs = append(p.ids, 0), append(p.arcs, arcs[i])
		}
	}
	if !inside {
		for i, k := 0, len(p.ids)-1; i < k; i, k = i+1, k-1 {
			p.ids[i], p.ids[k] = p.ids[k], p.ids[i]
			p.arcs[i], p.arcs[k] = p.arcs[k], p.arcs[i]
		}
	}
	j.special = append(j.special, p)
}

// emit adds the polygon's triangles to the mesh: a fan from its arc vertex, or
// from a new one in its middle where it has several.
func (p *polygon) emit(out *joined, extra map[arcRef]uint32) {
	first := len(out.T)
	defer func() {
		for i := first; i < len(out.T); i++ {
			out.loose = append(out.loose, uint32(i))
		}
	}()
	add := func(at vec.P, firm bool) uint32 {
		q := at
		if !firm {
			q, _, _ = p.code.Project(at)
			if q.Sub(at).Len() > q.Sub(out.V[p.ids[0]]).Len() {
				q = at
			}
		}
		out.V = append(out.V, q)
		out.class = append(out.class, smooth)
		if firm {
			out.held = append(out.held, uint32(len(out.V)-1))
		}
		return uint32(len(out.V) - 1)
	}
	hub, arcs := 0, 0
	for i, a := range p.arcs {
		if !a.set {
			continue
		}
		id, ok := extra[a.ref]
		if !ok {
			id = add(a.near, a.firm)
			extra[a.ref] = id
		}
		p.ids[i] = id
		hub = i
		arcs++
	}
	n := len(p.ids)
	if arcs == 1 && p.hub == nil {
		for i := 1; i < n-1; i++ {
			out.T = append(out.T, [3]uint32{p.ids[hub], p.ids[(hub+i)%n], p.ids[(hub+i+1)%n]})
			out.Tag = append(out.Tag, p.tag)
		}
		return
	}
	mean := vec.P{}
	for _, id := range p.ids {
		mean = mean.Add(out.V[id])
	}
	mean = mean.Mul(1 / float64(n))
	if p.hub != nil {
		mean = *p.hub
	}
	c := add(mean, p.hub != nil)
	for i := range n {
		out.T = append(out.T, [3]uint32{c, p.ids[i], p.ids[(i+1)%n]})
		out.Tag = append(out.Tag, p.tag)
	}
}
