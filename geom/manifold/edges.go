package manifold

import (
	"cmp"
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// side is a half-edge kept at its lower vertex.
type side struct{ hi, h uint32 }

// vertexPair is two triangles with the same three vertices.
type vertexPair struct{ t, u uint32 }

// ends returns the vertices a half-edge runs from and to, and the third vertex
// of its triangle.
func (j *judge) ends(h uint32) (from, to, apex uint32) {
	t := &j.m.T[h/3]
	switch h % 3 {
	case 0:
		return t[0], t[1], t[2]
	case 1:
		return t[1], t[2], t[0]
	default:
		return t[2], t[0], t[1]
	}
}

// edges finds the mates of all half-edges and reports edges that are not
// regular, and folds.
func (j *judge) edges() {
	m := j.m
	start := make([]uint32, len(m.V)+1)
	for t, ix := range m.T {
		if j.face[t].same {
			continue
		}
		start[min(ix[0], ix[1])+1]++
		start[min(ix[1], ix[2])+1]++
		start[min(ix[2], ix[0])+1]++
	}
	for v := range m.V {
		start[v+1] += start[v]
	}
	sides := make([]side, start[len(m.V)])
	fill := slices.Clone(start)
	for t, ix := range m.T {
		if j.face[t].same {
			continue
		}
		a := ix[2]
		for k, b := range ix { // from a to b, the half-edge of corner k-1
			lo, hi := min(a, b), max(a, b)
			sides[fill[lo]] = side{hi, uint32(3*t + (k+2)%3)}
			fill[lo]++
			a = b
		}
	}
	j.mate = make([]uint32, 3*len(m.T))
	for h := range j.mate {
		j.mate[h] = none
	}
	j.odd = make([]bool, len(m.V))
	n := len(m.V)
	finds := make([]find, (n+chunk-1)/chunk)
	j.eachChunk(n, func(lo, hi int, b *bag) {
		f := &finds[lo/chunk]
		for v := lo; v < hi; v++ {
			s := sides[start[v]:start[v+1]]
			sortSides(s)
			for len(s) > 0 {
				k := 1
				for k < len(s) && s[k].hi == s[0].hi {
					k++
				}
				j.edge(uint32(v), s[:k], b, f)
				s = s[k:]
			}
		}
	})
	for _, f := range finds {
		j.open = append(j.open, f.open...)
		j.double = append(j.double, f.double...)
		for _, v := range f.odd {
			j.odd[v] = true
		}
	}
}

// find is what a task of edges hands on.
type find struct {
	open   []uint32
	odd    []uint32 // vertices
	double []vertexPair
}

// sortSides orders by the higher vertex, then by half-edge. Most vertices have
// few sides, already in the order of their half-edges.
func sortSides(s []side) {
	if len(s) > 24 {
		slices.SortFunc(s, func(a, b side) int {
			if c := cmp.Compare(a.hi, b.hi); c != 0 {
				return c
			}
			return cmp.Compare(a.h, b.h)
		})
		return
	}
	for i := 1; i < len(s); i++ {
		for k := i; k > 0 && s[k].hi < s[k-1].hi; k-- {
			s[k], s[k-1] = s[k-1], s[k]
		}
	}
}

// edge judges one edge, between v and the higher vertex of s.
func (j *judge) edge(v uint32, s []side, b *bag, f *find) {
	at := func() vec.P { return j.m.V[v].Lerp(j.m.V[s[0].hi], 0.5) }
	if len(s) > 1 {
		j.repeats(s, f)
	}
	if len(s) == 2 {
		g, h := s[0].h, s[1].h
		from, _, _ := j.ends(g)
		if other, _, _ := j.ends(h); from != other {
			j.mate[g], j.mate[h] = h, g
			if angle, ok := j.fold(g, h); ok {
				b.add(Folded, at(), angle, g/3, h/3)
			}
			return
		}
		b.add(Flipped, at(), 0, g/3, h/3)
	} else if len(s) == 1 {
		f.open = append(f.open, s[0].h)
		b.add(Open, at(), 0, s[0].h/3)
	} else {
		ts := make([]uint32, min(len(s), maxNamed))
		for i := range ts {
			ts[i] = s[i].h / 3
		}
		b.add(Crowded, at(), 0, ts...)
	}
	f.odd = append(f.odd, v, s[0].hi)
}

// maxNamed is how many triangles of a crowded edge, or fans of a vertex, a
// defect names.
const maxNamed = 16

// repeats finds triangles with the same three vertices. They show at each of
// their edges; they are taken up at that of their two lowest vertices.
func (j *judge) repeats(s []side, f *find) {
	type tip struct{ apex, t uint32 }
	var room [8]tip
	tips := room[:0]
	for i := range s {
		if _, _, apex := j.ends(s[i].h); apex > s[i].hi {
			tips = append(tips, tip{apex, s[i].h / 3})
		}
	}
	slices.SortFunc(tips, func(a, b tip) int {
		if c := cmp.Compare(a.apex, b.apex); c != 0 {
			return c
		}
		return cmp.Compare(a.t, b.t)
	})
	for i := 1; i < len(tips); i++ {
		if tips[i].apex == tips[i-1].apex {
			f.double = append(f.double, vertexPair{tips[i-1].t, tips[i].t})
		}
	}
}

// fold returns the angle between the triangles of a regular edge, where it is
// under the limit. Slim triangles, whose normal means little, don't count.
func (j *judge) fold(g, h uint32) (float64, bool) {
	a, b := &j.face[g/3], &j.face[h/3]
	dot := a.n.Dot(b.n)
	if dot >= 0 || a.slim || b.slim {
		return 0, false
	}
	angle := math.Atan2(a.n.Cross(b.n).Len(), -dot)
	return angle, angle < j.o.Fold
}

// duplicates reports the repeated triangles that edges has come upon: one
// defect for each triangle beyond the first.
func (j *judge) duplicates() {
	b := bag{keep: j.o.Keep}
	for _, d := range j.double {
		b.add(Duplicate, middle(j.m, d.u), 0, d.t, d.u)
	}
	j.take(&b)
}

// junctions reports vertices of open edges that lie on another open edge,
// within Thin but not at its ends.
func (j *judge) junctions() {
	if len(j.open) == 0 {
		return
	}
	line := &mesh.Mesh{V: j.m.V}
	var ends []uint32
	of := map[uint32]uint32{} // an open half-edge of the vertex
	for _, h := range j.open {
		from, to, _ := j.ends(h)
		line.T = append(line.T, [3]uint32{from, to, to})
		for _, v := range [2]uint32{from, to} {
			if _, seen := of[v]; !seen {
				of[v] = h
				ends = append(ends, v)
			}
		}
	}
	slices.Sort(ends)
	tree := mesh.NewTree(line)
	thin := max(j.o.Thin, 0)
	j.eachChunk(len(ends), func(lo, hi int, b *bag) {
		for _, v := range ends[lo:hi] {
			p := j.m.V[v]
			tree.InBox(vec.BoxOf(p).Grow(thin), func(e uint32) bool {
				from, to, _ := j.ends(j.open[e])
				if v == from || v == to || !onSegment(p, j.m.V[from], j.m.V[to], thin) {
					return true
				}
				b.add(TJunction, p, 0, of[v]/3, j.open[e]/3)
				return false // once for each vertex
			})
		}
	})
}

// onSegment reports whether p lies within tol of the segment ab, further than
// tol from its ends.
func onSegment(p, a, b vec.P, tol float64) bool {
	d := b.Sub(a)
	l := d.Len()
	if l == 0 {
		return false
	}
	along := p.Sub(a).Dot(d) / l
	if along <= tol || along >= l-tol {
		return false
	}
	return p.Sub(a).Cross(d).Len() <= tol*l
}
