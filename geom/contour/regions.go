package contour

import (
	"context"
	"math/bits"
	"slices"

	"waxwright/geom/mesh"
)

// Which vertices the cure of a mesh may change, and which of these have nothing
// to do with each other.

// tidyRings is how far from a bad triangle the mesh may change, in edges.
const tidyRings = 3

// regions lists the triangles of each vertex near the bad triangles, and returns
// the bad ones by the connected regions of such vertices, in the order of their
// first. Held vertices must stay as they are.
func (t *tidier) regions(ctx context.Context, bad, held []uint32) [][]uint32 {
	t.near.bits = make([]uint64, (len(t.out.V)+63)/64)
	for _, i := range bad {
		t.near.add(t.out.T[i])
	}
	n := &t.near
	for range tidyRings {
		for _, i := range t.pick(ctx, func(in int) bool { return in > 0 && in < 3 }) {
			n.add(t.out.T[i])
		}
	}
	for _, v := range held {
		n.bits[v/64] &^= 1 << (v % 64)
	}
	n.count()
	round := t.pick(ctx, func(in int) bool { return in > 0 })
	t.fans(round)

	region := mesh.NewSets(len(t.fan))
	for _, i := range round {
		tr := t.out.T[i][:]
		first := tr[slices.IndexFunc(tr, n.has)]
		for _, v := range tr {
			if n.has(v) {
				region.Join(n.number(first), n.number(v))
			}
		}
	}
	var out [][]uint32
	place := map[uint32]int{}
	for _, i := range bad {
		k := slices.IndexFunc(t.out.T[i][:], n.has)
		if k < 0 {
			continue // held as it is
		}
		r := region.Root(n.number(t.out.T[i][k]))
		at, ok := place[r]
		if !ok {
			at = len(out)
			place[r] = at
			out = append(out, nil)
		}
		out[at] = append(out[at], i)
	}
	return out
}

// fans lists the triangles of each vertex that may change; among has all of
// them.
func (t *tidier) fans(among []uint32) {
	first := make([]uint32, t.near.size()+1) // of each vertex, in all
	for _, i := range among {
		for _, v := range t.out.T[i] {
			if t.near.has(v) {
				first[t.near.number(v)+1]++
			}
		}
	}
	for v := range first[1:] {
		first[v+1] += first[v]
	}
	all := make([]uint32, first[len(first)-1])
	t.fan = make([][]uint32, len(first)-1)
	for v := range t.fan {
		t.fan[v] = all[first[v]:first[v]:first[v+1]]
	}
	for _, i := range among {
		for _, v := range t.out.T[i] {
			if t.near.has(v) {
				k := t.near.number(v)
				t.fan[k] = append(t.fan[k], i)
			}
		}
	}
}

// pick returns the triangles of which the wanted number of vertices may change.
func (t *tidier) pick(ctx context.Context, wanted func(int) bool) []uint32 {
	chunk, n := share(len(t.out.T), 1<<14)
	found := make([][]uint32, n)
	_ = t.m.parallel(ctx, len(found), func(_ *worker, k int) { // who called looks at ctx
		for i := k * chunk; i < min((k+1)*chunk, len(t.out.T)); i++ {
			tr := &t.out.T[i]
			if wanted(int(t.near.bit(tr[0]) + t.near.bit(tr[1]) + t.near.bit(tr[2]))) {
				found[k] = append(found[k], uint32(i))
			}
		}
	})
	return slices.Concat(found...)
}

// around returns the triangles of a vertex that may change, none of another.
func (t *tidier) around(v uint32) []uint32 {
	if !t.near.has(v) {
		return nil
	}
	return t.fan[t.near.number(v)]
}

// numbering is a set of vertices that numbers its members in order.
type numbering struct {
	bits   []uint64 // one a vertex
	before []uint32 // members before each word
}

func (n *numbering) bit(v uint32) uint64 { return n.bits[v/64] >> (v % 64) & 1 }

func (n *numbering) has(v uint32) bool { return n.bit(v) != 0 }

// add adds the corners of a triangle.
func (n *numbering) add(tr [3]uint32) {
	for _, v := range tr {
		n.bits[v/64] |= 1 << (v % 64)
	}
}

// count numbers the members; none may be added after that.
func (n *numbering) count() {
	n.before = make([]uint32, len(n.bits)+1)
	for i, w := range n.bits {
		n.before[i+1] = n.before[i] + uint32(bits.OnesCount64(w))
	}
}

// size returns how many members there are.
func (n *numbering) size() int { return int(n.before[len(n.bits)]) }

// number returns the number of a member.
func (n *numbering) number(v uint32) uint32 {
	return n.before[v/64] + uint32(bits.OnesCount64(n.bits[v/64]&(1<<(v%64)-1)))
}
