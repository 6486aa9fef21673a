package drawing

import (
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// stretch is a visible piece of an edge, in the picture plane.
type stretch struct {
	a, b vec.P2
	kind Kind
	item int
}

// sight answers what is seen of an edge. Along an edge visibility changes only
// where a silhouette crosses it in the picture (A. Appel, "The notion of
// quantitative invisibility and the machine rendering of solids", 1967), so
// one look between each two crossings decides.
type sight struct {
	edges []edge
	tree  *mesh.Tree
	far   float64 // reach of a look towards the viewer
	grid  grid    // of the silhouettes
	met   []int   // silhouettes already tried, by the edge that tried them last
}

func newSight(whole *mesh.Mesh, edges []edge) *sight {
	box := vec.Empty()
	for _, p := range whole.V {
		box = box.With(p)
	}
	s := &sight{
		edges: edges,
		tree:  mesh.NewTree(whole),
		far:   box.Size().Z + 1,
		met:   make([]int, len(edges)),
	}
	s.grid = newGrid(box, len(edges))
	for i, e := range edges {
		s.met[i] = -1
		if e.kind == Silhouette {
			s.grid.add(e.a.XY(), e.b.XY(), i)
		}
	}
	return s
}

// visible returns the visible stretches of edge i, in order from a to b.
func (s *sight) visible(i int) []stretch {
	e := s.edges[i]
	a, b := e.a.XY(), e.b.XY()
	if b.Sub(a).Len() < 1e-9 { // seen end on: a millionth of a micron has no length
		return nil
	}
	cuts := []float64{0, 1}
	s.grid.near(a, b, func(j int) {
		if j == i || s.met[j] == i {
			return
		}
		s.met[j] = i
		if t, ok := s.crossing(e, s.edges[j]); ok {
			cuts = append(cuts, t)
		}
	})
	slices.Sort(cuts)
	var out []stretch
	for k := 1; k < len(cuts); k++ {
		t0, t1 := cuts[k-1], cuts[k]
		if t1 <= t0 || !s.seen(e, (t0+t1)/2) {
			continue
		}
		p, q := a.Lerp(b, t0), a.Lerp(b, t1)
		if t1 == 1 { // bit for bit, so that lines join
			q = b
		}
		if n := len(out); n > 0 && out[n-1].b == p {
			out[n-1].b = q
			continue
		}
		out = append(out, stretch{p, q, e.kind, e.item})
	}
	return out
}

// crossing returns where along e the silhouette f crosses it in front.
func (s *sight) crossing(e, f edge) (float64, bool) {
	a, d := e.a.XY(), e.b.XY().Sub(e.a.XY())
	c, g := f.a.XY(), f.b.XY().Sub(f.a.XY())
	den := d.Cross(g)
	if den == 0 {
		return 0, false
	}
	w := c.Sub(a)
	t, u := w.Cross(g)/den, w.Cross(d)/den
	if !(t > 0 && t < 1 && u >= 0 && u <= 1) {
		return 0, false
	}
	return t, f.a.Lerp(f.b, u).Z > e.a.Lerp(e.b, t).Z
}

// seen looks from the middle of a stretch to the viewer: from a little inside
// its front face for a crease, from a little outside the body for a silhouette,
// so that the edge's own facets do not stand in the way.
func (s *sight) seen(e edge, t float64) bool {
	p := e.a.Lerp(e.b, t)
	side := e.in
	if e.kind == Silhouette {
		side = side.Neg()
	}
	p = p.Add(side.Mul(Slack).At(0))
	p.Z += Slack
	_, hit := s.tree.Ray(p, vec.P{Z: 1}, s.far)
	return !hit
}

// grid finds the silhouettes near a segment of the picture.
type grid struct {
	min   vec.P2
	cell  float64
	nx    int
	ny    int
	cells [][]int32
}

// newGrid spreads about one edge over each cell, within bounds.
func newGrid(box vec.Box, n int) grid {
	size := box.Size()
	side := math.Sqrt(max(size.X*size.Y, 1e-6) / float64(max(n, 1)))
	side = max(side, size.X/1000, size.Y/1000, 1e-3)
	g := grid{min: box.Min.XY(), cell: side, nx: int(size.X/side) + 1, ny: int(size.Y/side) + 1}
	g.cells = make([][]int32, g.nx*g.ny)
	return g
}

// walk calls f for every cell that the box of a segment touches. Edges are
// short against the picture, so the box is as good as the segment.
func (g *grid) walk(a, b vec.P2, f func(cell int)) {
	x0, x1 := g.at(min(a.X, b.X)-g.min.X, g.nx), g.at(max(a.X, b.X)-g.min.X, g.nx)
	y0, y1 := g.at(min(a.Y, b.Y)-g.min.Y, g.ny), g.at(max(a.Y, b.Y)-g.min.Y, g.ny)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			f(y*g.nx + x)
		}
	}
}

func (g *grid) at(d float64, n int) int { return min(max(int(d/g.cell), 0), n-1) }

func (g *grid) add(a, b vec.P2, i int) {
	g.walk(a, b, func(c int) { g.cells[c] = append(g.cells[c], int32(i)) })
}

func (g *grid) near(a, b vec.P2, f func(int)) {
	g.walk(a, b, func(c int) {
		for _, i := range g.cells[c] {
			f(int(i))
		}
	})
}
