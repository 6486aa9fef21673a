package contour

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/bits"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
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

	coarsest float64 // largest cell
}

// Report says what a mesh is worth.
type Report struct {
	Reached    float64 // largest deviation found, mm
	Unresolved []Spot  // places too thin for the finest cells
	Cells      int     // cells that the surface passes
	Fallbacks  int     // vertices that no face, crease or corner explains
}

// Spot is a place that the mesh does not resolve.
type Spot struct {
	At    vec.P
	Width float64   // of the gap or wall, mm
	Tags  [2]uint32 // the owners of its two sides
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

// Mesh meshes the field.
func Mesh(ctx context.Context, c *sdf.Code, o Options) (*mesh.Mesh, Report, error) {
	m, class, r, err := raw(ctx, c, o)
	_ = class
	return m, r, err
}

// raw returns the mesh of all cells, before the reduction, and the class of
// each vertex.
func raw(ctx context.Context, c *sdf.Code, o Options) (*mesh.Mesh, []uint8, Report, error) {
	m, err := newMesher(c, o)
	if err != nil {
		return nil, nil, Report{}, err
	}
	out, class, err := m.build(ctx)
	if err != nil {
		return nil, nil, Report{}, err
	}
	r := Report{}
	for _, b := range m.blocks {
		r.Cells += len(b.cells)
		r.Fallbacks += len(b.faults)
	}
	return out, class, r, nil
}

// coarsest and finest cells of a mesh without a fixed cell size: the largest in
// mm, and the smallest as a multiple of the tolerance.
const (
	coarsest = 0.4
	finest   = 2.0
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
	m := &mesher{code: c, opt: o, at: map[key]*block{}}
	if o.Cell != 0 {
		if !(o.Cell > 0) || math.IsInf(o.Cell, 0) {
			return nil, fmt.Errorf("contour: cell size %g is not positive", o.Cell)
		}
		m.grid = uniform(b, o.Cell)
		m.opt.coarsest = o.Cell * 1.001
		return m, nil
	}
	size := b.Size()
	edge := max(size.X, size.Y, size.Z)
	m.opt.coarsest = min(coarsest, edge/16)
	root := (edge + 4*m.opt.coarsest) / side // cell of the root block
	lay := func(root float64) {
		top := 0
		for math.Ldexp(root, -top) > finest*o.Tol && top < mostLevels {
			top++
		}
		m.grid = placed(b, math.Ldexp(root, -top), top)
	}
	lay(root)
	lay(root * m.stretch())
	return m, nil
}

func popcount(a uint8) int { return bits.OnesCount8(a) }

func trailing(a uint8) int { return bits.TrailingZeros8(a) }
