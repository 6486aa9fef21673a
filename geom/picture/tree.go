package picture

import (
	"math"
	"slices"
	"sync"

	"waxwright/geom/vec"
)

// rayTree finds the first triangle on a ray: a binary tree of boxes, split
// where the surface-area cost of a few bins is least (I. Wald, "On fast
// construction of SAH-based bounding volume hierarchies", 2007). It holds
// what reflections need, in single precision, and culls faces that look away:
// several times as fast as mesh.Tree, whose rays are exact; a picture follows
// a million.
type rayTree struct {
	nodes []node
	faces []face
}

// node is a box; count 0 marks an inner node whose children are at first and
// first + 1 (of leaves: faces first to first + count).
type node struct {
	min, max     [3]float32
	first, count int32
}

// face is a triangle ready for the ray test.
type face struct {
	a, ab, ac [3]float32
	tri       int32
}

const (
	leafFaces = 4
	sahBins   = 12
	splitTask = 20_000 // faces below which a branch is built by one worker
	// boxPad grows boxes by a few roundings of single precision, as a share of
	// the coordinates, so that rays along a face do not slip by.
	boxPad = 5e-7
)

// item of work while building.
type leafBox struct {
	min, max, mid [3]float32
	tri           int32
}

func vec32(p vec.P) [3]float32 { return [3]float32{float32(p.X), float32(p.Y), float32(p.Z)} }

// plant builds the tree over all triangles of the soup.
func plant(sp *soup, workers int) *rayTree {
	size := vec.BoxOf(sp.used...)
	pad := float32(boxPad * (size.Min.Len() + size.Max.Len()))
	boxes := make([]leafBox, len(sp.tri))
	each(workers, len(boxes), func(i int) {
		t := &sp.tri[i]
		a, b, c := vec32(sp.pos[t.v[0]]), vec32(sp.pos[t.v[1]]), vec32(sp.pos[t.v[2]])
		q := &boxes[i]
		q.tri = int32(i)
		for k := range 3 {
			q.min[k], q.max[k] = min(a[k], b[k], c[k])-pad, max(a[k], b[k], c[k])+pad
			q.mid[k] = (q.min[k] + q.max[k]) / 2
		}
	})
	g := grower{make([]node, max(2*len(boxes), 1))}
	g.branch(0, 1, boxes, 0, workers > 1)
	rt := &rayTree{nodes: g.nodes}
	rt.faces = make([]face, len(boxes))
	each(workers, len(boxes), func(i int) {
		t := &sp.tri[boxes[i].tri]
		a := sp.pos[t.v[0]]
		rt.faces[i] = face{vec32(a), vec32(sp.pos[t.v[1]].Sub(a)), vec32(sp.pos[t.v[2]].Sub(a)), boxes[i].tri}
	})
	return rt
}

// grower builds the nodes of a tree. Over n boxes there are 2n - 1 nodes at the
// most: every branch has that many places of its own, and leaves some empty.
type grower struct{ nodes []node }

// branch builds node self over boxes, sorting them; from is the number of the
// first box in the whole, free the first of the places for what is below.
func (g *grower) branch(self, free int32, boxes []leafBox, from int32, parallel bool) {
	n := node{min: inf3(1), max: inf3(-1)}
	lo, hi := inf3(1), inf3(-1)
	for i := range boxes {
		b := &boxes[i]
		for k := range 3 {
			n.min[k], n.max[k] = min(n.min[k], b.min[k]), max(n.max[k], b.max[k])
			lo[k], hi[k] = min(lo[k], b.mid[k]), max(hi[k], b.mid[k])
		}
	}
	if len(boxes) <= leafFaces {
		n.first, n.count = from, int32(len(boxes))
		g.nodes[self] = n
		return
	}
	n.first = free
	g.nodes[self] = n
	at := split(boxes, lo, hi)
	left := func() { g.branch(free, free+2, boxes[:at], from, parallel) }
	right := func() { g.branch(free+1, free+2*int32(at), boxes[at:], from+int32(at), parallel) }
	if !parallel || len(boxes) <= splitTask {
		left()
		right()
		return
	}
	var wg sync.WaitGroup
	wg.Go(left)
	right()
	wg.Wait()
}

func inf3(sign int) [3]float32 {
	f := float32(math.Inf(sign))
	return [3]float32{f, f, f}
}

// split parts the boxes in two, both not empty, and returns where.
func split(boxes []leafBox, lo, hi [3]float32) int {
	axis := 0
	for k := range 3 {
		if hi[k]-lo[k] > hi[axis]-lo[axis] {
			axis = k
		}
	}
	wide := hi[axis] - lo[axis]
	if !(wide > 0) {
		return len(boxes) / 2
	}
	bin := func(b *leafBox) int {
		return min(int((b.mid[axis]-lo[axis])/wide*sahBins), sahBins-1)
	}
	var count [sahBins]int
	var bmin, bmax [sahBins][3]float32
	for i := range bmin {
		bmin[i], bmax[i] = inf3(1), inf3(-1)
	}
	for i := range boxes {
		b := &boxes[i]
		j := bin(b)
		count[j]++
		for k := range 3 {
			bmin[j][k], bmax[j][k] = min(bmin[j][k], b.min[k]), max(bmax[j][k], b.max[k])
		}
	}
	var after [sahBins]float32 // cost of all bins from i on
	rmin, rmax, right := inf3(1), inf3(-1), 0
	for i := sahBins - 1; i > 0; i-- {
		right += count[i]
		for k := range 3 {
			rmin[k], rmax[k] = min(rmin[k], bmin[i][k]), max(rmax[k], bmax[i][k])
		}
		after[i] = float32(right) * faceArea(rmin, rmax)
	}
	lmin, lmax, left := inf3(1), inf3(-1), 0
	best, cut := float32(math.Inf(1)), -1
	for i := 0; i < sahBins-1; i++ {
		left += count[i]
		for k := range 3 {
			lmin[k], lmax[k] = min(lmin[k], bmin[i][k]), max(lmax[k], bmax[i][k])
		}
		if left == 0 || left == len(boxes) {
			continue
		}
		if c := float32(left)*faceArea(lmin, lmax) + after[i+1]; c < best {
			best, cut = c, i
		}
	}
	if cut < 0 {
		slices.SortStableFunc(boxes, func(a, b leafBox) int {
			if a.mid[axis] < b.mid[axis] {
				return -1
			}
			if a.mid[axis] > b.mid[axis] {
				return 1
			}
			return 0
		})
		return len(boxes) / 2
	}
	i, j := 0, len(boxes)-1
	for i <= j {
		if bin(&boxes[i]) <= cut {
			i++
		} else {
			boxes[i], boxes[j] = boxes[j], boxes[i]
			j--
		}
	}
	return i
}

func faceArea(lo, hi [3]float32) float32 {
	x, y, z := hi[0]-lo[0], hi[1]-lo[1], hi[2]-lo[2]
	if x < 0 {
		return 0
	}
	return x*y + y*z + z*x
}

// hit is where a ray meets a triangle: at the distance t, with the shares u
// and v of its second and third corner.
type hit struct {
	tri     int32
	t, u, v float32
}

// first returns the nearest triangle that faces the ray, with tri -1 for none.
func (rt *rayTree) first(p, d vec.P) hit {
	o, dir := vec32(p), vec32(d)
	var inv [3]float32
	for k := range 3 {
		inv[k] = 1 / dir[k] // infinite for 0: the slab test bears it
	}
	best := hit{tri: -1, t: math.MaxFloat32}
	var stack [64]int32
	depth, at := 0, int32(0)
	if rt.nodes[0].enter(&o, &inv, best.t) == missed {
		return best
	}
	for {
		n := &rt.nodes[at]
		if n.count > 0 {
			for i := n.first; i < n.first+n.count; i++ {
				rt.faces[i].meet(&o, &dir, &best)
			}
		} else {
			l, r := n.first, n.first+1
			tl, tr := rt.nodes[l].enter(&o, &inv, best.t), rt.nodes[r].enter(&o, &inv, best.t)
			if tl > tr {
				l, r, tl, tr = r, l, tr, tl
			}
			if tl != missed {
				if tr != missed && depth < len(stack) {
					stack[depth] = r
					depth++
				}
				at = l
				continue
			}
		}
		if depth == 0 {
			return best
		}
		depth--
		at = stack[depth]
	}
}

const missed = float32(math.MaxFloat32)

// enter returns where a ray enters the box, missed if it does not before far.
func (n *node) enter(o, inv *[3]float32, far float32) float32 {
	t0, t1 := float32(0), far
	for k := range 3 {
		a, b := (n.min[k]-o[k])*inv[k], (n.max[k]-o[k])*inv[k]
		if a > b {
			a, b = b, a
		}
		if a > t0 { // false for NaN
			t0 = a
		}
		if b < t1 {
			t1 = b
		}
	}
	if t0 > t1 {
		return missed
	}
	return t0
}

// meet tests one triangle (T. Moeller, B. Trumbore, "Fast, Minimum Storage
// Ray/Triangle Intersection", 1997), seen from its front only.
func (f *face) meet(o, d *[3]float32, best *hit) {
	px, py, pz := d[1]*f.ac[2]-d[2]*f.ac[1], d[2]*f.ac[0]-d[0]*f.ac[2], d[0]*f.ac[1]-d[1]*f.ac[0]
	det := f.ab[0]*px + f.ab[1]*py + f.ab[2]*pz
	if det <= 0 {
		return
	}
	sx, sy, sz := o[0]-f.a[0], o[1]-f.a[1], o[2]-f.a[2]
	u := sx*px + sy*py + sz*pz
	if u < 0 || u > det {
		return
	}
	qx, qy, qz := sy*f.ab[2]-sz*f.ab[1], sz*f.ab[0]-sx*f.ab[2], sx*f.ab[1]-sy*f.ab[0]
	v := d[0]*qx + d[1]*qy + d[2]*qz
	if v < 0 || u+v > det {
		return
	}
	t := (f.ac[0]*qx + f.ac[1]*qy + f.ac[2]*qz) / det
	if t > 0 && t < best.t {
		*best = hit{f.tri, t, u / det, v / det}
	}
}
