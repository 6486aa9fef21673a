package vec

import (
	"cmp"
	"slices"
)

// Boxes are many boxes that can be asked which of them meet another, without
// looking at each: they lie in the order in which they begin along x. Where most
// are narrow, an answer takes time in proportion to those abreast of the other.
type Boxes struct {
	all   []Box
	order []int     // of those that are not empty, by where they begin
	far   []float64 // how far along x the first of order, the first two ... reach
}

// NewBoxes takes boxes over; empty ones meet nothing.
func NewBoxes(all []Box) *Boxes {
	s := &Boxes{all: all}
	for i, b := range all {
		if !b.IsEmpty() {
			s.order = append(s.order, i)
		}
	}
	slices.SortStableFunc(s.order, func(i, j int) int { return cmp.Compare(all[i].Min.X, all[j].Min.X) })
	far := Empty().Max.X
	for _, i := range s.order {
		far = max(far, all[i].Max.X)
		s.far = append(s.far, far)
	}
	return s
}

// Meeting returns the indices of the boxes that have a point in common with b,
// in ascending order.
func (s *Boxes) Meeting(b Box) []int {
	var met []int
	first, _ := slices.BinarySearch(s.far, b.Min.X)
	for _, i := range s.order[first:] {
		if s.all[i].Min.X > b.Max.X {
			break
		}
		if !s.all[i].Intersect(b).IsEmpty() {
			met = append(met, i)
		}
	}
	slices.Sort(met)
	return met
}
