package mesh

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestKeys(t *testing.T) {
	f := rapid.OneOf(rapid.Float32(), rapid.SampledFrom([]float32{0, float32(math.Copysign(0, -1)), inf32, -inf32, math.SmallestNonzeroFloat32}))
	rapid.Check(t, func(t *rapid.T) {
		a, b := f.Draw(t, "a"), f.Draw(t, "b")
		if a < b != (toKey(a) < toKey(b)) && a != b {
			t.Fatalf("%g < %g is %v, of keys %v", a, b, a < b, toKey(a) < toKey(b))
		}
		if math.Float32bits(fromKey(toKey(a))) != math.Float32bits(a) {
			t.Fatalf("%g comes back as %g", a, fromKey(toKey(a)))
		}
	})
}
