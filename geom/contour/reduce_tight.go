package contour

import (
	"math"

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
	cell float64
	dim  [3]int
	slot []int32   // list of each cell, -1 where the surface is alone
	list [][]int32 // triangles whose boxes meet the cell, and some that did
	used int
}

// sheetCells is a plot's size in cells, and leastSheetCell their least size in
// mm.
const (
	sheetCells     = 32
	leastSheetCell = 0.05
)

// straddling finds the triangles that do not lie within one plot: they stay as
// they are until the plots are cut anew.
func (r *reducer) straddling() {
	r.cross, r.crossB = r.cross[:0], r.crossB[:0]
	for t := range len(r.org) / 3 {
		a, b, c := r.org[3*t], r.org[3*t+1], r.org[3*t+2]
		if a == dead || r.plotOf[a] == r.plotOf[b] && r.plotOf[b] == r.plotOf[c] {
			continue
		}
		r.cross = append(r.cross, int32(t))
		r.crossB = append(r.crossB, vec.BoxOf(r.at[a], r.at[b], r.at[c]))
	}
}

// enter makes ready for a plot. In the first pass the close places are those
// of the plot's own vertices, later those of all that there ever were.
func (s *sheets) enter(r *reducer, p *plot, first bool) {
	s.r, s.any, s.used = r, false, 0
	mark := func(u uint32) {
		reach := float64(r.tight[u])
		b := vec.BoxOf(r.at[u]).Grow(reach)
		if reach == 0 || !meets(b, p.box) {
			return
		}
		if !s.any {
			s.any = true
			s.lay(p.box)
		}
		s.cells(b, func(i int) bool {
			if s.slot[i] < 0 {
				if s.used == len(s.list) {
					s.list = append(s.list, nil)
				}
				s.list[s.used] = s.list[s.used][:0]
				s.slot[i] = int32(s.used)
				s.used++
			}
			return true
		})
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
	for i, t := range r.cross {
		if b := r.crossB[i]; meets(b, p.box) {
			s.put(t, b)
		}
	}
}

func meets(a, b vec.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X &&
		a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y &&
		a.Min.Z <= b.Max.Z && b.Min.Z <= a.Max.Z
}

// lay lays the grid over a box.
func (s *sheets) lay(b vec.Box) {
	size := b.Size()
	s.lo = b.Min
	s.cell = max(max(size.X, size.Y, size.Z)/sheetCells*(1+1e-9), leastSheetCell)
	n := 1
	for i, l := range [3]float64{size.X, size.Y, size.Z} {
		s.dim[i] = int(l/s.cell) + 1
		n *= s.dim[i]
	}
	if cap(s.slot) < n {
		s.slot = make([]int32, n)
	}
	s.slot = s.slot[:n]
	for i := range s.slot {
		s.slot[i] = -1
	}
}

// cells calls f for the cells that a box meets until it returns false.
func (s *sheets) cells(b vec.Box, f func(i int) bool) {
	var lo, hi [3]int
	for i, l := range [3][3]float64{{b.Min.X, b.Max.X, s.lo.X}, {b.Min.Y, b.Max.Y, s.lo.Y}, {b.Min.Z, b.Max.Z, s.lo.Z}} {
		lo[i] = int(max(math.Floor((l[0]-l[2])/s.cell), 0))
		hi[i] = int(min(math.Floor((l[1]-l[2])/s.cell), float64(s.dim[i]-1)))
	}
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				if !f((z*s.dim[1]+y)*s.dim[0] + x) {
					return
				}
			}
		}
	}
}

// put lists a triangle in the watched cells that its box meets.
func (s *sheets) put(t int32, b vec.Box) {
	s.cells(b, func(i int) bool {
		if l := s.slot[i]; l >= 0 {
			s.list[l] = append(s.list[l], t)
		}
		return true
	})
}

// add lists new triangles.
func (s *sheets) add(made []facet) {
	if !s.any {
		return
	}
	for i := range made {
		f := &made[i]
		s.put(f.id, vec.BoxOf(f.p[:]...))
	}
}

// crossing reports whether one of the new triangles crosses another in a
// watched place. They take the place of those of vertex u and of their own
// numbers.
func (s *sheets) crossing(made []facet, u uint32) bool {
	if !s.any {
		return false
	}
	r := s.r
	for i := range made {
		f := &made[i]
		box := vec.BoxOf(f.p[:]...)
		hit := false
		s.cells(box, func(c int) bool {
			l := s.slot[c]
			if l < 0 {
				return true
			}
		next:
			for _, t := range s.list[l] {
				v := [3]uint32{r.org[3*t], r.org[3*t+1], r.org[3*t+2]}
				if v[0] == dead || v[0] == u || v[1] == u || v[2] == u {
					continue
				}
				p := [3]vec.P{r.at[v[0]], r.at[v[1]], r.at[v[2]]}
				if f.beside(&p) {
					continue
				}
				for j := range made {
					if made[j].id == t {
						continue next
					}
				}
				if cross(f, v, p) {
					hit = true
					return false
				}
			}
			return true
		})
		if hit {
			return true
		}
	}
	return false
}

// cross reports whether the triangles meet elsewhere than in corners that they
// share. Triangles in one plane are taken not to.
func cross(f *facet, v [3]uint32, p [3]vec.P) bool {
	shared, mine, theirs := 0, 0, 0
	for i := range 3 {
		for j := range 3 {
			if f.v[i] == v[j] {
				shared++
				mine, theirs = i, j
			}
		}
	}
	switch shared {
	case 0:
		for i := range 3 {
			if pierces(f.p[i], f.p[(i+1)%3], p) || pierces(p[i], p[(i+1)%3], f.p) {
				return true
			}
		}
		return false
	case 1: // the sides opposite the shared corner
		return pierces(f.p[(mine+1)%3], f.p[(mine+2)%3], p) ||
			pierces(p[(theirs+1)%3], p[(theirs+2)%3], f.p)
	}
	return false
}

// roundings is more in mm than what rounding errors make of a distance from a
// plane, within a metre of the origin.
const roundings = 1e-9

// beside reports whether a triangle lies on one side of f's plane, or in it.
func (f *facet) beside(p *[3]vec.P) bool {
	a, b, c := f.n.Dot(p[0].Sub(f.p[0])), f.n.Dot(p[1].Sub(f.p[0])), f.n.Dot(p[2].Sub(f.p[0]))
	lo, hi := min(a, b, c), max(a, b, c)
	return lo > roundings || hi < -roundings || hi-lo < roundings
}

// pierces reports whether the segment from a to b meets the triangle and does
// not lie in its plane.
func pierces(a, b vec.P, t [3]vec.P) bool {
	s, e := exact.Side(t[0], t[1], t[2], a), exact.Side(t[0], t[1], t[2], b)
	if s == e { // the same side, or both in the plane
		return false
	}
	x, y, z := exact.Side(a, b, t[0], t[1]), exact.Side(a, b, t[1], t[2]), exact.Side(a, b, t[2], t[0])
	return x >= 0 && y >= 0 && z >= 0 || x <= 0 && y <= 0 && z <= 0
}
