package outline

import (
	"math"
	"testing"

	"waxwright/geom/vec"
)

// TestInscribed: circles that are known in closed form.
func TestInscribed(t *testing.T) {
	must := func(o Outline, err error) Outline {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	disc := must(Circle(5))
	// a right triangle of legs 6 and 8: (6 + 8 - 10)/2
	triangle := must(Polygon(vec.P2{}, vec.P2{X: 8}, vec.P2{Y: 6}))
	rect := must(RoundedRect(9, 4, 1))
	for _, c := range []struct {
		what  string
		o     Outline
		holes []Outline
		want  float64
	}{
		{"disc", disc, nil, 5},
		{"triangle", triangle, nil, 2},
		{"rectangle", rect, nil, 2},
		{"ring", disc, []Outline{must(Circle(2))}, 1.5},
		{"ring of one outline", must(Ring(5, 2)), nil, 1.5},
		// about (0, y), where the edge and both holes are equally far: 5 - y is
		// the root of 2.5^2 + y^2, less 1
		{"disc beside two holes", disc, []Outline{must(Circle(1)).Moved(vec.P2{X: 2.5}), must(Circle(1)).Moved(vec.P2{X: -2.5})}, 5 - (36-6.25)/12},
		{"nothing", Outline{}, nil, 0},
		{"all cut away", must(Circle(1)), []Outline{disc}, 0},
	} {
		p, r := c.o.Inscribed(c.holes, 1e-3)
		if r > c.want+1e-9 || r < c.want-1e-3 {
			t.Errorf("%s: radius %g, want %g", c.what, r, c.want)
		}
		if d := -c.o.Dist(p); r > 0 && math.Abs(d-r) > 1e-9 && len(c.holes) == 0 {
			t.Errorf("%s: a circle of %g about %v, the edge is %g away", c.what, r, p, d)
		}
	}
}
