package patch

import (
	"errors"
	"math"
	"slices"

	"waxwright/geom/delaunay"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// side names a face: a surface, and whether the outside of the solid is where
// the surface's function is negative.
type side struct {
	id   int32
	flip bool
	half int8 // of a surface that is cut: which
}

// face is one side being triangulated.
type face struct {
	side
	lay    *layout
	arcs   []int32
	turn   []bool  // the face lies right of the arc
	verts  []int32 // points by the triangulation's vertices; below 0 the face's own
	own    []vec.P // points inside: the first is ^0
	local  map[[2]int32]int32
	tri    delaunay.Triangulation
	gauges []gauge         // by triangles
	barred []delaunay.Edge // the chord that the last point was too near to
	scale  float64
	mirror bool // the layout shows the face from inside the solid
	ready  bool
}

const (
	mostRounds = 10
	// spreadFrom is after how many rounds a layout is spread whose chords still
	// cross.
	spreadFrom = 2
)

// faces triangulates every face and puts them together.
func (b *builder) faces() (*mesh.Mesh, int, error) {
	b.part()
	list, err := b.gather()
	if err != nil {
		return nil, 0, err
	}
	order := longFirst(list)
	for round := 0; ; round++ {
		cut := make([][][2]int32, len(list))
		err := b.each(len(list), func(_, i int) (err error) {
			i = order[i]
			f := list[i]
			if f.ready {
				return nil
			}
			cut[i], err = b.outline(f)
			if err == nil && len(cut[i]) == 0 {
				cut[i], err = b.fill(f)
			}
			f.ready = len(cut[i]) == 0
			return err
		})
		if err != nil {
			return nil, 0, err
		}
		halve := map[[2]int32]bool{}
		var last int32
		for i, edges := range cut {
			for _, e := range edges {
				halve[e], last = true, e[1]
			}
			if len(edges) > 0 && round >= spreadFrom {
				list[i].lay.spread()
			}
		}
		if len(halve) == 0 {
			break
		}
		if round == mostRounds {
			return nil, 0, refuse("creases that cross in their face", b.pts[last])
		}
		b.halve(list, halve)
	}
	if err := b.single(list); err != nil {
		return nil, 0, err
	}
	m, err := b.assemble(list)
	return m, len(list), err
}

// longFirst returns the numbers of the faces in the order in which they are best
// taken by several workers: first those that are bent both ways and need the most
// points, last the flat ones.
func longFirst(list []*face) []int {
	rank := func(i int) int {
		switch list[i].lay.Form {
		case sdf.FormTorus:
			return 0
		case sdf.FormSphere, sdf.FormCapsule, sdf.FormTurned, sdf.FormRim:
			return 1
		case sdf.FormPlane:
			return 3
		}
		return 2
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return rank(i) - rank(j) })
	return order
}

// gather lists the faces and the arcs round them, and lays them out.
func (b *builder) gather() ([]*face, error) {
	known := map[side]*face{}
	var list []*face
	for i := range b.arcs {
		err := b.facesAt(&b.arcs[i], func(s side, turn bool) {
			f := known[s]
			if f == nil {
				f = &face{side: s}
				known[s] = f
				list = append(list, f)
			}
			f.arcs = append(f.arcs, int32(i))
			f.turn = append(f.turn, turn)
		})
		if err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(list, func(x, y *face) int {
		if x.id != y.id {
			return int(x.id - y.id)
		}
		if x.half != y.half {
			return int(x.half - y.half)
		}
		if x.flip {
			return 1
		}
		return -1
	})
	open := b.whole()
	for _, f := range list {
		err := b.lay(f)
		var u *uncut
		switch {
		case errors.As(err, &u):
			if !slices.Contains(open, f.id) {
				open = append(open, f.id)
			}
		case err != nil:
			return nil, err
		}
	}
	if len(open) > 0 {
		return nil, &uncut{open}
	}
	return list, nil
}

// facesAt calls put for each face that ends at an arc; turn is true where it lies to
// the right of the arc.
func (b *builder) facesAt(a *arc, put func(s side, turn bool)) error {
	k := len(a.pts) / 2
	p, q := b.pts[a.pts[k-1]], b.pts[a.pts[k]]
	m, _ := b.meet([]int32{a.a, a.b}, p.Lerp(q, 0.5))
	d := q.Sub(p)
	_, na := b.slope(a.a, m)
	_, nb := b.slope(a.b, m)
	if a.truth.n > 0 {
		rays, err := b.fan(a.truth.sheaf, m, na.Cross(nb).Unit())
		if err != nil {
			return err
		}
		for _, r := range rays {
			_, n := b.slope(r.id, m)
			left := n.Cross(d)
			if r.flip {
				left = left.Neg()
			}
			put(side{r.id, r.flip, b.half(r.id, m)}, left.Dot(r.dir) < 0)
		}
		return nil
	}
	for w := range 2 {
		id, n, other := a.a, na, nb
		in := func(self, beyond int) bool { return a.truth.two>>(self+2*beyond)&1 != 0 }
		if w == 1 {
			id, n, other = a.b, nb, na
			in = func(self, beyond int) bool { return a.truth.two>>(beyond+2*self)&1 != 0 }
		}
		for beyond := range 2 { // 1 is inside of the other surface
			if in(0, beyond) == in(1, beyond) {
				continue
			}
			s := side{id, in(0, beyond), b.half(id, m)}
			flip := s.flip
			if next, ok := b.beyond[a.pair]; ok && beyond == 0 {
				s = side{next.id, s.flip != next.turned, b.half(next.id, m)}
			}
			if _, cut := b.cut(id); cut && !b.real(a.b) {
				s.half = int8(beyond)
			}
			left := n.Cross(d)
			if flip {
				left = left.Neg()
			}
			put(s, left.Dot(other) < 0 != (beyond == 1))
		}
	}
	return nil
}

// mirrorStep in mm is how far aside a layout is asked for which way round it is: far
// above roundings, and far below the size of a face.
const mirrorStep = 1e-4

// lay chooses the layout of a face and notes whether it shows the face mirrored.
func (b *builder) lay(f *face) error {
	var pts []vec.P
	for _, i := range f.arcs {
		for _, k := range b.arcs[i].pts {
			pts = append(pts, b.pts[k])
		}
	}
	l, err := b.layOut(f.side, pts)
	if err != nil {
		return err
	}
	f.lay = l
	if l.mitred() { // of which no side is seen at the seam
		f.mirror = l.X.Cross(l.Y).Dot(l.U) < 0 != f.flip
		return nil
	}
	p := pts[len(pts)/2]
	_, n := b.slope(f.id, p)
	e := n.Square()
	o := l.flat(b, p, 0)
	u := l.flat(b, p.Add(e.Mul(mirrorStep)), 0).Sub(o)
	v := l.flat(b, p.Add(n.Cross(e).Mul(mirrorStep)), 0).Sub(o)
	f.mirror = u.Cross(v) < 0 != f.flip
	return nil
}

// grid is the most that a coordinate of a layout is scaled to.
const grid = 1 << 28

func (f *face) place(q vec.P2) delaunay.Point {
	return delaunay.Point{X: int32(math.Round(q.X * f.scale)), Y: int32(math.Round(q.Y * f.scale))}
}

// outline triangulates the points of a face's creases and says which triangles
// are inside. It returns the chords that cross, if any do.
func (b *builder) outline(f *face) (cross [][2]int32, err error) {
	f.verts, f.own = f.verts[:0], f.own[:0]
	f.local = map[[2]int32]int32{}
	var flat []vec.P2
	most := 0.0
	for _, i := range f.arcs {
		pts := b.arcs[i].pts
		for n := range pts {
			for _, beside := range [2]int{max(n-1, 0), min(n+1, len(pts)-1)} {
				k := b.named(f, pts[n], pts[beside])
				if _, ok := f.local[k]; ok || beside == n {
					continue
				}
				f.local[k] = int32(len(f.verts))
				f.verts = append(f.verts, k[0])
				q := f.lay.flat(b, b.pts[k[0]], k[1])
				flat = append(flat, q)
				most = max(most, math.Abs(q.X), math.Abs(q.Y))
			}
		}
	}
	if f.lay.Form == sdf.FormCone {
		tip := f.lay.O
		creased := slices.ContainsFunc(f.verts, func(k int32) bool { return b.pts[k].Sub(tip).Len() < merge })
		if !creased && !b.bare(tip) {
			f.inner(tip)
			flat = append(flat, vec.P2{})
		}
	}
	f.scale = grid / (most * 1.5)
	pts := make([]delaunay.Point, len(flat))
	for i, q := range flat {
		pts[i] = f.place(q)
	}
	if err := f.tri.Build(pts); err != nil {
		return nil, refuse("a face that is flat in its layout: "+err.Error(), b.at(f, 0))
	}
	if len(f.tri.Twins) > 0 {
		return nil, refuse("points of creases that coincide", b.at(f, f.tri.Twins[0].Point))
	}
	var edges [][2]int32
	for n, i := range f.arcs {
		a := &b.arcs[i]
		for k := 1; k < len(a.pts); k++ {
			p, q := f.local[b.named(f, a.pts[k-1], a.pts[k])], f.local[b.named(f, a.pts[k], a.pts[k-1])]
			path, err := f.tri.Constrain(p, q)
			var ce *delaunay.CrossingError
			switch {
			case errors.As(err, &ce):
				cross = append(cross, b.key(f, p, q), b.key(f, ce.C, ce.D))
				continue
			case err != nil:
				return nil, refuse(err.Error(), b.at(f, p))
			case len(path) > 2:
				cross = append(cross, b.key(f, p, q))
				continue
			}
			if f.turn[n] != f.mirror {
				p, q = q, p
			}
			edges = append(edges, [2]int32{p, q})
		}
	}
	if len(cross) > 0 {
		return cross, nil
	}
	if err := f.tri.Flood(edges); err != nil {
		at := b.at(f, 0)
		var le *delaunay.LeakError
		if errors.As(err, &le) {
			if cross = b.bowed(f, le); len(cross) > 0 {
				return cross, nil
			}
			at = b.at(f, le.In[0])
		}
		return nil, refuse("a face whose border contradicts itself", at)
	}
	return nil, nil
}

// inner makes the next vertex of the triangulation a point of the face alone.
func (f *face) inner(p vec.P) {
	f.own = append(f.own, p)
	f.verts = append(f.verts, int32(^(len(f.own) - 1)))
}

// at returns the point of a vertex of a face's triangulation.
func (b *builder) at(f *face, v int32) vec.P {
	if k := f.verts[v]; k >= 0 {
		return b.pts[k]
	}
	return f.own[^f.verts[v]]
}

// named names the place of point k in the layout, on the side where the point
// beside it lies.
func (b *builder) named(f *face, k, beside int32) [2]int32 {
	return [2]int32{k, f.lay.end(b.pts[k], b.pts[beside])}
}

// key names an edge by its points.
func (b *builder) key(f *face, p, q int32) [2]int32 {
	x, y := f.verts[p], f.verts[q]
	return [2]int32{min(x, y), max(x, y)}
}

// halve cuts chords of creases in two.
func (b *builder) halve(list []*face, cut map[[2]int32]bool) {
	changed := map[int32]bool{}
	for i := range b.arcs {
		a := &b.arcs[i]
		out := a.pts[:1:1]
		for k := 1; k < len(a.pts); k++ {
			p, q := a.pts[k-1], a.pts[k]
			if cut[[2]int32{min(p, q), max(p, q)}] {
				m, _ := b.meet([]int32{a.a, a.b}, b.pts[p].Lerp(b.pts[q], 0.5))
				out = append(out, b.point(m))
				changed[int32(i)] = true
			}
			out = append(out, q)
		}
		a.pts = out
	}
	for _, f := range list {
		for _, i := range f.arcs {
			if changed[i] {
				f.ready = false
			}
		}
	}
}
