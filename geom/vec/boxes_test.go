package vec

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Boxes finds what looking at each box finds, on whole numbers so that many
// touch, and with boxes that are empty or have no end among them.
func TestBoxes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(-6, 6)
		box := rapid.Custom(func(t *rapid.T) Box {
			switch at.Draw(t, "kind") {
			case 0:
				return Empty()
			case 1:
				return Everywhere()
			}
			p := func() P {
				return P{float64(at.Draw(t, "x")), float64(at.Draw(t, "y")), float64(at.Draw(t, "z"))}
			}
			return Box{p(), p()} // empty, too, more often than not
		})
		all := rapid.SliceOfN(box, 0, 40).Draw(t, "boxes")
		b := box.Draw(t, "box")
		var want []int
		for i, c := range all {
			if !c.IsEmpty() && !c.Intersect(b).IsEmpty() {
				want = append(want, i)
			}
		}
		if got := NewBoxes(all).Meeting(b); !slices.Equal(got, want) {
			t.Errorf("%v of %v meet %v, not %v", got, all, b, want)
		}
	})
}
