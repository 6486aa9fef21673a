package finding

import (
	"math"
	"testing"
)

// The smallest ring for n equal wires, inside diameter by wire (07-022,
// enclosing circles), and how that falls with published rings.
func TestBundle(t *testing.T) {
	for n, want := range map[int]float64{0: 0, 1: 1, 2: 2, 3: 2.1547, 4: 2.4142, 5: 2.7013, 6: 3, 7: 3} {
		if got := Bundle(n); math.Abs(got-want) > 5e-5 {
			t.Errorf("%d wires need %.4f, published %.4f", n, got, want)
		}
	}
	for n := 1; n < 200; n++ {
		if Bundle(n+1) < Bundle(n) {
			t.Errorf("%d wires need less than %d", n+1, n)
		}
		if density := float64(n) / (Bundle(n) * Bundle(n)); density > math.Pi/math.Sqrt(12) && n > 1 {
			t.Errorf("%d wires fill %.3f of their ring, more than circles can", n, density)
		}
	}
	// 07-015: a ring of 5 mm inside of 16 gauge wire (1.29) has a ratio of 3.87
	// and passes seven of its own wires; 07-021: one of 2.38 inside of 20 gauge
	// (0.81), a ratio of 2.9, five, but not six or seven
	if r := 5 / 1.29; r < Bundle(7) {
		t.Errorf("a ratio of %.2f passes fewer than 7", r)
	}
	if r := 2.38 / 0.81; r < Bundle(5) || r >= Bundle(6) {
		t.Errorf("a ratio of %.2f passes other than 5", r)
	}
}
