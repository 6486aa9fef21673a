package sdf

import (
	"slices"

	"waxwright/geom/vec"
)

// Nodes are flattened, gathered into boxes and written as a program.

// groupSize is the most children that a node keeps before they are gathered
// into boxes.
const groupSize = 6

// grouped flattens nested sets and gathers large ones into boxes.
func (w *lowering) grouped(n *node) *node {
	if n.op == 0 {
		return n
	}
	var kids []*node
	for _, k := range n.kids {
		k = w.grouped(k)
		if k.op == n.op && (!k.boxed || len(n.kids) == 1) {
			kids = append(kids, k.kids...)
		} else {
			kids = append(kids, k)
		}
	}
	kids = slices.CompactFunc(kids, func(a, b *node) bool { return a.op == 0 && b.op == 0 && w.alike(a.word, b.word) })
	if len(kids) == 1 {
		return kids[0]
	}
	out := &node{op: n.op, box: n.box, boxed: n.boxed, negated: n.negated}
	var solids, outsides []*node
	for _, k := range kids {
		switch {
		case !k.boxed || len(kids) <= groupSize:
			out.kids = append(out.kids, k)
		case k.negated:
			outsides = append(outsides, k)
		default:
			solids = append(solids, k)
		}
	}
	out.kids = append(out.kids, gather(n.op, solids)...)
	out.kids = append(out.kids, gather(n.op, outsides)...)
	return out
}

// alike reports whether two leaves are the same surface the same way round.
func (w *lowering) alike(a, b int32) bool {
	return a&1 == b&1 && w.code.leaf[a>>1].surf == w.code.leaf[b>>1].surf
}

// gather puts nodes into a hierarchy of boxes: halves at the middle across the
// longest side until groups are small. The nodes are all solids in their boxes
// or all outsides of such.
func gather(op int32, nodes []*node) []*node {
	if len(nodes) <= groupSize {
		return nodes
	}
	middles := vec.Empty()
	for _, k := range nodes {
		middles = middles.With(k.box.Center())
	}
	size := middles.Size()
	along := func(k *node) float64 {
		c := k.box.Center()
		switch {
		case size.X >= size.Y && size.X >= size.Z:
			return c.X
		case size.Y >= size.Z:
			return c.Y
		}
		return c.Z
	}
	slices.SortStableFunc(nodes, func(a, b *node) int {
		switch x, y := along(a), along(b); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	group := func(part []*node) *node {
		g := &node{op: op, kids: gather(op, part), boxed: true, negated: part[0].negated, box: vec.Empty()}
		for _, k := range part {
			g.box = g.box.Union(k.box)
		}
		return g
	}
	m := len(nodes) / 2
	return []*node{group(nodes[:m:m]), group(nodes[m:])}
}

// emit writes the tree as the code's program.
func (w *lowering) emit(n *node) {
	c := w.code
	if n.op == 0 {
		c.all.prog = append(c.all.prog, n.word)
		return
	}
	start := len(c.all.prog)
	c.all.prog = append(c.all.prog, n.op, int32(len(n.kids)), 0, -1)
	if n.boxed {
		c.all.prog[start+3] = int32(len(c.boxes))
		c.boxes = append(c.boxes, bound{box: n.box.Grow(boxSlack), negated: n.negated})
	}
	for _, k := range n.kids {
		w.emit(k)
	}
	c.all.prog[start+2] = int32(len(c.all.prog) - start)
}

// boxSlack in mm covers the roundings of boxes.
const boxSlack = 1e-6
