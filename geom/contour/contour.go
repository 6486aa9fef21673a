// Package contour turns compiled fields into triangle meshes.
//
// Promised: a mesh is closed, every edge has exactly two triangles that run
// through it in opposite directions, the triangles at every vertex form one
// fan, and it faces outwards; vertices lie on the surface, on its creases and
// in its corners; the same field and options give the same bytes for any
// number of workers. Report.Reached is the largest distance from the surface
// that was found, Report.Unresolved lists the places that are thinner than the
// finest cells.
//
// Not promised: that no triangles cross where the surface is unresolved; that the
// edge of a wedge is there to its end: it is cut off where it is as thin as the
// finest cells, which is not listed.
//
// How it works, in order (the file in brackets):
//
//  1. An octree over the field's box drops, block by block, every face that
//     can't pass it, down to blocks of side^3 cells whose size fits the faces'
//     curvature (grid, ladder, walk).
//  2. The signs at the corners of a block's cells say what passes which cell
//     (block, table); each patch of surface in a cell gets one vertex, solved
//     on the faces that meet there (solve); in cells of one size when all are known.
//  3. Walls, gaps and wires thinner than a cell are looked for (probe, slender);
//     parts of blocks with cells that one vertex does not explain are cut into
//     smaller ones, and cells beside smaller ones made to fit (refine, cut, trans).
//  4. Each lattice edge with a sign change gives one polygon through the
//     vertices of the cells round it (join, arcs). That is the dual of a closed
//     surface, so the mesh is closed whatever the field does.
//  5. Slivers and folds are cured (tidy, regions, cure). Where triangles cross all
//     the same, steps 3 and 4 are done again there with smaller cells, and the
//     smallest keep their triangles to themselves (untangle, tame).
//  6. Edges are collapsed within the tolerance (reduce), shells that are next to
//     nothing taken out (specks), and the deviation is measured (measure).
//  7. Where it is more than asked, patches of triangles are replaced by others
//     whose common corner is on the surface (within, star, campaign).
//
// The topology is that of dual marching cubes (G. M. Nielson, Dual Marching
// Cubes, IEEE Visualization 2004), the vertices are solved on faces in the
// spirit of dual contouring (T. Ju and others, Dual Contouring of Hermite
// Data, SIGGRAPH 2002).
package contour

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/bits"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
)

// DefaultTol is the largest distance in mm between mesh and true surface that
// is asked for where none is given: a fifth of what a resin printer's pixel
// measures, and what a caster's polish takes off without a trace.
const DefaultTol = 0.005

// Options say how to mesh.
type Options struct {
	Tol      float64               // largest deviation wanted, mm; 0 is DefaultTol
	Workers  int                   // goroutines; 0 is as many as there are processors
	Progress func(done, total int) // called now and then, never at the same time twice; may be nil

	Cell float64 // if not 0: one cell size everywhere, mm, and no refinement
	Raw  bool    // leave out the reduction
	// Rough leaves out what only the eye can do without: the cure of slivers and
	// folds, and the measuring; Report.Reached stays 0. On coarse cells that is
	// two thirds of the time.
	Rough bool
	// Normals asks for the true normals of the surface, for pictures.
	Normals bool
}

// chordFactor is how much longer than h the chords of a mesh from cells of
// size h are, squared: the largest chord error on a radius R is 1.3 to 1.7
// times h^2 / 8R (measured on posts and tubes).
const chordFactor = 1.5

// chordShare is the share of the tolerance that the chords of the first mesh
// may use up; the reduction has the rest.
const chordShare = 0.6

// cellFor returns the largest cell size for a radius of curvature.
func (o *Options) cellFor(bend float64) float64 {
	if o.Cell > 0 || math.IsInf(bend, 1) || bend < o.Tol {
		return math.Inf(1)
	}
	return math.Sqrt(8 * bend * o.Tol * chordShare / chordFactor)
}

// Mesh meshes the field. It fails when the field is empty, has no bounds, is
// negative outside them, is nowhere as thick as the finest cells, would need
// too many cells, or when ctx ends.
func Mesh(ctx context.Context, c *sdf.Code, o Options) (*mesh.Mesh, Report, error) {
	m, err := newMesher(c, o)
	if err != nil {
		return nil, Report{}, err
	}
	out, err := m.reduced(ctx)
	if err != nil {
		return nil, Report{}, err
	}
	r := m.report()
	r.Unresolved = dropSpecks(out, m.opt.Tol, r.Unresolved)
	if len(out.T) == 0 {
		return nil, Report{}, m.thin()
	}
	m.told.stage(0.1)
	if !o.Rough {
		far, err := m.measure(ctx, out)
		if err == nil && far.By > m.opt.Tol && o.Cell == 0 && !o.Raw {
			var changed bool
			if changed, err = m.within(ctx, out); changed {
				far, err = m.measure(ctx, out)
			}
		}
		if err != nil {
			return nil, Report{}, err
		}
		r.Reached, r.At = far.By, far.At
	}
	if o.Normals {
		if r.Normals, err = m.normals(ctx, out); err != nil {
			return nil, Report{}, err
		}
	}
	m.told.stage(1)
	return out, r, nil
}

// reduced returns the mesh of all cells, reduced unless it is to be raw, with smaller
// cells where that has made triangles cross.
func (m *mesher) reduced(ctx context.Context) (*mesh.Mesh, error) {
	out, class, err := m.build(ctx)
	for again := 0; err == nil && !m.opt.Raw; again++ {
		m.told.stage(0.3)
		err = reduce(ctx, out, class, fieldSurface{m.code}, reduceOptions{tol: m.opt.Tol, workers: m.opt.Workers, progress: m.told.at})
		if err != nil || m.opt.Rough || m.opt.Cell > 0 || again == mostAgain {
			break
		}
		var fresh bool
		if fresh, err = m.retame(ctx, out); err != nil || !fresh {
			break
		}
		out, class, err = m.untangle(ctx)
	}
	return out, err
}

// coarsest and finest cells of a mesh without a fixed cell size: the largest in
// mm, and the smallest as a multiple of the tolerance.
const (
	coarsest = 0.4
	finest   = 1.0
)

// newMesher checks the options and lays the grid.
func newMesher(c *sdf.Code, o Options) (*mesher, error) {
	if o.Tol == 0 {
		o.Tol = DefaultTol
	}
	if !(o.Tol > 0) || math.IsInf(o.Tol, 0) {
		return nil, fmt.Errorf("contour: tolerance %g is not positive", o.Tol)
	}
	b := c.Bounds()
	switch {
	case b.IsEmpty():
		return nil, errors.New("contour: the field is empty")
	case !b.Finite():
		return nil, errors.New("contour: the field has no bounds")
	}
	m := &mesher{code: c, opt: o}
	m.told.tell = o.Progress
	if o.Cell != 0 {
		if !(o.Cell > 0) || math.IsInf(o.Cell, 0) {
			return nil, fmt.Errorf("contour: cell size %g is not positive", o.Cell)
		}
		m.grid = uniform(b, o.Cell)
		m.coarsest = o.Cell * 1.001
		need, edge := m.survey()
		return m, m.enough(need, edge)
	}
	size := b.Size()
	edge := max(size.X, size.Y, size.Z)
	m.coarsest = max(edge/64, min(coarsest, edge/16))
	root := (edge + 4*m.coarsest) / side // cell of the root block
	lay := func(root float64) {
		top := 0
		for math.Ldexp(root, -top) > finest*o.Tol && top < mostLevels {
			top++
		}
		m.grid = placed(b, math.Ldexp(root, -top), top)
	}
	lay(root)
	need, at := m.survey()
	if err := m.enough(need, at); err != nil {
		return nil, err
	}
	lay(root * m.stretch(need))
	return m, nil
}

func popcount(a uint8) int { return bits.OnesCount8(a) }

func trailing(a uint8) int { return bits.TrailingZeros8(a) }
