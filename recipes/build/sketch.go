package build

import (
	"context"
	"errors"
	"fmt"

	"waxwright/geom/contour"
	"waxwright/geom/manifold"
	"waxwright/geom/sdf"
	"waxwright/recipes/piece"
)

// FinestCell and CoarsestCell bound the cells of a sketch, mm: finer ones are
// dearer than a model, coarser ones lose walls that a piece lives by.
const FinestCell, CoarsestCell = 0.08, 1.0

// ErrSketch is why a sketch is not judged, and not written.
var ErrSketch = errors.New("a sketch is for the eye alone")

// Sketch models a piece quickly and roughly, for the eye alone: from cells of
// one size, mm. Its meshes are closed, and neither cured of folds, reduced,
// mended nor judged; its weights are those of the rough meshes. Of a pair it has
// the one ear, each casting twice. A casting that the cache of the options holds
// as a model of the options' tolerance is taken as it is there. It fails where
// Make does.
func Sketch(ctx context.Context, p *piece.Piece, cell float64, o Options) (*Model, error) {
	if !(cell >= FinestCell && cell <= CoarsestCell) {
		return nil, fmt.Errorf("cells of %g mm are out of range: %g to %g", cell, FinestCell, CoarsestCell)
	}
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	if err := modest(p); err != nil {
		return nil, err
	}
	m := &Model{Piece: p, Sketch: true}
	for i := range p.Castings {
		c, err := m.sketched(ctx, i, cell, o)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			return nil, fmt.Errorf("casting %s: %w", p.Castings[i].Name, err)
		}
		m.Tol = max(m.Tol, c.Reached)
		m.Castings = append(m.Castings, c)
	}
	m.lay()
	return m, nil
}

// sketched sketches one casting of the piece.
func (m *Model) sketched(ctx context.Context, i int, cell float64, o Options) (Casting, error) {
	from := &m.Piece.Castings[i]
	code, err := sdf.Compile(from.Metal)
	if err != nil {
		return Casting{}, err
	}
	meshed, known := o.Cache.find(cacheKey{digest: code.Digest(), tol: o.Tol})
	if !known {
		if meshed, known, err = o.Cache.sketch(ctx, code, cell, o.Workers); err != nil {
			return Casting{}, err
		}
	}
	c, err := m.found(i, meshed)
	if err != nil {
		return Casting{}, err
	}
	c.Known = known
	if m.Piece.Pair != piece.Single {
		c.Quantity = 2
	}
	c.Report = manifold.Report{Triangles: len(c.Mesh.T), Volume: c.Mesh.Volume(), Unfit: ErrSketch}
	c.Grams = m.grams(&c)
	return c, nil
}

// sketch meshes the field from cells of one size, or returns the mesh made
// before.
func (k *Cache) sketch(ctx context.Context, code *sdf.Code, cell float64, workers int) (m made, known bool, err error) {
	key := cacheKey{digest: code.Digest(), cell: cell}
	if old, ok := k.find(key); ok {
		return old, true, nil
	}
	mesh, report, err := contour.Mesh(ctx, code, contour.Options{Cell: cell, Raw: true, Rough: true, Workers: workers})
	if err != nil {
		return made{}, false, err
	}
	report.Reached = cell / 2 // vertices lie on the surface, and chords are that short
	k.keep(key, made{mesh, report})
	return made{mesh, report}, false, nil
}
