package mesh

// Sets are disjoint sets of the numbers 0 to n-1, each of which knows another
// member of its set, or itself (R. Tarjan, Efficiency of a good but not linear set
// union algorithm, 1975; paths are halved).
type Sets []uint32

// NewSets returns n sets of one number each.
func NewSets(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = uint32(i)
	}
	return s
}

// Root returns the least member of the set of v.
func (s Sets) Root(v uint32) uint32 {
	for s[v] != v {
		s[v] = s[s[v]]
		v = s[v]
	}
	return v
}

// Join makes one set of those of a and b.
func (s Sets) Join(a, b uint32) {
	a, b = s.Root(a), s.Root(b)
	s[max(a, b)] = min(a, b)
}
