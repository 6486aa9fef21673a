package contour

import (
	"context"
	"fmt"
	"iter"
	"math"
	"sync"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Local refinement: the parts of blocks with faults are replaced by children,
// round by round, until none has a fault or the finest level is reached. Cells
// beside each other differ by one level at most.

// mostRounds bounds how often the seams and the deviation are looked at again
// after what they showed was refined.
const mostRounds = 8

// build makes the mesh of all cells and the class of each vertex.
func (m *mesher) build(ctx context.Context) (*mesh.Mesh, []uint8, error) {
	m.told.stage(0.3)
	if err := m.sweep(ctx); err != nil {
		return nil, nil, err
	}
	if m.opt.Cell > 0 {
		if err := m.place(ctx); err != nil {
			return nil, nil, err
		}
	} else {
		m.told.stage(0.2)
		if err := m.balance(ctx); err != nil {
			return nil, nil, err
		}
		if err := m.refine(ctx); err != nil {
			return nil, nil, err
		}
	}
	m.told.stage(0.1)
	return m.untangle(ctx)
}

// thin is the error of a field of which nothing is left.
func (m *mesher) thin() error {
	return fmt.Errorf("contour: nothing of the field is as thick as its cells, %g mm", m.cell(uint8(m.top)))
}

// refine cuts blocks until no cell has a fault and no triangle is too far from
// the surface, or the finest level is reached.
func (m *mesher) refine(ctx context.Context) error {
	for range mostRounds {
		if err := m.settle(ctx); err != nil {
			return err
		}
		stale := m.unseam()
		if err := m.seams(ctx, stale); err != nil {
			return err
		}
		if err := m.check(ctx, stale); err != nil {
			return err
		}
		todo := m.coarse(func(b *block) octants { return m.faulty(b) | b.deviant })
		if len(todo) == 0 {
			return nil
		}
		if err := m.cut(ctx, todo); err != nil {
			return err
		}
	}
	if err := m.settle(ctx); err != nil {
		return err
	}
	return m.seams(ctx, m.unseam())
}

// faulty returns the parts of a block with faults that smaller cells may cure:
// those of the finest level are for triangles that deviate, and wires, which come in
// pieces where they are too thin for their cells.
func (m *mesher) faulty(b *block) octants { return b.faulty(int(b.level) >= m.top-1) }

// coarse returns the parts of blocks above the finest level that which finds.
func (m *mesher) coarse(which func(*block) octants) []cutting {
	var out []cutting
	for _, b := range m.blocks {
		if int(b.level) >= m.top {
			continue
		}
		if parts := which(b); parts != 0 {
			out = append(out, cutting{b, parts})
		}
	}
	return out
}

// settle probes new blocks and cuts those with faults until all of these are
// of the finest level.
func (m *mesher) settle(ctx context.Context) error {
	for {
		var fresh []*block
		for _, b := range m.blocks {
			if !b.probed {
				b.probed = true
				fresh = append(fresh, b)
			}
		}
		if err := m.probe(ctx, fresh); err != nil {
			return err
		}
		todo := m.coarse(m.faulty)
		if len(todo) == 0 {
			return nil
		}
		if err := m.cut(ctx, todo); err != nil {
			return err
		}
	}
}

// seams makes the cells beside smaller ones.
func (m *mesher) seams(ctx context.Context, blocks []*block) error {
	return m.parallelBlocks(ctx, blocks, func(w *worker, b *block) {
		b.seam = &seam{verts: len(b.verts), faults: len(b.faults)}
		w.transitions(b)
	})
}

// unseam returns the blocks whose seams are missing or may have changed, in a
// fixed order, and takes back what seams did to them.
func (m *mesher) unseam() []*block {
	var out []*block
	take := func(b *block) {
		if !b.stale {
			b.stale = true
			out = append(out, b)
		}
	}
	for _, b := range m.blocks {
		if b.seam == nil {
			take(b)
		}
	}
	for _, b := range out[:len(out):len(out)] { // those beside them, and no farther
		for n := range 27 {
			if o := m.neighbour(b.key, n); o.b != nil && !o.finer {
				take(o.b)
			}
		}
	}
	for _, b := range out {
		b.stale = false
		b.unseam()
	}
	return out
}

// check marks the blocks that make a triangle too far from the surface.
func (m *mesher) check(ctx context.Context, blocks []*block) error {
	var mu sync.Mutex
	var fault error
	err := m.parallelBlocks(ctx, blocks, func(w *worker, b *block) {
		if int(b.level) >= m.top || b.flat() {
			return
		}
		b.deviant |= m.astray(b)
		j := &w.joiner
		j.m, j.check, j.err = m, true, nil
		j.block(b)
		j.tris, j.tags, j.special = j.tris[:0], j.tags[:0], j.special[:0]
		if j.err != nil {
			mu.Lock()
			fault = j.err
			mu.Unlock()
		}
	})
	if err == nil {
		err = fault
	}
	return err
}

// astray returns the parts of a block with vertices that are too far from the
// surface themselves: no face, crease or corner explains these.
func (m *mesher) astray(b *block) (parts octants) {
	if _, one := b.local.Single(); one && len(b.faults) == 0 {
		return 0
	}
	for c := range side * side * side {
		part := octant(c%side, c/side%side, c/side/side)
		if parts&part != 0 || b.even() && b.active[c/side] == 0 {
			continue
		}
		for v := range b.vertsOf(uint8(c)) {
			if v.class == smooth && m.lost(b.local, v.at) {
				parts |= part
			}
		}
	}
	return parts
}

// lost reports whether p is farther from the surface than a mesh that is not
// yet reduced may be.
func (m *mesher) lost(local *sdf.Local, p vec.P) bool {
	tol := m.opt.Tol * deviantShare
	d, _ := local.At(p)
	switch d = math.Abs(d); {
	case d > tol:
		return true
	case d <= tol*negligible:
		return false
	}
	q, _, _ := local.Project(p)
	return q.Sub(p).Len() > tol
}

// vertsOf are the vertices of a cell.
func (b *block) vertsOf(cell uint8) iter.Seq[vertex] {
	return func(yield func(vertex) bool) {
		x, y, z := int(cell)%side, int(cell)/side%side, int(cell)/side/side
		if t := b.transition(x, y, z); t != nil {
			for _, l := range t.loops {
				if !yield(b.vertex(int(l.vert))) {
					return
				}
			}
			return
		}
		if !b.isActive(x, y, z) {
			return
		}
		c := b.cells[b.find(x, y, z)]
		for l := range uint16(patterns[c.inside].loops) {
			if !yield(b.vertex(int(c.vert + l))) {
				return
			}
		}
	}
}

// parallelBlocks calls do for every block.
func (m *mesher) parallelBlocks(ctx context.Context, blocks []*block, do func(*worker, *block)) error {
	chunk, n := share(len(blocks), 16)
	return m.parallel(ctx, n, func(w *worker, i int) {
		for _, b := range blocks[i*chunk : min((i+1)*chunk, len(blocks))] {
			do(w, b)
		}
	})
}
