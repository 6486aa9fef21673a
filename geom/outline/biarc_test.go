package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Area and length of an ellipse: pi a b, and Ramanujan's second formula (1914),
// whose relative error is 3/2^17 h^5 at h = ((a-b)/(a+b))^2: 1e-9 here.
func TestEllipse(t *testing.T) {
	const w, h, tol = 9.0, 7.0, 1e-6
	o := must(Ellipse(w, h, tol))
	a, b := w/2, h/2
	k := (a - b) * (a - b) / ((a + b) * (a + b))
	near(t, "area", o.Area(), math.Pi*a*b, tol*o.Length())
	near(t, "length", o.Length(), math.Pi*(a+b)*(1+3*k/(10+math.Sqrt(4-3*k))), 1e-6)
	near(t, "width", o.Bounds().Size().X, w, 1e-12)
	near(t, "height", o.Bounds().Size().Y, h, 1e-12)
	for _, l := range o.Loops {
		for i := range l {
			if c := CornerOf(l.Span(i), l.Span((i+1)%len(l))); c != Smooth {
				t.Fatalf("segment %d ends in a %v corner", i, c)
			}
		}
	}
}

func TestEllipseStaysWithinItsTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.Float64Range(0.5, 30).Draw(t, "w")
		h := w * rapid.Float64Range(0.1, 10).Draw(t, "ratio")
		tol := math.Pow(10, rapid.Float64Range(-5, -1).Draw(t, "tol")) * min(w, h)
		o, err := Ellipse(w, h, tol)
		if err != nil {
			t.Fatal(err)
		}
		e := ellipse{u: o.Centroid(), a0: 0, sweep: 2 * math.Pi}
		e.u.X, e.u.Y, e.v.X, e.v.Y = w/2, 0, 0, h/2
		for i := range 500 {
			if d := math.Abs(o.Dist(e.at(float64(i) / 500))); d > tol {
				t.Fatalf("the ellipse lies %g off its outline, tolerance %g", d, tol)
			}
		}
		for s := range o.Loops[0] {
			p := o.Loops[0].Span(s).Point(0.3)
			// how far p lies off the ellipse, to first order
			f := 4*p.X*p.X/(w*w) + 4*p.Y*p.Y/(h*h) - 1
			g := math.Hypot(8*p.X/(w*w), 8*p.Y/(h*h))
			if d := math.Abs(f / g); d > 1.1*tol {
				t.Fatalf("the outline lies %g off the ellipse, tolerance %g", d, tol)
			}
		}
	})
}
