package mesh

import (
	"context"
	"math"

	"waxwright/geom/crew"
	"waxwright/geom/vec"
)

// Tree is a bounding-volume tree over the triangles of a mesh. It answers which
// triangle is nearest, which ones a ray or a box meets, and which pairs of
// triangles come close to each other.
//
// A Tree is the same for any number of processors, is never changed once
// built, and may be used from many goroutines. It refers to the mesh, which
// must not be changed while the Tree is in use.
//
// Method: nodes are split along the longest side of their centres, at the
// best of 15 places by the surface area heuristic (I. Wald, "On fast
// construction of SAH-based bounding volume hierarchies", 2007). Boxes are
// float32, rounded outwards.
type Tree struct {
	m    *Mesh
	node []node   // node 0 is the root
	tri  []uint32 // triangles in the order of the leaves
	box  []box32  // their boxes
}

// node is a leaf of n triangles from tri[first], or, with n = 0, a branch
// whose children are the nodes first and first + 1.
type node struct {
	box32
	first, n uint32
}

// box32 is a box with sides rounded outwards.
type box32 struct{ lo, hi [3]float32 }

const (
	leafSize = 4  // triangles a leaf holds at most
	bins     = 16 // places a split may fall between
	deep     = 48 // below this depth nodes are halved by count
	maxDepth = deep + 32 + 1
)

// NewTree builds the tree of m. Coordinates must be finite.
func NewTree(m *Mesh) *Tree {
	n := len(m.T)
	t := &Tree{m: m}
	if n == 0 {
		return t
	}
	items := make([]item, n)
	inChunks(n, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			a, b, c := m.Corners(i)
			b32 := boxOf(a, b, c)
			items[i] = item{keys: b32.keys(), id: uint32(i)}
		}
	})
	t.node = build(items)
	t.tri = make([]uint32, n)
	t.box = make([]box32, n)
	for i, it := range items {
		t.tri[i], t.box[i] = it.id, it.box()
	}
	return t
}

// Mesh returns the mesh the tree was built over.
func (t *Tree) Mesh() *Mesh { return t.m }

type item struct {
	keys
	id  uint32
	bin int32 // where split has put it, while it is at it
}

// task is a subtree yet to be built: items[lo:hi] under node at.
type task struct{ at, lo, hi, depth int }

// build sorts items into leaf order and returns the nodes: the top of the tree
// one after the other, then the subtrees below it at once, joined in order.
func build(items []item) []node {
	whole := max(len(items)/32, 1024) // subtrees up to this size are one task
	nodes := make([]node, 1, len(items)*3/4+64)
	nodes[0].box32 = around(items)
	var rest []task
	todo := []task{{0, 0, len(items), 0}}
	for len(todo) > 0 {
		k := todo[0]
		todo = todo[1:]
		if k.hi-k.lo <= whole {
			rest = append(rest, k)
			continue
		}
		var kids [2]task
		nodes, kids = branch(nodes, items, k)
		todo = append(todo, kids[:]...)
	}
	sub := make([][]node, len(rest))
	_ = crew.Each(context.Background(), 0, len(rest), func(_, i int) {
		sub[i] = subtree(items, rest[i], nodes[rest[i].at].box32)
	})
	for i, s := range sub { // node 0 of a subtree replaces its stub
		base := uint32(len(nodes)) - 1
		for j := range s {
			if s[j].n == 0 {
				s[j].first += base
			}
		}
		nodes[rest[i].at] = s[0]
		nodes = append(nodes, s[1:]...)
	}
	return nodes
}

func subtree(items []item, k task, box box32) []node {
	nodes := make([]node, 1, (k.hi-k.lo)*3/4+2)
	nodes[0].box32 = box
	todo := []task{{0, k.lo, k.hi, k.depth}}
	for len(todo) > 0 {
		k := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if k.hi-k.lo <= leafSize {
			nodes[k.at].first, nodes[k.at].n = uint32(k.lo), uint32(k.hi-k.lo)
			continue
		}
		var kids [2]task
		nodes, kids = branch(nodes, items, k)
		todo = append(todo, kids[1], kids[0])
	}
	return nodes
}

// branch splits items[k.lo:k.hi] in two and makes node k.at, which has its box
// already, their parent.
func branch(nodes []node, items []item, k task) ([]node, [2]task) {
	all := nodes[k.at].box32
	mid, l, r := split(items[k.lo:k.hi], &all, k.depth)
	mid += k.lo
	first := len(nodes)
	nodes[k.at].first = uint32(first)
	nodes = append(nodes, node{box32: l}, node{box32: r})
	return nodes, [2]task{{first, k.lo, mid, k.depth + 1}, {first + 1, mid, k.hi, k.depth + 1}}
}

// split reorders s, whose box is all, and returns the length of its first part,
// from 1 to len(s)-1, and the boxes of both parts.
func split(s []item, all *box32, depth int) (mid int, l, r box32) {
	axis := 0
	for a := 1; a < 3; a++ {
		if all.hi[a]-all.lo[a] > all.hi[axis]-all.lo[axis] {
			axis = a
		}
	}
	n := bins
	if len(s) < 4*bins {
		n = bins / 2
	}
	from := 2 * all.lo[axis] // twice the centres run from here
	scale := float32(n) / (2 * (all.hi[axis] - all.lo[axis]))
	if depth >= deep || !(scale > 0) || scale > math.MaxFloat32 {
		return halve(s)
	}
	var count [bins]int
	var box [bins]keys
	for i := range n {
		box[i] = noKeys
	}
	for i := range s {
		it := &s[i]
		k := min(int((fromKey(it.lo[axis])+fromKey(it.hi[axis])-from)*scale), n-1)
		it.bin = int32(k)
		count[k]++
		box[k].add(&it.keys)
	}
	// cost of splitting before bin i: area times count on both sides
	var left [bins]float32
	acc, sum := noKeys, 0
	for i := range n - 1 {
		if count[i] > 0 {
			acc.add(&box[i])
			sum += count[i]
		}
		left[i+1] = float32(acc.area() * float32(sum))
	}
	acc, sum = noKeys, 0
	best, at := inf32, 0
	for i := n - 1; i > 0; i-- {
		if count[i] == 0 {
			continue // splitting after it costs the same
		}
		acc.add(&box[i])
		sum += count[i]
		if sum == len(s) {
			break
		}
		if c := left[i] + float32(acc.area()*float32(sum)); c < best {
			best, at = c, i
		}
	}
	if at == 0 {
		return halve(s)
	}
	i, j := 0, len(s)-1
	for {
		for i <= j && int(s[i].bin) < at {
			i++
		}
		for i <= j && int(s[j].bin) >= at {
			j--
		}
		if i >= j {
			break
		}
		s[i], s[j] = s[j], s[i]
	}
	first, last := noKeys, noKeys
	for k := range at {
		first.add(&box[k])
	}
	for k := at; k < n; k++ {
		last.add(&box[k])
	}
	return i, first.box(), last.box()
}

// halve splits s by count.
func halve(s []item) (mid int, l, r box32) {
	mid = len(s) / 2
	return mid, around(s[:mid]), around(s[mid:])
}

// around returns the box of all items.
func around(s []item) box32 {
	b := noKeys
	for i := range s {
		b.add(&s[i].keys)
	}
	return b.box()
}

var emptyBox = box32{
	[3]float32{inf32, inf32, inf32},
	[3]float32{-inf32, -inf32, -inf32},
}

var inf32 = float32(math.Inf(1))

// area returns half the surface of b, 0 if it is empty.
func (b *box32) area() float32 {
	x, y, z := b.hi[0]-b.lo[0], b.hi[1]-b.lo[1], b.hi[2]-b.lo[2]
	if x < 0 {
		return 0
	}
	return float32(x*y) + float32(y*z) + float32(z*x)
}

// meets reports whether both boxes have a point in common.
func (b *box32) meets(c *box32) bool {
	return b.lo[0] <= c.hi[0] && c.lo[0] <= b.hi[0] &&
		b.lo[1] <= c.hi[1] && c.lo[1] <= b.hi[1] &&
		b.lo[2] <= c.hi[2] && c.lo[2] <= b.hi[2]
}

// boxOf returns the box of a triangle, rounded outwards.
func boxOf(a, b, c vec.P) box32 {
	var r box32
	r.lo[0], r.hi[0] = span(a.X, b.X, c.X)
	r.lo[1], r.hi[1] = span(a.Y, b.Y, c.Y)
	r.lo[2], r.hi[2] = span(a.Z, b.Z, c.Z)
	return r
}

func span(a, b, c float64) (lo, hi float32) {
	if b < a {
		a, b = b, a
	}
	if c < a {
		a = c
	} else if c > b {
		b = c
	}
	return below(a), above(b)
}

// outwards rounds b outwards.
func outwards(b vec.Box) box32 {
	return box32{
		[3]float32{below(b.Min.X), below(b.Min.Y), below(b.Min.Z)},
		[3]float32{above(b.Max.X), above(b.Max.Y), above(b.Max.Z)},
	}
}

// below returns a float32 that is at most x.
func below(x float64) float32 {
	f := float32(x)
	if float64(f) > x {
		f = math.Nextafter32(f, -inf32)
	}
	return f
}

func above(x float64) float32 { return -below(-x) }

// inChunks calls f over [0, n) in pieces, several at once.
func inChunks(n int, f func(lo, hi int)) {
	const size = 1 << 14
	_ = crew.Each(context.Background(), 0, (n+size-1)/size, func(_, k int) { f(k*size, min((k+1)*size, n)) })
}
