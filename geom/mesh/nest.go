package mesh

import (
	"slices"

	"waxwright/geom/mesh/exact"
	"waxwright/geom/vec"
)

// nest finds which shell lies in which: from one vertex of every shell that
// lies in the box of another, a ray is followed and its crossings with each
// other shell are counted; an odd count means inside.
func (m *Mesh) nest(ss []Shell, shell []uint32, tree *Tree) {
	box := vec.Empty()
	for i := range ss {
		box = box.Union(ss[i].Box)
	}
	reach := 1.1*box.Size().Len() + 1 // past everything from anywhere
	for i := range ss {
		if len(ss[i].T) < solid || len(ss) <= few && !boxed(ss, i) {
			continue
		}
		if tree == nil {
			tree = NewTree(m)
		}
		for _, j := range m.around(tree, shell, ss[i].T, reach) {
			ss[i].Depth++
			if p := ss[i].Parent; p < 0 || holds(ss[p].Box, ss[j].Box) {
				ss[i].Parent = j
			}
		}
	}
}

// solid is the least number of triangles that can enclose anything: shells of
// fewer are not asked where they lie.
const solid = 4

// few is the number of shells up to which comparing all boxes is cheaper than
// following a ray from each (2^10 squared box tests are a few milliseconds).
const few = 1 << 10

// boxed reports whether shell i lies in the box of another.
func boxed(ss []Shell, i int) bool {
	for j := range ss {
		if i != j && holds(ss[j].Box, ss[i].Box) {
			return true
		}
	}
	return false
}

func holds(b, c vec.Box) bool { return b.Has(c.Min) && b.Has(c.Max) }

// around returns the shells that hold shell i, ascending. No shell reaches
// further than reach.
//
// A ray through an edge or a corner, or from a point on another shell, can't
// be counted: the next direction is tried, then the next vertex. If none is
// clean the shell counts as lying in nothing.
func (m *Mesh) around(tree *Tree, shell []uint32, triangles []uint32, reach float64) []int {
	const vertices = 16 // to be tried
	for k := range min(vertices, len(triangles)) {
		t := triangles[k*len(triangles)/min(vertices, len(triangles))]
		for _, d := range directions {
			if met, clean := m.along(tree, shell, t, d.Mul(reach)); clean {
				return odd(met)
			}
		}
	}
	return nil
}

// directions are arbitrary unit vectors, off the axes and diagonals.
var directions = []vec.P{
	{X: 0.287, Y: 0.191, Z: 0.939}, {X: -0.421, Y: 0.853, Z: 0.308}, {X: 0.919, Y: -0.263, Z: 0.293},
	{X: 0.131, Y: -0.577, Z: -0.806}, {X: -0.643, Y: -0.359, Z: 0.677}, {X: 0.389, Y: 0.727, Z: -0.566},
}

// along returns the other shells that the ray from a corner of triangle t
// crosses, once for each crossing, and whether all crossings were clean.
func (m *Mesh) along(tree *Tree, shell []uint32, t uint32, dir vec.P) (met []uint32, clean bool) {
	from, self := m.V[m.T[t][0]], shell[t]
	to := from.Add(dir)
	clean = true
	whole := 1.0
	tree.nearRay(from, dir, &whole, func(t uint32) bool {
		if shell[t] == self {
			return true
		}
		a, b, c := m.Corners(int(t))
		switch crosses(from, to, a, b, c) {
		case 1:
			met = append(met, shell[t])
		case -1:
			clean = false
		}
		return clean
	})
	return met, clean
}

// odd returns what stands in s an odd number of times, ascending.
func odd(s []uint32) []int {
	slices.Sort(s)
	var once []int
	for len(s) > 0 {
		n := 1
		for n < len(s) && s[n] == s[0] {
			n++
		}
		if n%2 == 1 {
			once = append(once, int(s[0]))
		}
		s = s[n:]
	}
	return once
}

// crosses reports exactly whether the segment pq passes through the inside of
// triangle abc: 1 yes, 0 no, -1 it touches the triangle's edge or plane.
func crosses(p, q, a, b, c vec.P) int {
	u, v := exact.Side(a, b, c, p), exact.Side(a, b, c, q)
	if u == v && u != 0 {
		return 0
	}
	x, y, z := exact.Side(p, q, a, b), exact.Side(p, q, b, c), exact.Side(p, q, c, a)
	if min(x, y, z) < 0 && max(x, y, z) > 0 {
		return 0
	}
	if u == 0 || v == 0 || x == 0 || y == 0 || z == 0 {
		return -1
	}
	return 1
}
