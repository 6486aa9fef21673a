package contour

import (
	"math/bits"

	"waxwright/geom/mesh/exact"
	"waxwright/geom/vec"
)

// sheets watches over the places of a plot where sheets of the surface come
// close: there new triangles are tested against all others. Elsewhere sheets
// are farther apart than two tolerances and can't meet.
type sheets struct {
	r    *reducer
	any  bool
	lo   vec.P
	inv  float64 // cells to the mm
	dim  [3]int
	all  cells     // hold all watched ones
	row  []uint64  // of cells along x: a bit for each watched one
	slot []int32   // list of each watched cell
	list [][]int32 // triangles whose boxes meet the cell, and some that did
	used int
}

// sheetCells is a plot's size in cells, as many as a row has bits, and
// leastSheetCell their least size in mm.
const (
	sheetCells     = 64
	leastSheetCell = 0.02
)

// starShare is the share of a vertex's triangles that is nearest to it: what
// lies beyond is watched for the sake of their other corners.
const starShare = 0.6

// astride is a triangle that does not lie within one plot, and its box.
type astride struct {
	t   int32
	box vec.Box
}

// straddling finds the triangles that do not lie within one plot: they stay as
// they are until the plots are cut anew.
func (r *reducer) straddling() {
	r.astride = r.astride[:0]
	for t := range len(r.org) / 3 {
		a, b, c := r.org[3*t], r.org[3*t+1], r.org[3*t+2]
		if a == dead || r.plotOf[a] == r.plotOf[b] && r.plotOf[b] == r.plotOf[c] {
			continue
		}
		r.astride = append(r.astride, astride{int32(t), vec.BoxOf(r.at[a], r.at[b], r.at[c])})
	}
}

// enter makes ready for a plot. In the first pass the close places are those
// of the plot's own vertices, later those of all that there ever were.
func (s *sheets) enter(r *reducer, p *plot, first bool) {
	s.r, s.any, s.used = r, false, 0
	mark := func(u uint32) {
		reach := starShare * float64(r.tight[u])
		b := vec.BoxOf(r.at[u]).Grow(reach)
		if reach == 0 || !meets(b, p.box) {
			return
		}
		if !s.any {
			s.any = true
			s.lay(p.box)
		}
		s.watch(s.within(b))
	}
	if first {
		for i := range p.verts {
			mark(p.vertex(i))
		}
	} else {
		for _, u := range r.spots {
			mark(u)
		}
	}
	if !s.any {
		return
	}
	for i := range p.verts {
		for e := r.out[p.vertex(i)]; ; {
			if a, b := r.dest(e), r.org[prev(e)]; e%3 == 0 && r.plotOf[a] == p.number && r.plotOf[b] == p.number {
				s.put(e/3, vec.BoxOf(r.at[r.org[e]], r.at[a], r.at[b]))
			}
			if e = r.turn(e); e == r.out[p.vertex(i)] {
				break
			}
		}
	}
	for _, a := range r.astride {
		if meets(a.box, p.box) {
			s.put(a.t, a.box)
		}
	}
}

func meets(a, b vec.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X &&
		a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y &&
		a.Min.Z <= b.Max.Z && b.Min.Z <= a.Max.Z
}

// lay lays the grid over a box, nothing watched.
func (s *sheets) lay(b vec.Box) {
	size := b.Size()
	s.lo = b.Min
	s.inv = 1 / max(max(size.X, size.Y, size.Z)/sheetCells*(1+1e-9), leastSheetCell)
	n := 1
	for i, l := range [3]float64{size.X, size.Y, size.Z} {
		s.dim[i] = int(l*s.inv) + 1
		n *= s.dim[i]
	}
	s.all = cells{lo: s.dim}
	if cap(s.slot) < n {
		s.slot = make([]int32, n)
		s.row = make([]uint64, n)
	}
	s.slot, s.row = s.slot[:n], s.row[:s.dim[1]*s.dim[2]]
	clear(s.row)
}

// cells is a box of cells, hi included.
type cells struct{ lo, hi [3]int }

// within returns the cells that a box meets.
func (s *sheets) within(b vec.Box) (c cells) {
	lo, hi := b.Min.Sub(s.lo).Mul(s.inv), b.Max.Sub(s.lo).Mul(s.inv)
	c.lo = [3]int{int(max(lo.X, 0)), int(max(lo.Y, 0)), int(max(lo.Z, 0))}
	c.hi = [3]int{below(hi.X, s.dim[0]), below(hi.Y, s.dim[1]), below(hi.Z, s.dim[2])}
	return c
}

// below returns the cell of x among n, -1 before the first.
func below(x float64, n int) int {
	if x < 0 {
		return -1
	}
	return int(min(x, float64(n-1)))
}

func (c *cells) has(x, y, z int) bool {
	return c.lo[0] <= x && x <= c.hi[0] && c.lo[1] <= y && y <= c.hi[1] && c.lo[2] <= z && z <= c.hi[2]
}

// watch gives each of the cells a list.
func (s *sheets) watch(c cells) {
	for i := range 3 {
		s.all.lo[i], s.all.hi[i] = min(s.all.lo[i], c.lo[i]), max(s.all.hi[i], c.hi[i])
	}
	for z := c.lo[2]; z <= c.hi[2]; z++ {
		for y := c.lo[1]; y <= c.hi[1]; y++ {
			r := z*s.dim[1] + y
			for x := c.lo[0]; x <= c.hi[0]; x++ {
				if s.row[r]>>x&1 != 0 {
					continue
				}
				if s.used == len(s.list) {
					s.list = append(s.list, nil)
				}
				s.list[s.used] = s.list[s.used][:0]
				s.row[r] |= 1 << x
				s.slot[r*s.dim[0]+x] = int32(s.used)
				s.used++
			}
		}
	}
}

// watched calls f for the watched cells among c until it returns false.
func (s *sheets) watched(c cells, f func(x, y, z int, list *[]int32) bool) {
	for i := range 3 {
		c.lo[i], c.hi[i] = max(c.lo[i], s.all.lo[i]), min(c.hi[i], s.all.hi[i])
		if c.lo[i] > c.hi[i] {
			return
		}
	}
	span := ^uint64(0) << c.lo[0] & (^uint64(0) >> (63 - c.hi[0]))
	for z := c.lo[2]; z <= c.hi[2]; z++ {
		for y := c.lo[1]; y <= c.hi[1]; y++ {
			r := z*s.dim[1] + y
			for m := s.row[r] & span; m != 0; m &= m - 1 {
				x := bits.TrailingZeros64(m)
				if !f(x, y, z, &s.list[s.slot[r*s.dim[0]+x]]) {
					return
				}
			}
		}
	}
}

// put lists a triangle in the watched cells that its box meets.
func (s *sheets) put(t int32, b vec.Box) {
	s.watched(s.within(b), func(_, _, _ int, list *[]int32) bool {
		*list = append(*list, t)
		return true
	})
}

// touches reports whether there is a watched cell near any of the triangles.
func (s *sheets) touches(made []facet) bool {
	if !s.any || len(made) == 0 {
		return false
	}
	b := vec.BoxOf(made[0].p[:]...)
	for i := 1; i < len(made); i++ {
		b = b.With(made[i].p[1]).With(made[i].p[2])
	}
	found := false
	s.watched(s.within(b), func(_, _, _ int, _ *[]int32) bool {
		found = true
		return false
	})
	return found
}

// add lists triangles that are to take the place of those of their numbers,
// where these are not listed already.
func (s *sheets) add(made []facet) {
	if !s.touches(made) {
		return
	}
	for i := range made {
		f := &made[i]
		_, p := s.r.corners(f.id)
		old := s.within(vec.BoxOf(p[:]...))
		s.watched(s.within(vec.BoxOf(f.p[:]...)), func(x, y, z int, list *[]int32) bool {
			if !old.has(x, y, z) {
				*list = append(*list, f.id)
			}
			return true
		})
	}
}

// crossing reports whether one of the new triangles crosses another in a
// watched place. They take the place of those of vertex u (dead for none) and
// of their own numbers.
func (s *sheets) crossing(made []facet, u uint32) bool {
	if !s.touches(made) {
		return false
	}
	for i := range made {
		f := &made[i]
		hit := false
		s.watched(s.within(vec.BoxOf(f.p[:]...)), func(_, _, _ int, list *[]int32) bool {
			hit = s.meetsOne(list, f, made, u)
			return !hit
		})
		if hit {
			return true
		}
	}
	return false
}

// meetsOne is crossing for one new triangle and one list, from which it takes
// the triangles that are gone.
func (s *sheets) meetsOne(list *[]int32, f *facet, made []facet, u uint32) bool {
	l := *list
next:
	for k := 0; k < len(l); k++ {
		t := l[k]
		v, p := s.r.corners(t)
		if v[0] == dead {
			l[k] = l[len(l)-1]
			l = l[:len(l)-1]
			*list = l
			k--
			continue
		}
		if v[0] == u || v[1] == u || v[2] == u {
			continue
		}
		for j := range made {
			if made[j].id == t {
				continue next
			}
		}
		if cross(f, v, p) {
			return true
		}
	}
	return false
}

// corners returns a triangle's vertices and their places.
func (r *reducer) corners(t int32) (v [3]uint32, p [3]vec.P) {
	copy(v[:], r.org[3*t:])
	if v[0] == dead {
		return v, p
	}
	return v, [3]vec.P{r.at[v[0]], r.at[v[1]], r.at[v[2]]}
}

// cross reports whether the triangles meet elsewhere than in corners that they
// share. Triangles in one plane are taken not to, nor those that share a
// corner and leave it to one side; those that touch may be taken to.
func cross(f *facet, v [3]uint32, p [3]vec.P) bool {
	theirs := sides(f.n, &f.p, &p)
	if sum := theirs[0] + theirs[1] + theirs[2]; sum == 3 || sum == -3 || theirs == [3]int{} {
		return false
	}
	shared, i, j := 0, 0, 0
	for a := range 3 {
		for b := range 3 {
			if f.v[a] == v[b] {
				shared++
				i, j = a, b
			}
		}
	}
	if shared > 1 {
		return false
	}
	if shared == 1 && theirs[(j+1)%3]*theirs[(j+2)%3] >= 0 {
		return false
	}
	mine := sides(p[1].Sub(p[0]).Cross(p[2].Sub(p[0])).Unit(), &p, &f.p)
	if shared == 1 { // the sides opposite the shared corner
		return pierces(&f.p, mine, (i+1)%3, &p) || pierces(&p, theirs, (j+1)%3, &f.p)
	}
	if sum := mine[0] + mine[1] + mine[2]; sum == 3 || sum == -3 {
		return false
	}
	for k := range 3 {
		if pierces(&f.p, mine, k, &p) || pierces(&p, theirs, k, &f.p) {
			return true
		}
	}
	return false
}

// roundings is more in mm than what rounding errors make of a distance from a
// plane, within a metre of the origin.
const roundings = 1e-9

// sides tells on which side of the plane of triangle t with unit normal n the
// corners of triangle p lie: -1, 0 or 1.
func sides(n vec.P, t, p *[3]vec.P) (s [3]int) {
	for i := range p {
		if d := n.Dot(p[i].Sub(t[0])); d > roundings {
			s[i] = 1
		} else if d < -roundings {
			s[i] = -1
		}
	}
	return s
}

// pierces reports whether side k of triangle p, whose corners lie on the given
// sides of triangle t's plane, meets t and does not lie in its plane.
func pierces(p *[3]vec.P, sides [3]int, k int, t *[3]vec.P) bool {
	l := (k + 1) % 3
	if sides[k] == sides[l] {
		return false
	}
	a, b := p[k], p[l]
	x, y, z := exact.Side(a, b, t[0], t[1]), exact.Side(a, b, t[1], t[2]), exact.Side(a, b, t[2], t[0])
	return x >= 0 && y >= 0 && z >= 0 || x <= 0 && y <= 0 && z <= 0
}
