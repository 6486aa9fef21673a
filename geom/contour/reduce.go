package contour

import (
	"context"
	"fmt"
	"math"

	"waxwright/geom/crew"
	"waxwright/geom/mesh"
)

// Reduction: a closed mesh whose vertices lie on a surface is thinned by
// moving vertices onto their neighbours, while it stays within a tolerance of
// the surface.
//
// Promised: the mesh stays a closed 2-manifold of the same genus (link
// condition); vertices that stay do not move; a vertex of a crease moves along
// its crease alone and corners stay; the middles of new triangles, edges and
// crease chords are within the tolerance, measured by projection, of the sheet
// of the surface that they stand for; triangles look the way their surface
// looks and are high enough to print; no triangle crosses another that it did
// not cross before; each triangle keeps its owner. Same bytes for any number of
// goroutines. Not promised: the least number of triangles, a border of owners
// to better than seamDrift where no crease marks it, and a cure for every place
// where the mesh was wrong before.
//
// Outline. 1. Neighbours (reduce_topo.go); edges too short to print are
// welded. 2. The vertices are cut into plots, boxes that do not overlap
// (reduce_plots.go), each the work of one goroutine at a time; a vertex moves
// only if all its triangles lie in its plot. 3. In each plot the creases and
// seams of owners are found (reduce_lines.go), and where sheets of the surface
// come so close that triangles within tolerance might cross (reduce_tight.go).
// 4. Vertices wait in a queue by the deviation that their best move is
// foreseen to make from the normals at its ends (reduce_queue.go); a move is
// made if it stands up to the surface itself (reduce_try.go, reduce_field.go).
// Then folds are cured (reduce_cure.go) and edges flipped where that betters
// shape or deviation (reduce_flip.go), which may set others free. 5. Steps 2
// and 4 are repeated with shifted plots for what lay at the borders.

// reduceOptions say how far a mesh is reduced.
type reduceOptions struct {
	tol      float64               // largest deviation, mm
	workers  int                   // goroutines; 0 is as many as there are processors
	progress func(done, total int) // called now and then, never at the same time twice; may be nil
}

// Limits of what a triangle may become.
const (
	weldLength = 1e-4 // mm: shorter edges are welded; a file's float32 and a printer's pixel know nothing so small
	lowest     = 2e-4 // mm: of a new triangle, so that it is more than 0.1 um high in any file
	mostTurn   = 25   // degrees by which a triangle may turn in one move, and off the surface's normal
	kept       = 0.95 // share of the tolerance that is used where it is sampled; between the samples a chord is a little farther off
	seamDrift  = 0.1  // mm by which the border of two owners may move where no crease marks it: two pixels of a printer
)

var cosTurn = math.Cos(turnLimit)

const turnLimit = mostTurn * math.Pi / 180

// shifts of the plots in each pass, as shares of the octree's root.
var shifts = [...]float64{0, 1.0 / 3, 2.0 / 3}

// reducer is one reduction.
type reducer struct {
	net
	s   surface
	opt reduceOptions

	class   []uint8      // as the mesher gave it
	rank    []uint8      // free, along or fixed
	state   []uint8      // waiting and settled
	normal  [][3]float32 // of free vertices, zero for others
	drift   []float32    // how far a seam has moved at the vertex, mm
	tight   []float32    // where sheets are close, how far round the vertex; else 0
	tag     []uint32     // owners of triangles; may be empty
	plotOf  []int32
	astride []astride
	spots   []uint32 // vertices, living or not, that are tight
}

// Ranks of vertices: what they may do.
const (
	free  uint8 = iota // move anywhere
	along              // move along its crease or seam
	fixed              // stay
)

// reduce thins m, whose vertices lie on s, in place; class says of each vertex
// whether it is smooth, on a crease, or a corner. It fails where m is not a
// closed 2-manifold, and when ctx ends, and then leaves m as it was.
func reduce(ctx context.Context, m *mesh.Mesh, class []uint8, s surface, o reduceOptions) error {
	if !(o.tol > 0) || math.IsInf(o.tol, 0) {
		return fmt.Errorf("contour: tolerance %g is not positive", o.tol)
	}
	if len(class) != len(m.V) || len(m.Tag) != 0 && len(m.Tag) != len(m.T) {
		return fmt.Errorf("contour: %d classes for %d vertices, %d owners for %d triangles", len(class), len(m.V), len(m.Tag), len(m.T))
	}
	n, err := newNet(ctx, m.V, m.T, o.workers)
	if err != nil {
		return err
	}
	r := &reducer{
		net: *n, s: s, opt: o, class: class, tag: m.Tag,
		rank:   make([]uint8, len(m.V)),
		state:  make([]uint8, len(m.V)),
		normal: make([][3]float32, len(m.V)),
		drift:  make([]float32, len(m.V)),
		tight:  make([]float32, len(m.V)),
		plotOf: make([]int32, len(m.V)),
	}
	if err := r.weld(ctx); err != nil {
		return err
	}
	hands := make([]*hand, crew.Size(o.workers))
	for w := range hands {
		hands[w] = newHand(r)
	}
	for pass, shift := range shifts {
		ps := r.plots(shift)
		r.straddling()
		if err := ctx.Err(); err != nil {
			return err
		}
		order := largestFirst(ps)
		err := crew.Each(ctx, o.workers, len(ps), func(w, i int) {
			hands[w].work(ctx, order[i], pass == 0)
		})
		if err != nil {
			return err
		}
		if pass == 0 {
			for v, t := range r.tight {
				if t > 0 {
					r.spots = append(r.spots, uint32(v))
				}
			}
		}
		if o.progress != nil {
			o.progress(pass+1, len(shifts))
		}
	}
	r.compact(m)
	return nil
}

// compact writes what is left to m.
func (r *reducer) compact(m *mesh.Mesh) {
	to := make([]uint32, len(r.at))
	n := uint32(0)
	for v, h := range r.out {
		if h >= 0 {
			m.V[n] = r.at[v]
			to[v] = n
			n++
		}
	}
	m.V = m.V[:n]
	k := 0
	for t := range m.T {
		a := r.org[3*t]
		if a == dead {
			continue
		}
		m.T[k] = [3]uint32{to[a], to[r.org[3*t+1]], to[r.org[3*t+2]]}
		if len(m.Tag) > 0 {
			m.Tag[k] = m.Tag[t]
		}
		k++
	}
	m.T = m.T[:k]
	if len(m.Tag) > 0 {
		m.Tag = m.Tag[:k]
	}
}
