package contour

import (
	"context"
	"math"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

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

// leaf returns the leaf block in which p lies.
func (m *mesher) leaf(p vec.P) *block {
	q := p.Sub(m.origin)
	place := func(x float64) int32 { return int32(math.Floor(x / (m.unit * side))) }
	k := key{uint8(m.top), place(q.X), place(q.Y), place(q.Z)}
	if _, ok := k.step(0, 0, 0); !ok {
		return nil
	}
	b, _ := m.covering(k)
	return b
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
	inOrder(all)
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
