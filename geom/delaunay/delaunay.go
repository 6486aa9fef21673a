// Package delaunay triangulates points and segments of the plane, exactly.
//
// Guaranteed, for whole coordinates within Reach:
//
//   - The triangles of a Triangulation cover the convex hull of its points
//     once, each counter-clockwise and of positive area.
//   - Every edge that is not fixed is Delaunay: the vertex beyond it does not
//     lie inside the circle round the triangle on this side. So the whole is
//     the constrained Delaunay triangulation of its points and fixed edges,
//     unique but for points on one circle. This alone ends where Flip is used.
//   - All this holds after every call. Insert, Cut and Constrain change nothing
//     if they return an error; Build then leaves nothing, and Flood nothing
//     inside.
//   - The same calls give the same triangles in the same order. All decisions
//     are made in whole numbers; nothing is rounded.
//
// Not guaranteed: which diagonal is taken of four points on one circle; any
// bound on angles (no points are added unasked); the time for a segment that
// crosses very many edges, which may grow with their square (20,000 take most
// of a second).
//
// Method. 1. Points are inserted one by one, in rounds that grow fourfold, in
// each along a Hilbert curve (N. Amenta, S. Choi, G. Rote, "Incremental
// constructions con BRIO", Symposium on Computational Geometry 2003); rounds
// are drawn by a hash of the coordinates. 2. The triangle of a point is found
// by walking from the one before. 3. It is split, and edges are flipped until
// all are Delaunay again (C. L. Lawson, "Software for C1 surface
// interpolation", 1977). The outside of the hull is made of ghost triangles
// with a vertex at infinity, so that there is no border to treat apart. 4. A
// segment is forced in by taking out the triangles it crosses and filling the
// two polygons beside it (M. V. Anglada, "An improved incremental algorithm
// for constructing restricted Delaunay triangulations", Computers & Graphics
// 21, 1997). The sources are named from memory.
package delaunay

import (
	"errors"
	"fmt"
	"iter"
)

// Reach is the largest coordinate, either sign. Differences fit 31 bits then,
// what tells a side fits an int64, and what tells a circle fits 128 bits.
const Reach = 1 << 29

// Ghost is the vertex at infinity.
const Ghost int32 = -1

// ErrFlat says that all points lie on one line, or that there are fewer than
// three.
var ErrFlat = errors.New("points: all of them lie on one line")

// Point is a place in the plane, in any unit.
type Point struct{ X, Y int32 }

// Edge is one side of one triangle: the edge opposite vertex Slot of it.
type Edge int32

// EdgeOf returns the edge opposite the vertex at a slot of a triangle.
func EdgeOf(triangle int32, slot int) Edge { return Edge(triangle<<2 | int32(slot)) }

// Triangle returns the index of the triangle.
func (e Edge) Triangle() int32 { return int32(e >> 2) }

// Slot returns 0, 1 or 2: which vertex of the triangle is opposite the edge.
func (e Edge) Slot() int { return int(e & 3) }

// Triangle is a triangle, or a ghost that stands for the outside beyond one
// edge of the hull.
type Triangle struct {
	V      [3]int32 // counter-clockwise; a ghost has Ghost among them
	N      [3]Edge  // the edge opposite V[i] as the neighbour has it, a ghost's beyond the hull
	Fixed  uint8    // bit i is set if the edge opposite V[i] is fixed
	Inside bool     // as told by the last Flood, and handed on since
}

// Ghost tells whether the triangle stands for the outside of the hull.
func (t *Triangle) Ghost() bool { return t.V[0]|t.V[1]|t.V[2] < 0 }

// after and before turn a slot counter-clockwise and clockwise; the fourth
// entry spares a check of bounds.
var (
	after  = [4]int{1, 2, 0, 0}
	before = [4]int{2, 0, 1, 0}
)

// Triangulation is a constrained Delaunay triangulation. The fields are for
// reading; the zero value is empty and ready for Build. Vertices and triangles
// are named by their index, which they keep: triangles change shape in Insert
// and Constrain but none ever goes.
type Triangulation struct {
	Points    []Point
	Triangles []Triangle // ghosts among them
	Twins     []Twin     // points that were given more than once, by Point

	at    []int32 // a triangle at vertex v is at[v+1]; -1 for a twin
	last  int32   // where to walk from when nothing is nearer
	order []uint64
	stack []int32
	cut   cavity
	marks []uint8
}

// Twin is a point that is not a vertex because it equals another.
type Twin struct{ Point, Of int32 }

// New triangulates points; see Build.
func New(points []Point) (*Triangulation, error) {
	t := new(Triangulation)
	return t, t.Build(points)
}

// Build makes t the Delaunay triangulation of points, in memory that t has
// already. The points are copied and keep their indices. Of equal points the
// first is a vertex and the others are Twins. It returns ErrFlat, or an error
// that names a coordinate out of Reach; t is empty then.
func (t *Triangulation) Build(points []Point) error {
	t.Points = append(t.Points[:0], points...)
	t.Triangles, t.Twins, t.last = t.Triangles[:0], t.Twins[:0], 0
	t.at = t.at[:0]
	for range len(points) + 1 {
		t.at = append(t.at, -1)
	}
	err := t.build()
	if err != nil {
		t.Points, t.Triangles, t.Twins, t.at = t.Points[:0], t.Triangles[:0], t.Twins[:0], t.at[:0]
	}
	return err
}

func (t *Triangulation) build() error {
	for i, p := range t.Points {
		if err := inReach(p); err != nil {
			return fmt.Errorf("point %d: %w", i, err)
		}
	}
	t.sort()
	first, err := t.seed()
	if err != nil {
		return err
	}
	for _, key := range t.order {
		v := int32(uint32(key))
		if v == first[0] || v == first[1] || v == first[2] {
			continue
		}
		pl := t.Locate(t.Points[v], t.last)
		if pl.Kind == OnVertex {
			t.Twins = append(t.Twins, Twin{v, t.Triangles[pl.Triangle].V[pl.Slot]})
			continue
		}
		t.put(v, pl)
	}
	sortTwins(t.Twins)
	return nil
}

// seed makes the first triangle, of the earliest points that form one.
func (t *Triangulation) seed() (v [3]int32, err error) {
	n := 0
	for _, key := range t.order {
		w := int32(uint32(key))
		switch {
		case n == 0, n == 1 && t.Points[w] != t.Points[v[0]]:
			v[n], n = w, n+1
			continue
		case n == 1:
			continue
		}
		s := t.side(v[0], v[1], w)
		if s == 0 {
			continue
		}
		v[2] = w
		if s < 0 {
			v[1], v[2] = v[2], v[1]
		}
		t.Triangles = append(t.Triangles, Triangle{V: v})
		for i := range 3 { // the ghost beyond the edge opposite v[i]
			t.Triangles = append(t.Triangles, Triangle{V: [3]int32{Ghost, v[before[i]], v[after[i]]}})
		}
		for i := range 3 {
			g := int32(i + 1)
			t.link(EdgeOf(0, i), EdgeOf(g, 0))
			t.link(EdgeOf(g, 1), EdgeOf(int32(before[i]+1), 2))
			t.at[v[i]+1] = 0
		}
		t.at[0] = 1
		return v, nil
	}
	return v, ErrFlat
}

// link makes two edges of triangles one.
func (t *Triangulation) link(e, f Edge) {
	t.Triangles[e.Triangle()].N[e.Slot()] = f
	t.Triangles[f.Triangle()].N[f.Slot()] = e
}

// Real yields all triangles but the ghosts, by their index.
func (t *Triangulation) Real() iter.Seq2[int32, *Triangle] {
	return func(yield func(int32, *Triangle) bool) {
		for i := range t.Triangles {
			if tr := &t.Triangles[i]; !tr.Ghost() && !yield(int32(i), tr) {
				return
			}
		}
	}
}

// Inside yields the triangles that are inside, by their index.
func (t *Triangulation) Inside() iter.Seq2[int32, *Triangle] {
	return func(yield func(int32, *Triangle) bool) {
		for i := range t.Triangles {
			if tr := &t.Triangles[i]; tr.Inside && !yield(int32(i), tr) {
				return
			}
		}
	}
}

// Vertex returns the vertex that stands for point i: i itself, or the one it
// is a twin of.
func (t *Triangulation) Vertex(i int32) int32 {
	if t.at[i+1] >= 0 {
		return i
	}
	return twinOf(t.Twins, i)
}

// Ends returns the vertices an edge runs between, counter-clockwise as its
// triangle has it.
func (t *Triangulation) Ends(e Edge) (from, to int32) {
	tr := &t.Triangles[e.Triangle()]
	return tr.V[after[e&3]], tr.V[before[e&3]]
}
