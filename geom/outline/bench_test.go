package outline

import (
	"fmt"
	"math"
	"testing"

	"waxwright/geom/vec"
)

func BenchmarkDist(b *testing.B) {
	for _, lobes := range []int{0, 4, 16, 100, 1000} {
		o := must(Circle(13))
		if lobes > 0 {
			o = must(Scallop(26, lobes, DeepestNotch(26, lobes)/2, 0))
		}
		b.Run(fmt.Sprintf("spans=%d", len(o.Loops[0])), func(b *testing.B) {
			sum := 0.0
			for i := range b.N {
				sum += o.Dist(vec.Bearing(math.Mod(float64(i)*0.37, 16), float64(i)))
			}
			if math.IsNaN(sum) {
				b.Fatal(sum)
			}
		})
	}
}

func BenchmarkOffset(b *testing.B) {
	o := must(Scallop(26, 12, 1, 0.2))
	for range b.N {
		if _, err := o.Offset(-0.9); err != nil {
			b.Fatal(err)
		}
	}
}
