package contour

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Specks: where faces nearly meet, the signs at the corners of the finest cells
// can cut off a closed shell of a few triangles that is next to nothing. It is
// taken out and reported. So is one that faces inwards without being a void: what
// is thinner than its cells, as much may be where cells have one size, can be meshed
// with its two sides exchanged.

// A shell is a speck when its volume over its area is less than this share of
// the tolerance (for a ball a third of the radius), and when it is no longer
// than so many tolerances.
const (
	speckThick = 1.0 / 6
	speckLong  = 10
)

// shellSums are what is summed over a shell's triangles.
type shellSums struct {
	volume, area float64
	box          vec.Box
	tags         [2]uint32 // least and greatest
}

// sumShells returns the sums of every shell, and what tells the number of the shell of
// a triangle.
func sumShells(m *mesh.Mesh) (shells []shellSums, of func(t [3]uint32) int) {
	hang := mesh.NewSets(len(m.V))
	for _, t := range m.T {
		hang.Join(t[0], t[1])
		hang.Join(t[0], t[2])
	}
	number := map[uint32]int{}
	for i, t := range m.T {
		r := hang.Root(t[0])
		k, ok := number[r]
		if !ok {
			k = len(shells)
			number[r] = k
			shells = append(shells, shellSums{box: vec.Empty(), tags: [2]uint32{m.Tag[i], m.Tag[i]}})
		}
		s := &shells[k]
		o := m.V[r] // near, so that little is lost to rounding
		a, b, c := m.V[t[0]].Sub(o), m.V[t[1]].Sub(o), m.V[t[2]].Sub(o)
		s.volume += a.Dot(b.Cross(c)) / 6
		s.area += b.Sub(a).Cross(c.Sub(a)).Len() / 2
		s.box = s.box.With(m.V[t[0]]).With(m.V[t[1]]).With(m.V[t[2]])
		s.tags = [2]uint32{min(s.tags[0], m.Tag[i]), max(s.tags[1], m.Tag[i])}
	}
	return shells, func(t [3]uint32) int { return number[hang.Root(t[0])] }
}

// dropSpecks takes the specks out of m and adds their places to spots.
func dropSpecks(m *mesh.Mesh, tol float64, spots []Spot) []Spot {
	shells, shellOf := sumShells(m)
	speck := make([]bool, len(shells))
	any, negative := false, false
	for k, s := range shells {
		size := s.box.Size()
		if max(size.X, size.Y, size.Z) > speckLong*tol || max(s.volume, -s.volume) > speckThick*tol*s.area {
			negative = negative || s.volume < 0
			continue
		}
		speck[k], any = true, true
	}
	if negative {
		for _, t := range inward(m) {
			speck[shellOf(m.T[t])], any = true, true
		}
	}
	for k, s := range shells {
		if size := s.box.Size(); speck[k] {
			width := min(size.X, size.Y, size.Z)
			if width > speckLong*tol { // a sheet aslant
				width = 2 * math.Abs(s.volume) / s.area
			}
			spots = gathered(spots, Spot{s.box.Center(), width, s.tags})
		}
	}
	if !any {
		return spots
	}
	n := 0
	for i, t := range m.T {
		if !speck[shellOf(t)] {
			m.T[n], m.Tag[n] = t, m.Tag[i]
			n++
		}
	}
	m.T, m.Tag = m.T[:n], m.Tag[:n]
	compact(m, nil)
	return spots
}

// inward returns a triangle of each shell that faces inwards where there is no matter
// round it.
func inward(m *mesh.Mesh) (list []uint32) {
	shells := mesh.NewTree(m).Shells()
	for _, s := range shells {
		around := 0
		for p := s.Parent; p >= 0; p = shells[p].Parent {
			if shells[p].Volume > 0 {
				around++
			} else {
				around--
			}
		}
		if s.Volume < 0 && around <= 0 {
			list = append(list, s.T[0])
		}
	}
	return list
}
