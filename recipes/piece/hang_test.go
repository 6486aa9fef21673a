package piece

import (
	"math"
	"testing"

	"waxwright/geom/vec"
)

// chain hangs a plate from another by n links of the bore 2.4, eyes of radius 1
// at the bottom of the upper and the top of the lower plate.
func chain(n int, lie float64) []vec.Place {
	up := eye{At: vec.P{Y: -9}, R: 1}
	s, c := math.Sincos(lie)
	down := eye{At: vec.P{X: -6 * s, Y: 6 * c}, R: 1} // at the top once it lies so
	link := eye{R: 1.2}
	cs := []hung{{From: -1}}
	hold := up
	for range n {
		cs = append(cs, hung{From: len(cs) - 1, Hold: hold, By: link, Turn: quarter})
		hold = link
	}
	cs = append(cs, hung{From: len(cs) - 1, Hold: hold, By: down, Turn: quarter, Lie: lie})
	order := make([]int, len(cs))
	for i := range order {
		order[i] = i
	}
	return hang(cs, order)
}

func TestHang(t *testing.T) {
	for _, lie := range []float64{0, math.Pi / 4} {
		for n := 1; n <= 5; n++ {
			poses := chain(n, lie)
			last := poses[len(poses)-1]
			// The bores rest on each other, so the drop from eye to eye is the
			// sum of the bores between: R + n bores + R.
			want := -9 - 1 - 2.4*float64(n) - 1
			s, c := math.Sincos(lie)
			got := last.Point(vec.P{X: -6 * s, Y: 6 * c})
			if got.Sub(vec.P{Y: want}).Len() > 1e-12 {
				t.Errorf("%d links: the lower eye hangs at %v, want y %g", n, got, want)
			}
			// Parity: with an odd number of links the drop faces forward.
			front := last.Dir(vec.P{Z: 1})
			if n%2 == 1 && front.Sub(vec.P{Z: 1}).Len() > 1e-12 {
				t.Errorf("%d links: the drop faces %v, not forward", n, front)
			}
			if n%2 == 0 && math.Abs(front.Z) > 1e-12 {
				t.Errorf("%d links: the drop faces %v, not sideways", n, front)
			}
			for i := 1; i < len(poses)-1; i++ { // neighbours lie across each other
				if d := poses[i].Z.Dot(poses[i-1].Z); math.Abs(d) > 1e-12 {
					t.Errorf("link %d of %d is not turned a quarter: %g", i, n, d)
				}
			}
		}
	}
}
