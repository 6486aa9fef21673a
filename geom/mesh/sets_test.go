package mesh

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Numbers have the same root where joins link them, and that is the least of them.
func TestSets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const n = 20
		s := NewSets(n)
		same := make([]int, n) // the set of each, relabelled at every join
		for i := range same {
			same[i] = i
		}
		for range rapid.IntRange(0, 30).Draw(t, "joins") {
			a, b := rapid.IntRange(0, n-1).Draw(t, "a"), rapid.IntRange(0, n-1).Draw(t, "b")
			s.Join(uint32(a), uint32(b))
			from, to := same[a], same[b]
			for i := range same {
				if same[i] == from {
					same[i] = to
				}
			}
		}
		for i := range n {
			if got, want := s.Root(uint32(i)), slices.Index(same, same[i]); int(got) != want {
				t.Fatalf("the root of %d is %d, want %d", i, got, want)
			}
		}
	})
}
