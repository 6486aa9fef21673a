package picture

import (
	"fmt"
	"image/color"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// soup is a scene placed in the world and cut open: the triangles that all
// passes work on.
type soup struct {
	pos   []vec.P  // vertices, world
	hue   []light  // colours of vertices; empty when no item is painted by vertex
	tri   []tri    // in the order of items and their triangles
	used  []vec.P  // the vertices that triangles still have after the cut
	items []body   // one per Item
	rims  [][]edge // of each item: the border of its cut face
	cut   *Plane
}

// tri is one triangle. Its corners go counter-clockwise seen from outside.
type tri struct {
	v    [3]int32
	n    [3][3]float32 // normals of the corners, world
	item int32
	src  int32 // its number in the item's mesh
}

// body is what the passes need of an item.
type body struct {
	look   Look
	place  vec.Place
	metal  metalLook
	gem    *gemLook
	matte  light
	paint  []light // one a triangle, or nil
	hued   bool    // painted by vertex
	center vec.P   // middle of its bounds, world
	radius float64
}

// edge is a piece of the border of a cut face; metal lies to its left, seen
// from beyond the plane.
type edge struct{ a, b vec.P }

// gather places all items and cuts them open. Without shading the triangles
// have no normals, for those who ask only where things are.
func gather(s Scene, o Options, shading bool) (*soup, error) {
	total := 0
	for i, it := range s.Items {
		if it.Mesh == nil {
			return nil, fmt.Errorf("item %d has no mesh", i)
		}
		total += len(it.Mesh.T)
		if err := checkItem(it); err != nil {
			return nil, fmt.Errorf("item %d: %w", i, err)
		}
	}
	if total > maxTriangles {
		return nil, fmt.Errorf("picture of %d triangles: more than %d", total, maxTriangles)
	}
	sp := &soup{cut: o.Cut, rims: make([][]edge, len(s.Items)), tri: make([]tri, 0, total)}
	known := map[*mesh.Mesh][][3]vec.P{} // a stone's mesh stands in many places
	solids := map[*mesh.Mesh]*facets{}
	for i, it := range s.Items {
		var n [][3]vec.P
		switch {
		case !shading:
		case complete(it.Normals):
			n = evened(it.Mesh, it.Normals)
		default:
			if n = known[it.Mesh]; n == nil {
				n = creaseNormals(it.Mesh, o.Workers)
				known[it.Mesh] = n
			}
			if it.Normals != nil {
				n = overlaid(n, evened(it.Mesh, it.Normals))
			}
		}
		if err := sp.add(it, n, solids); err != nil {
			return nil, fmt.Errorf("item %d: %w", i, err)
		}
	}
	if len(sp.tri) == 0 {
		return nil, ErrEmpty
	}
	has := make([]bool, len(sp.pos))
	for _, t := range sp.tri {
		for _, v := range t.v {
			has[v] = true
		}
	}
	for v, h := range has {
		if h {
			sp.used = append(sp.used, sp.pos[v])
		}
	}
	return sp, nil
}

// checkItem reports what makes an item impossible to draw.
func checkItem(it Item) error {
	for v, p := range it.Mesh.V {
		if !(max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) <= maxReach) {
			return fmt.Errorf("vertex %d at %v is not within %g mm", v, p, maxReach)
		}
	}
	for t, c := range it.Mesh.T {
		if int(max(c[0], c[1], c[2])) >= len(it.Mesh.V) {
			return fmt.Errorf("triangle %d has a corner %v of only %d vertices", t, c, len(it.Mesh.V))
		}
	}
	if n := len(it.Paint); n != 0 && n != len(it.Mesh.V) && n != len(it.Mesh.T) {
		return fmt.Errorf("%d colours of paint for %d vertices and %d triangles", n, len(it.Mesh.V), len(it.Mesh.T))
	}
	if it.Normals != nil && len(it.Normals) != len(it.Mesh.T) {
		return fmt.Errorf("normals of %d triangles for %d", len(it.Normals), len(it.Mesh.T))
	}
	for t, c := range it.Normals {
		if !c[0].Finite() || !c[1].Finite() || !c[2].Finite() {
			return fmt.Errorf("triangle %d has normals %v", t, c)
		}
	}
	m := it.Place
	if !(math.Abs(m.X.Cross(m.Y).Dot(m.Z)) > 0.5) || !m.O.Finite() || m.O.Len() > maxReach {
		return fmt.Errorf("place %v is not rigid or too far (start from vec.Here)", m)
	}
	switch it.Look.(type) {
	case Metal, Gem, Matte:
		return nil
	}
	if len(it.Paint) != 0 && it.Look == nil {
		return nil
	}
	return fmt.Errorf("unknown look %T", it.Look)
}

// complete reports whether all normals are given.
func complete(ns [][3]vec.P) bool {
	for _, c := range ns {
		if c[0] == (vec.P{}) || c[1] == (vec.P{}) || c[2] == (vec.P{}) {
			return false
		}
	}
	return len(ns) > 0
}

// overlaid returns normals with those that are known better in their place.
func overlaid(normals, better [][3]vec.P) [][3]vec.P {
	out := append([][3]vec.P(nil), normals...)
	for i, c := range better {
		for k, n := range c {
			if n != (vec.P{}) && out[i][k] != (vec.P{}) {
				out[i][k] = n.Unit()
			}
		}
	}
	return out
}

// add places one item's triangles; normals may be nil.
func (sp *soup) add(it Item, normals [][3]vec.P, solids map[*mesh.Mesh]*facets) error {
	id := int32(len(sp.items))
	b := body{look: it.Look, place: it.Place}
	first := int32(len(sp.pos))
	box := vec.Empty()
	for _, p := range it.Mesh.V {
		q := it.Place.Point(p)
		box = box.With(q)
		sp.pos = append(sp.pos, q)
	}
	b.center, b.radius = box.Center(), box.Size().Len()/2
	if err := b.dress(it, solids); err != nil {
		return err
	}
	byVertex := len(it.Paint) != 0 && len(it.Paint) == len(it.Mesh.V)
	if byVertex {
		b.hued, b.paint = true, nil
		sp.hue = append(sp.hue, make([]light, int(first)-len(sp.hue))...)
		for _, c := range it.Paint {
			sp.hue = append(sp.hue, linear(c))
		}
	}
	sp.items = append(sp.items, b)
	mirrored := it.Place.Mirrored()
	var far []float64
	if sp.cut != nil {
		far = make([]float64, len(it.Mesh.V))
		for i := range far {
			far[i] = sp.cut.beyond(sp.pos[int(first)+i])
		}
	}
	crossings := map[[2]int32]int32{}
	for i, c := range it.Mesh.T {
		t := tri{item: id, src: int32(i)}
		flat := normals != nil
		for k := range c {
			t.v[k] = first + int32(c[k])
			if normals == nil {
				continue
			}
			n := it.Place.Dir(normals[i][k])
			flat = flat && n == (vec.P{})
			t.n[k] = [3]float32{float32(n.X), float32(n.Y), float32(n.Z)}
		}
		if flat {
			continue // no area
		}
		if mirrored {
			t.v[1], t.v[2] = t.v[2], t.v[1]
			t.n[1], t.n[2] = t.n[2], t.n[1]
		}
		if sp.cut == nil {
			sp.tri = append(sp.tri, t)
			continue
		}
		sp.clip(t, first, far, crossings)
	}
	return nil
}

// dress fills in what shading needs of the item's look.
func (b *body) dress(it Item, solids map[*mesh.Mesh]*facets) error {
	if len(it.Paint) != 0 {
		b.paint = make([]light, len(it.Paint))
		for i, c := range it.Paint {
			b.paint[i] = linear(c)
		}
		b.look = Matte{}
		return nil
	}
	switch l := it.Look.(type) {
	case Metal:
		b.metal = metalOf(l)
	case Matte:
		b.matte = linear(l.Color)
	case Gem:
		g, err := gemOf(l, it, solids)
		if err != nil {
			return err
		}
		b.gem = g
	}
	return nil
}

// clip adds the part of t that is not beyond the cut, and the border that the
// cut leaves. far holds how far the item's vertices lie beyond the plane.
func (sp *soup) clip(t tri, first int32, far []float64, crossings map[[2]int32]int32) {
	out := 0
	for _, v := range t.v {
		if far[v-first] > 0 {
			out++
		}
	}
	if out == 0 {
		sp.tri = append(sp.tri, t)
		return
	}
	if out == 3 {
		return
	}
	var vs []int32
	var ns [][3]float32
	var leave, enter int32
	for k := range 3 {
		a, b := t.v[k], t.v[(k+1)%3]
		fa, fb := far[a-first], far[b-first]
		if fa <= 0 {
			vs, ns = append(vs, a), append(ns, t.n[k])
		}
		if (fa > 0) == (fb > 0) {
			continue
		}
		x := sp.crossing(a, b, fa, fb, crossings)
		share := float32(fa / (fa - fb))
		var n [3]float32
		for j := range n {
			n[j] = t.n[k][j] + share*(t.n[(k+1)%3][j]-t.n[k][j])
		}
		vs, ns = append(vs, x), append(ns, n)
		if fa <= 0 {
			leave = x
		} else {
			enter = x
		}
	}
	sp.rims[t.item] = append(sp.rims[t.item], edge{sp.pos[enter], sp.pos[leave]})
	for k := 2; k < len(vs); k++ {
		part := t
		part.v = [3]int32{vs[0], vs[k-1], vs[k]}
		part.n = [3][3]float32{ns[0], ns[k-1], ns[k]}
		sp.tri = append(sp.tri, part)
	}
}

// crossing returns the vertex where the edge a-b meets the cut, the same for
// both triangles of the edge.
func (sp *soup) crossing(a, b int32, fa, fb float64, known map[[2]int32]int32) int32 {
	if a > b {
		a, b, fa, fb = b, a, fb, fa
	}
	if x, ok := known[[2]int32{a, b}]; ok {
		return x
	}
	share := fa / (fa - fb)
	x := int32(len(sp.pos))
	sp.pos = append(sp.pos, sp.pos[a].Lerp(sp.pos[b], share))
	if int(b) < len(sp.hue) && sp.items[len(sp.items)-1].hued {
		sp.hue = append(sp.hue, make([]light, int(x)-len(sp.hue))...)
		sp.hue = append(sp.hue, sp.hue[a].mix(sp.hue[b], share))
	}
	known[[2]int32{a, b}] = x
	return x
}

// lookColor is the plain colour of a body, for its cut face.
func (b *body) lookColor() color.NRGBA {
	switch l := b.look.(type) {
	case Metal:
		return l.Color
	case Gem:
		return l.Color
	case Matte:
		return l.Color
	}
	return color.NRGBA{0xb0, 0xb0, 0xb0, 0xff}
}
