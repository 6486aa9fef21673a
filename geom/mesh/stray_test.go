package mesh

import (
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
)

// The farthest of many is the same in any order.
func TestFarther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Stray {
			few := rapid.SampledFrom([]float64{0, 1, 2})
			return Stray{few.Draw(t, "by"), vec.P{X: few.Draw(t, "x"), Y: few.Draw(t, "y"), Z: few.Draw(t, "z")}}
		}), 1, 8).Draw(t, "strays")
		most := func(list []Stray) Stray {
			s := list[0]
			for _, o := range list[1:] {
				s = s.Farther(o)
			}
			return s
		}
		a, b := most(list), most(rapid.Permutation(list).Draw(t, "order"))
		if a != b {
			t.Fatalf("%v in one order, %v in another", a, b)
		}
		for _, s := range list {
			if s.By > a.By {
				t.Fatalf("%v is farther than %v", s, a)
			}
		}
	})
}
