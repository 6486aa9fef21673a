package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Reach is never passed by a point of the outline, and is reached by one.
func TestReach(t *testing.T) {
	for _, m := range all() {
		rapid.Check(t, func(t *rapid.T) {
			p := anyPoint(20).Draw(t, "p")
			far, most := m.of.Reach(p), 0.0
			for _, l := range m.of.Loops {
				n := l.Length()
				for i := range 300 {
					q, _ := l.At(n * float64(i) / 300)
					most = max(most, q.Sub(p).Len())
				}
			}
			if step := m.of.Length() / 300; most > far+1e-9 || most < far-step {
				t.Fatalf("%s: reach %g from %v, sampled %g", m.name, far, p, most)
			}
		})
	}
	if got := (Outline{}).Reach(anyPoint(1).Example()); got != 0 || math.IsNaN(got) {
		t.Errorf("the empty outline reaches %g", got)
	}
}
