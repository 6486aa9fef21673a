package contour

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
)

// Local refinement: blocks with faults are cut into eight, round by round,
// until none has a fault or the finest level is reached. Blocks beside each
// other differ by one level at most.

// mostRounds bounds how often the seams and the deviation are looked at again
// after what they showed was refined.
const mostRounds = 8

// build makes the mesh of all cells and the class of each vertex.
func (m *mesher) build(ctx context.Context) (*mesh.Mesh, []uint8, error) {
	m.told.stage(0.3)
	if err := m.sweep(ctx); err != nil {
		return nil, nil, err
	}
	if m.opt.Cell == 0 {
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

// untangle joins the blocks to the mesh, cures it, and refines or tames the cells
// of triangles that cross all the same. What comes of that is looked for near the
// changed blocks alone, until nothing is left there; then the whole is joined
// again.
func (m *mesher) untangle(ctx context.Context) (*mesh.Mesh, []uint8, error) {
	blocks := []*block(nil) // all
	for round := 0; ; round++ {
		if m.opt.Cell == 0 {
			slices.SortFunc(m.blocks, func(a, b *block) int { return m.order(a.key, b.key) })
		}
		if round >= mostTaming {
			blocks = nil
		}
		whole := blocks == nil
		if whole {
			blocks = m.blocks
		}
		out, err := m.join(ctx, blocks)
		if err != nil {
			return nil, nil, err
		}
		if whole && len(out.T) == 0 {
			return nil, nil, m.thin()
		}
		if m.opt.Rough {
			out.suspects = nil
		}
		t := m.tidy(out)
		if m.opt.Rough || m.opt.Cell > 0 {
			return &out.Mesh, t.compact(), nil
		}
		crossed, err := t.crossed(ctx, out.loose)
		if err != nil {
			return nil, nil, err
		}
		m.age++
		todo, fresh := m.settleCrossed(&out.Mesh, crossed)
		switch {
		case whole && (!fresh || round >= mostTaming):
			return &out.Mesh, t.compact(), nil
		case !fresh:
			blocks = nil
			continue
		}
		if len(todo) > 0 {
			if err := m.cut(ctx, todo); err != nil {
				return nil, nil, err
			}
			if err := m.refine(ctx); err != nil {
				return nil, nil, err
			}
		}
		blocks = m.changed()
	}
}

// aroundChanged is how far from a changed block triangles are looked at again, in
// blocks: a tidied triangle changes others tidyRings edges away at the most.
const aroundChanged = 2

// changed returns the blocks that were made or tamed at the present age, and those
// round them.
func (m *mesher) changed() []*block {
	var all []*block
	take := func(b *block) {
		if b != nil && !b.split() && !b.stale {
			b.stale = true
			all = append(all, b)
		}
	}
	for _, b := range m.blocks {
		if b.age == m.age {
			take(b)
		}
	}
	done := 0
	for range aroundChanged {
		last := len(all)
		for _, b := range all[done:last] {
			for n := range 27 {
				o := m.neighbour(b.key, n)
				take(o.b)
				if !o.finer {
					continue
				}
				for c := range 8 {
					take(m.at.get(o.b.child(c)))
				}
			}
		}
		done = last
	}
	for _, b := range all {
		b.stale = false
	}
	slices.SortFunc(all, func(a, b *block) int { return m.order(a.key, b.key) })
	return all
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
// those of the finest level are for triangles that deviate alone.
func (m *mesher) faulty(b *block) octants {
	if int(b.level) >= m.top-1 {
		return 0
	}
	return b.faulty()
}

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

// balance cuts blocks until cells beside each other differ by one level at most.
func (m *mesher) balance(ctx context.Context) error {
	for {
		var todo []cutting
		for _, b := range m.blocks {
			for n := range 27 {
				o, ok := b.step(int32(n%3-1), int32(n/3%3-1), int32(n/9-1))
				if !ok {
					continue
				}
				if c, part := m.covering(o); c != nil && c.level+1 < b.level {
					todo = append(todo, cutting{c, part})
				}
			}
		}
		if len(todo) == 0 {
			return nil
		}
		if err := m.cut(ctx, todo); err != nil {
			return err
		}
	}
}

// covering returns the leaf of the same or a lower level that holds k, and in
// which part.
func (m *mesher) covering(k key) (*block, octants) {
	part := octants(0)
	for {
		if b := m.at.get(k); b != nil {
			if b.split() || b.gone&part != 0 {
				return nil, 0
			}
			return b, part
		}
		if k.level == 0 {
			return nil, 0
		}
		part = k.octant()
		k = k.parent()
	}
}

// cutting is parts of a block that are to be cut.
type cutting struct {
	b     *block
	parts octants
}

// cut replaces parts of blocks, and of the larger blocks beside them, by
// children.
func (m *mesher) cut(ctx context.Context, todo []cutting) error {
	var all []*block
	for len(todo) > 0 {
		t := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		b, parts := t.b, t.parts&^(t.b.gone|t.b.going)
		if parts == 0 {
			continue
		}
		if b.going == 0 {
			all = append(all, b)
		}
		b.going |= parts
		for c := range 8 {
			if parts>>c&1 != 0 {
				todo = m.beside(b.child(c), todo)
			}
		}
	}
	slices.SortFunc(all, func(a, b *block) int { return m.order(a.key, b.key) })
	made := make([][]*block, len(all))
	err := m.parallel(ctx, len(all), func(w *worker, i int) {
		b := all[i]
		for c := range 8 {
			if b.going>>c&1 != 0 {
				made[i] = w.grow(b.child(c), b.local, made[i])
			}
		}
		b.shed(b.going)
		b.going, b.age = 0, m.age
	})
	if err != nil {
		return err
	}
	leaves := slices.DeleteFunc(m.blocks, (*block).split)
	for _, bs := range made {
		for _, b := range bs {
			leaves = append(leaves, b)
			m.at.put(b)
		}
	}
	m.blocks = leaves
	return nil
}

// beside appends to todo what has to be cut beside block k that is to be: cells
// twice as large as its parent's.
func (m *mesher) beside(k key, todo []cutting) []cutting {
	for n := range 27 {
		o, ok := k.step(int32(n%3-1), int32(n/3%3-1), int32(n/9-1))
		if !ok || m.at.get(o) != nil {
			continue
		}
		p := o.parent()
		if p.level == 0 || m.at.get(p) != nil {
			continue
		}
		if b := m.at.get(p.parent()); b != nil && p.octant()&b.gone == 0 {
			todo = append(todo, cutting{b, p.octant()})
		}
	}
	return todo
}

// grow makes block k if the surface may pass it.
func (w *worker) grow(k key, src *sdf.Local, out []*block) []*block {
	local := &w.stack[k.level]
	if w.stopped() || !w.prune(local, src, k) || !w.may(local, k) {
		return out
	}
	return append(out, w.make(k, local))
}

// order compares blocks along the octree's depth-first path.
func (g *grid) order(a, b key) int {
	var p, q [3]int32
	p[0], p[1], p[2] = g.low(a)
	q[0], q[1], q[2] = g.low(b)
	// the axis of the highest bit in which the places differ decides; of equal
	// bits z, then y
	most, axis := int32(0), -1
	for i := 2; i >= 0; i-- {
		d := p[i] ^ q[i]
		if most < d && most < most^d { // d has the higher top bit
			most, axis = d, i
		}
	}
	if axis < 0 {
		return int(a.level) - int(b.level)
	}
	return int(p[axis]) - int(q[axis])
}

// seams makes the cells beside smaller ones.
func (m *mesher) seams(ctx context.Context, blocks []*block) error {
	return m.parallelBlocks(ctx, blocks, func(w *worker, b *block) {
		b.own = [2]int{len(b.verts), len(b.faults)}
		w.transitions(b)
		b.seamed = true
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
		if !b.seamed {
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

// parallelBlocks calls do for every block.
func (m *mesher) parallelBlocks(ctx context.Context, blocks []*block, do func(*worker, *block)) error {
	const chunk = 16
	return m.parallel(ctx, (len(blocks)+chunk-1)/chunk, func(w *worker, i int) {
		for _, b := range blocks[i*chunk : min((i+1)*chunk, len(blocks))] {
			do(w, b)
		}
	})
}
