package contour

import (
	"context"

	"waxwright/geom/mesh"
)

// untangle joins the blocks to the mesh, cures it, and refines or tames the cells
// of triangles that cross all the same. What comes of that is looked for near the
// changed blocks alone, until nothing is left there; then the whole is joined
// again.
func (m *mesher) untangle(ctx context.Context) (*mesh.Mesh, []uint8, error) {
	blocks := []*block(nil) // all
	for round := 0; ; round++ {
		if m.opt.Cell == 0 {
			inOrder(m.blocks)
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
		t := m.tidy(ctx, out)
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if m.opt.Rough || m.opt.Cell > 0 || whole && round > 0 && !m.opt.Raw {
			return &out.Mesh, t.compact(ctx), nil // the last: retame looks through what is left of it
		}
		crossed, err := t.crossed(ctx, out.loose)
		if err != nil {
			return nil, nil, err
		}
		m.age++
		todo, fresh := m.settleCrossed(&out.Mesh, crossed, true)
		switch {
		case whole && (!fresh || round >= mostTaming):
			return &out.Mesh, t.compact(ctx), nil
		case !fresh:
			blocks = nil
			continue
		}
		if err := m.recut(ctx, todo); err != nil {
			return nil, nil, err
		}
		blocks = m.changed()
	}
}

// mostAgain bounds how often a reduced mesh is looked through for crossings that
// nobody suspected.
const mostAgain = 3

// retame looks for crossings among all triangles of the reduced mesh, and refines
// or tames the cells in which they lie. It reports whether there are any, and
// something was done.
func (m *mesher) retame(ctx context.Context, out *mesh.Mesh) (fresh bool, err error) {
	all := make([]uint32, len(out.T))
	for i := range all {
		all[i] = uint32(i)
	}
	t := &tidier{m: m, out: out}
	crossed, err := t.crossed(ctx, all)
	if err != nil || len(crossed) == 0 {
		return false, err
	}
	m.age++
	todo, fresh := m.settleCrossed(out, crossed, false)
	return fresh, m.recut(ctx, todo)
}

// recut cuts what is to be cut, and refines what comes of it.
func (m *mesher) recut(ctx context.Context, todo []cutting) error {
	if len(todo) == 0 {
		return nil
	}
	if err := m.cut(ctx, todo); err != nil {
		return err
	}
	return m.refine(ctx)
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
	inOrder(all)
	return all
}
