package mesh

import (
	"slices"

	"waxwright/geom/vec"
)

// Shell is one connected piece of surface: triangles that hang together by
// shared vertices.
type Shell struct {
	T      []uint32 // its triangles, ascending
	V      int      // how many vertices it has
	E      int      // how many edges it has
	Volume float64  // signed: negative for a void or an inside-out shell
	Area   float64  // mm2
	Box    vec.Box
	Parent int // the smallest shell that holds it, -1 if none does
	Depth  int // how many shells hold it
}

// Euler returns the Euler number, vertices - edges + triangles: 2 for a
// closed surface without handles.
func (s *Shell) Euler() int { return s.V - s.E + len(s.T) }

// Genus returns the number of handles of a closed, two-manifold shell: 0 for a
// ball, 1 for a ring. It means nothing for a shell that is not.
func (s *Shell) Genus() int { return (2 - s.Euler()) / 2 }

// Body is one lump of matter: an outer shell and the voids directly inside.
type Body struct {
	Outer int   // index of the outer shell
	Voids []int // indices of its voids, ascending
}

// Shells returns the connected pieces of surface in the order of their first
// triangle, with their nesting. Nesting holds for closed shells that do not
// cross each other.
func (m *Mesh) Shells() []Shell { return m.shells(nil) }

// Shells is Shells of the tree's mesh, for those who have a tree already.
func (t *Tree) Shells() []Shell { return t.m.shells(t) }

// shells is Shells with the tree of m, or nil to build one if it is needed.
func (m *Mesh) shells(tree *Tree) []Shell {
	shell, n := m.components()
	ss := make([]Shell, n)
	count := make([]int, n)
	for _, s := range shell {
		count[s]++
	}
	for i := range ss {
		ss[i] = Shell{T: make([]uint32, 0, count[i]), Box: vec.Empty(), Parent: -1}
	}
	seen := make([]bool, len(m.V))
	var twice = make([]float64, n)
	for t, s := range shell {
		a, b, c := m.Corners(t)
		sh := &ss[s]
		sh.T = append(sh.T, uint32(t))
		twice[s] += b.Sub(a).Cross(c.Sub(a)).Len()
		for _, v := range m.T[t] {
			if !seen[v] { // a vertex belongs to one shell only
				seen[v] = true
				sh.V++
				sh.Box = sh.Box.With(m.V[v])
			}
		}
	}
	for i, e := range m.edgeCounts(shell, n) {
		ss[i].E = e
		ss[i].Area = twice[i] / 2
		ss[i].Volume = m.volumeOf(ss[i].T, ss[i].Box)
	}
	if n > 1 {
		m.nest(ss, shell, tree)
	}
	return ss
}

// Void reports whether s is a hollow in a body: it lies in an odd number of
// shells and faces inwards.
func (s *Shell) Void() bool { return s.Depth%2 == 1 && s.Volume < 0 }

// Bodies pairs the given shells of a mesh: every shell is a body of its own
// but for the voids, which belong to the shell directly around them. Whether a
// shell may stand where it does and face as it does is for a judge to say.
func Bodies(ss []Shell) []Body {
	at := make([]int, len(ss))
	var bs []Body
	for i := range ss {
		if !ss[i].Void() {
			at[i] = len(bs)
			bs = append(bs, Body{Outer: i})
		}
	}
	for i := range ss {
		if ss[i].Void() { // its parent lies in an even number of shells
			b := &bs[at[ss[i].Parent]]
			b.Voids = append(b.Voids, i)
		}
	}
	return bs
}

// Bodies returns the lumps of matter in the order of their outer shells.
func (m *Mesh) Bodies() []Body { return Bodies(m.Shells()) }

// Genus returns the number of handles of the whole surface: the sum over its
// shells.
func (m *Mesh) Genus() int {
	g := 0
	for _, s := range m.Shells() {
		g += s.Genus()
	}
	return g
}

// Whole reports whether all triangles hang together: at most one shell.
func (m *Mesh) Whole() bool {
	_, n := m.components()
	return n <= 1
}

// components gives every triangle the number of its shell, numbered by first
// triangle.
func (m *Mesh) components() (shell []uint32, n int) {
	hang := NewSets(len(m.V))
	for _, t := range m.T {
		hang.Join(t[0], t[1])
		hang.Join(t[0], t[2])
	}
	name := make([]uint32, len(m.V)) // of the root, + 1
	shell = make([]uint32, len(m.T))
	for i, t := range m.T {
		r := hang.Root(t[0])
		if name[r] == 0 {
			n++
			name[r] = uint32(n)
		}
		shell[i] = name[r] - 1
	}
	return shell, n
}

// edgeCounts returns how many different edges each shell has.
func (m *Mesh) edgeCounts(shell []uint32, n int) []int {
	count := make([]int, n)
	start := make([]uint32, len(m.V)+1)
	each := func(f func(lo, hi uint32, t int)) {
		for t, v := range m.T {
			for k := range 3 {
				a, b := v[k], v[(k+1)%3]
				if a != b {
					f(min(a, b), max(a, b), t)
				}
			}
		}
	}
	each(func(lo, _ uint32, _ int) { start[lo+1]++ })
	for i := range m.V {
		start[i+1] += start[i]
	}
	other := make([]uint32, start[len(m.V)])
	fill := slices.Clone(start)
	of := make([]uint32, len(m.V)) // shell of the vertex
	each(func(lo, hi uint32, t int) {
		other[fill[lo]] = hi
		fill[lo]++
		of[lo] = shell[t]
	})
	for v := range m.V {
		o := other[start[v]:start[v+1]]
		sortFew(o)
		count[of[v]] += len(slices.Compact(o))
	}
	return count
}

// sortFew sorts what is mostly a few numbers: the edges of a vertex.
func sortFew(s []uint32) {
	if len(s) > 16 { // where slices.Sort begins to do more than this
		slices.Sort(s)
		return
	}
	for i := 1; i < len(s); i++ {
		for k := i; k > 0 && s[k] < s[k-1]; k-- {
			s[k], s[k-1] = s[k-1], s[k]
		}
	}
}
