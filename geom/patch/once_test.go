package patch

import (
	"context"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/manifold"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Random solids that were refused once: for faces that are narrow beside an arc,
// whose layout turned them inside out, and for a crease that turns sharply (30209),
// which was not known again.
func TestOnceRefused(t *testing.T) {
	draw := rapid.Custom(solids)
	for _, i := range []int{30079, 30143, 30209, 30226, 30278} {
		c := compiled(t, draw.Example(i))
		if refused, what := wrong(c, 0.02); refused || what != "" {
			t.Errorf("solid %d: refused %v, %s", i, refused, what)
		}
	}
}

// A hole in a rounded plate that ends a few micrometres beside a notch, which is
// not snapped.
func TestBesideNotch(t *testing.T) {
	scallop := must(outline.Scallop(14, 9, 0.3, 0))
	spans := scallop.Whole().Spans()
	for _, off := range []float64{2e-3, 3e-3} {
		t.Run(fmt.Sprint(off), func(t *testing.T) {
			s := spans[0] // ends in a notch
			along := s.T1
			at := s.B.Sub(along.Mul(0.5 + off))
			c := compiled(t, sdf.Difference{
				From: sdf.Prism{Outline: scallop, Z0: -1, Z1: 0, RoundTop: 0.25},
				Cut:  []sdf.Field{sdf.At(sdf.Cylinder{R: 0.5, Z0: -2, Z1: 1}, vec.Shift(at.At(0)))},
			})
			o := Options{Tol: 0.01}
			m, _, err := newSnapping(c, o.Tol).builder(context.Background(), o).mesh(false)
			if err != nil {
				t.Fatal(err)
			}
			if j := manifold.Judge(m); !j.OK() || j.Genus() != 0 {
				t.Errorf("judged: %s", j.String())
			}
		})
	}
}
