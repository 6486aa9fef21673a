package contour

import (
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Stars: a patch of triangles that is a disk is taken out, and the loop round it
// filled by triangles that all have one corner in common, the hub. Is the hub a
// new point, an edge or a triangle is split, or a vertex moved; is it a vertex of
// the loop, an edge is turned, or a vertex moved onto a neighbour. Whichever it
// is, a disk takes the place of a disk, so the mesh stays closed and keeps its
// handles.

// patchwork is a mesh in which patches are replaced by stars. Triangles that are
// gone stay in their places until it is made compact.
type patchwork struct {
	out   *mesh.Mesh
	fan   [][]uint32 // triangles of each vertex
	gone  []bool     // triangles
	tree  *mesh.Tree // of the mesh as it was
	fresh []uint32   // triangles that came since
	first uint32     // of these
}

func newPatchwork(out *mesh.Mesh) *patchwork {
	p := &patchwork{
		out: out, fan: make([][]uint32, len(out.V)), gone: make([]bool, len(out.T)),
		tree: mesh.NewTree(&mesh.Mesh{V: out.V, T: out.T}), first: uint32(len(out.T)),
	}
	for i, t := range out.T {
		for _, v := range t {
			p.fan[v] = append(p.fan[v], uint32(i))
		}
	}
	return p
}

// star is what is to take the place of a patch.
type star struct {
	patch []uint32
	loop  []uint32 // round the patch, counter-clockwise; begins with the hub if this is one of its vertices
	inner []uint32 // vertices within, that go
	hub   uint32   // the next vertex of the mesh if it is to be a new one
	at    vec.P    // the hub
	made  []facet  // its triangles; those of a new hub have it as their first corner
}

// fresh reports whether the hub is a new vertex.
func (s *star) fresh() bool { return len(s.loop) == 0 || s.loop[0] != s.hub }

// sides calls f for each side of the patch's triangles, with the triangle on its
// other side.
func (p *patchwork) sides(patch []uint32, f func(t, a, b, beyond uint32)) {
	for _, t := range patch {
		for k, a := range p.out.T[t] {
			b := p.out.T[t][(k+1)%3]
			f(t, a, b, p.beyond(b, a))
		}
	}
}

// beyond returns the triangle that runs from a to b.
func (p *patchwork) beyond(a, b uint32) uint32 { return p.running(p.fan[a], a, b) }

// running returns which of some triangles runs from a to b: one does.
func (p *patchwork) running(among []uint32, a, b uint32) uint32 {
	for _, t := range among {
		c := p.out.T[t]
		for k := range 3 {
			if c[k] == a && c[(k+1)%3] == b {
				return t
			}
		}
	}
	panic("contour: an edge has no triangle")
}

// joined reports whether an edge runs between a and b outside of a patch.
func (p *patchwork) joined(a, b uint32, patch []uint32) bool {
	for _, t := range p.fan[a] {
		if slices.Contains(p.out.T[t][:], b) && !slices.Contains(patch, t) {
			return true
		}
	}
	return false
}

// ring sets the star's loop and inner vertices. It returns false where the patch
// is no disk.
func (p *patchwork) ring(s *star) bool {
	s.loop, s.inner = s.loop[:0], s.inner[:0]
	var rim [][2]uint32
	p.sides(s.patch, func(_, a, b, beyond uint32) {
		if !slices.Contains(s.patch, beyond) {
			rim = append(rim, [2]uint32{a, b})
		}
	})
	if len(rim) < 3 {
		return false
	}
	for v := rim[0][0]; ; {
		s.loop = append(s.loop, v)
		next, ways := uint32(0), 0
		for _, e := range rim {
			if e[0] == v {
				next = e[1]
				ways++
			}
		}
		if ways != 1 || len(s.loop) > len(rim) {
			return false
		}
		if v = next; v == s.loop[0] {
			break
		}
	}
	for _, t := range s.patch {
		for _, v := range p.out.T[t] {
			if !slices.Contains(s.loop, v) && !slices.Contains(s.inner, v) {
				s.inner = append(s.inner, v)
			}
		}
	}
	// Euler's formula: a disk of T triangles with n vertices on its rim has
	// T - n + 2 = 2i, i of them within
	return len(s.loop) == len(rim) && len(s.patch)+2 == len(rim)+2*len(s.inner)
}

// from makes a vertex of the loop the hub. It returns false where an edge that
// comes of that is there already.
func (p *patchwork) from(s *star, hub uint32) bool {
	k := slices.Index(s.loop, hub)
	s.loop = append(s.loop[k:len(s.loop):len(s.loop)], s.loop[:k]...)
	s.hub, s.at = hub, p.out.V[hub]
	n := len(s.loop)
	if n == 3 {
		return !slices.Contains(p.fan[hub], p.beyond(s.loop[2], s.loop[1])) // no two triangles back to back
	}
	for _, v := range s.loop[2 : n-1] {
		if p.joined(hub, v, s.patch) {
			return false
		}
	}
	return true
}

// to makes a new point the hub.
func (p *patchwork) to(s *star, at vec.P) { s.hub, s.at = uint32(len(p.out.V)), at }

// filed returns a point as files hold it.
func filed(p vec.P) vec.P {
	return vec.P{X: float64(float32(p.X)), Y: float64(float32(p.Y)), Z: float64(float32(p.Z))}
}

// make lists the star's triangles, as files hold them. It returns false where
// one would be too low to print.
func (p *patchwork) make(s *star) bool {
	s.made = s.made[:0]
	n := len(s.loop)
	first, end := 0, n
	if !s.fresh() {
		first, end = 1, n-1
	}
	for i := first; i < end; i++ {
		a, b := s.loop[i], s.loop[(i+1)%n]
		f, ok := newFacet(int32(len(p.out.T)+len(s.made)), [3]uint32{s.hub, a, b}, filed(s.at), filed(p.out.V[a]), filed(p.out.V[b]))
		if !ok {
			return false
		}
		s.made = append(s.made, f)
	}
	return true
}

// corners returns the corners of a triangle as files hold them.
func (p *patchwork) corners(t uint32) (c [3]vec.P) {
	for k, v := range p.out.T[t] {
		c[k] = filed(p.out.V[v])
	}
	return c
}

// clears reports whether the star's triangles neither cross others nor lie folded
// on them.
func (p *patchwork) clears(s *star) bool {
	for i := range s.made {
		f := &s.made[i]
		for j := range s.made[:i] {
			if g := &s.made[j]; cross(f, g.v, g.p) || folded(f, g.v, g.p) {
				return false
			}
		}
		hit := func(t uint32) bool {
			if p.gone[t] || slices.Contains(s.patch, t) {
				return false
			}
			c := p.corners(t)
			return cross(f, p.out.T[t], c) || folded(f, p.out.T[t], c)
		}
		b := vec.BoxOf(f.p[:]...).Grow(roundingOfFiles)
		found := false
		p.tree.InBox(b, func(t uint32) bool {
			found = hit(t)
			return !found
		})
		if found {
			return false
		}
		for _, t := range p.fresh {
			if c := p.corners(t); meets(vec.BoxOf(c[:]...), b) && hit(t) {
				return false
			}
		}
	}
	return true
}

// roundingOfFiles is more in mm than float32 moves a point within a metre of the
// origin.
const roundingOfFiles = 1e-4

// covers reports whether the inner vertices of the star lie within tol of it.
func (p *patchwork) covers(s *star, tol float64) bool {
	for _, v := range s.inner {
		near := math.Inf(1)
		for i := range s.made {
			c := &s.made[i].p
			near = min(near, toTriangle(p.out.V[v], c[0], c[1], c[2]))
		}
		if near > tol {
			return false
		}
	}
	return true
}

// set replaces the patch by the star, and returns the triangles that this makes.
func (p *patchwork) set(s *star) (made []uint32) {
	if s.fresh() {
		p.out.V = append(p.out.V, s.at)
		p.fan = append(p.fan, nil)
	}
	for i := range s.made {
		f := &s.made[i]
		t := uint32(len(p.out.T))
		if len(p.out.Tag) > 0 {
			p.out.Tag = append(p.out.Tag, p.out.Tag[p.running(s.patch, f.v[1], f.v[2])])
		}
		p.out.T = append(p.out.T, f.v)
		p.gone = append(p.gone, false)
		made = append(made, t)
	}
	for _, t := range s.patch {
		p.gone[t] = true
		for _, v := range p.out.T[t] {
			p.fan[v] = slices.DeleteFunc(p.fan[v], func(o uint32) bool { return o == t })
		}
	}
	for _, t := range made {
		for _, v := range p.out.T[t] {
			p.fan[v] = append(p.fan[v], t)
		}
	}
	p.fresh = append(slices.DeleteFunc(p.fresh, func(t uint32) bool { return p.gone[t] }), made...)
	return made
}

// undo takes back the star that was set last.
func (p *patchwork) undo(s *star) {
	n := len(p.out.T) - len(s.made)
	made := func(t uint32) bool { return int(t) >= n }
	for _, v := range append(s.loop, s.hub) {
		p.fan[v] = slices.DeleteFunc(p.fan[v], made)
	}
	p.fresh = slices.DeleteFunc(p.fresh, made)
	p.out.T, p.out.Tag, p.gone = p.out.T[:n], p.out.Tag[:min(n, len(p.out.Tag))], p.gone[:n]
	if s.fresh() {
		p.out.V, p.fan = p.out.V[:s.hub], p.fan[:s.hub]
	}
	for _, t := range s.patch {
		p.gone[t] = false
		for _, v := range p.out.T[t] {
			p.fan[v] = append(p.fan[v], t)
		}
		if t >= p.first {
			p.fresh = append(p.fresh, t)
		}
	}
}

// compact takes out what is gone.
func (p *patchwork) compact() {
	o := p.out
	n := 0
	for t := range o.T {
		if p.gone[t] {
			continue
		}
		o.T[n] = o.T[t]
		if len(o.Tag) > 0 {
			o.Tag[n] = o.Tag[t]
		}
		n++
	}
	o.T, o.Tag = o.T[:n], o.Tag[:min(n, len(o.Tag))]
	compact(o, nil)
}
