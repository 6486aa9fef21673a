package build

import (
	"context"
	"errors"
	"fmt"

	"waxwright/geom/contour"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
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
	m, err := drawn(ctx, p, contour.Options{Cell: cell}, o)
	if err != nil {
		return nil, err
	}
	if p.Pair != piece.Single {
		m.place()
		for i := range m.Castings {
			m.Castings[i].Quantity = 2
		}
	}
	m.lay()
	return m, nil
}

// Likeness is Sketch to the tolerance, for pictures, with the normals of the true
// surface: meshed face by face where that is possible, else from cells, several
// times as quick as a model. Of a pair it has both ears.
func Likeness(ctx context.Context, p *piece.Piece, o Options) (*Model, error) {
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	m, err := drawn(ctx, p, contour.Options{Tol: o.Tol, Normals: true}, o)
	if err != nil {
		return nil, err
	}
	m.pair()
	m.lay()
	return m, nil
}

// drawn models the castings of a sketch, from the cells that cells asks for.
func drawn(ctx context.Context, p *piece.Piece, cells contour.Options, o Options) (*Model, error) {
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	if err := modest(p); err != nil {
		return nil, err
	}
	m := &Model{Piece: p, Sketch: true}
	for i := range p.Castings {
		c, err := m.sketched(ctx, i, cells, o)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			return nil, fmt.Errorf("casting %s: %w", p.Castings[i].Name, err)
		}
		m.Tol = max(m.Tol, c.Reached)
		m.Castings = append(m.Castings, c)
	}
	return m, nil
}

// sketched sketches one casting of the piece.
func (m *Model) sketched(ctx context.Context, i int, cells contour.Options, o Options) (Casting, error) {
	from := &m.Piece.Castings[i]
	code, err := sdf.Compile(from.Metal)
	if err != nil {
		return Casting{}, err
	}
	meshed, known := o.Cache.find(cacheKey{digest: code.Digest(), faces: true, normals: cells.Normals, tol: o.Tol})
	done := known
	if !done && cells.Cell == 0 {
		cells.Workers = o.Workers
		if meshed, done, err = o.Cache.face(ctx, code, cells); err != nil {
			return Casting{}, err
		}
	}
	if !done {
		if meshed, known, err = o.Cache.sketch(ctx, code, cells, o.Workers); err != nil {
			return Casting{}, err
		}
	}
	c, err := m.found(i, meshed)
	if err != nil {
		return Casting{}, err
	}
	c.Known = known
	if m.Piece.Pair == piece.Mirrored {
		c.Handed = handed(code, some(meshed.mesh), o.Tol)
	}
	c.Report = manifold.Report{Triangles: len(c.Mesh.T), Volume: c.Mesh.Volume(), Unfit: ErrSketch}
	c.Grams = m.grams(&c)
	return c, nil
}

// turned returns the normals of the triangles of a mesh that has been placed.
func turned(ns [][3]vec.P, by vec.Place) [][3]vec.P {
	if ns == nil {
		return nil
	}
	out := make([][3]vec.P, len(ns))
	for i, n := range ns {
		if by.Mirrored() { // as Transform turns the triangles over
			n[1], n[2] = n[2], n[1]
		}
		for k := range n {
			out[i][k] = by.Dir(n[k])
		}
	}
	return out
}

// someTriangles is how many triangles of a sketch tell whether it is handed.
const someTriangles = 2000

// some returns a mesh of no more than so many of m's triangles, spread over it.
func some(m *mesh.Mesh) *mesh.Mesh {
	few := &mesh.Mesh{V: m.V}
	for i := 0; i < len(m.T); i += 1 + len(m.T)/someTriangles {
		few.T = append(few.T, m.T[i])
	}
	return few
}

// sketch meshes the field from the cells that are asked for, or returns the mesh
// made before.
func (k *Cache) sketch(ctx context.Context, code *sdf.Code, cells contour.Options, workers int) (m made, known bool, err error) {
	key := cacheKey{digest: code.Digest(), normals: cells.Normals, tol: -cells.Tol, cell: cells.Cell}
	if old, ok := k.find(key); ok {
		return old, true, nil
	}
	cells.Raw, cells.Rough, cells.Workers = true, true, workers
	mesh, report, err := contour.Mesh(ctx, code, cells)
	if err != nil {
		return made{}, false, err
	}
	report.Reached = max(cells.Tol, cells.Cell/2) // vertices lie on the surface, and chords are that short
	m = made{mesh: mesh, report: report}
	k.keep(key, m)
	return m, false, nil
}
