package outline

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"waxwright/geom/vec"
)

func TestPathData(t *testing.T) {
	for _, c := range []struct {
		name, d string
		opt     SVG
		area    float64
		slack   float64
		w, h    float64
		loops   int
	}{
		{"square", "M0 0H10V10H0Z", SVG{}, 100, 1e-12, 10, 10, 1},
		{"relative", "m5,5h10v10h-10z", SVG{}, 100, 1e-12, 10, 10, 1},
		{"compact numbers", "M0-1L.5.5-.5.5z", SVG{}, 0.75, 1e-12, 1, 1.5, 1},
		{"exponents", "M0 0L1e1 0 1E+1,1e1 0 100e-1", SVG{}, 100, 1e-12, 10, 10, 1},
		{"implicit lines", "M0 0 10 0 10 10 0 10", SVG{}, 100, 1e-12, 10, 10, 1},
		{"implicit relative lines", "m0 0 10 0 0 10-10 0", SVG{}, 100, 1e-12, 10, 10, 1},
		{"scaled", "M0 0H10V10H0Z", SVG{Width: 5}, 25, 1e-12, 5, 5, 1},
		{"hole", "M0 0H10V10H0Z M2 2H8V8H2Z", SVG{}, 64, 1e-12, 10, 10, 2},
		{"hole and island, any direction", "M0 0H10V10H0Z m2 2v6h6v-6z m1 1h4v4h-4z", SVG{}, 80, 1e-12, 10, 10, 3},
		{"circle", "M-5 0A5 5 0 0 1 5 0A5 5 0 0 1-5 0", SVG{}, 25 * math.Pi, 1e-12, 10, 10, 1},
		{"compact flags", "M-5 0a5 5 0 0110 0 5 5 0 01-10 0", SVG{}, 25 * math.Pi, 1e-12, 10, 10, 1},
		{"three quarters", "M0 0V-5A5 5 0 1 0 5 0Z", SVG{}, 75. / 4 * math.Pi, 1e-12, 10, 10, 1},
		{"radii scaled up", "M-5 0A1 1 0 0 1 5 0A1 1 0 0 1-5 0", SVG{}, 25 * math.Pi, 1e-12, 10, 10, 1},
		{"radius 0 is a line", "M0 0A0 5 0 0 1 10 0V10H0", SVG{}, 100, 1e-12, 10, 10, 1},
		{"ellipse", "M-5 0A5 3 0 0 1 5 0 5 3 0 0 1-5 0", SVG{Tol: 1e-6}, 15 * math.Pi, 3e-5, 10, 6, 1},
		{"ellipse turned a quarter", "M-3 0A5 3 90 0 1 3 0 5 3 90 0 1-3 0", SVG{Tol: 1e-6}, 15 * math.Pi, 3e-5, 6, 10, 1},
		// the area under a parabola: two thirds of its box
		{"quadratic", "M0 0Q5 10 10 0", SVG{Tol: 1e-6}, 2. / 3 * 50, 3e-5, 10, 5, 1},
		{"smooth quadratic", "M0 0Q5 10 10 0T20 0V20H0", SVG{Tol: 1e-6}, 400, 1e-4, 20, 25, 1},
		// int y dx of a cubic with arms (0,0) (0,10) (10,10) (10,0): 3/5 of 10x10
		{"cubic", "M0 0C0 10 10 10 10 0", SVG{Tol: 1e-6}, 60, 3e-5, 10, 7.5, 1},
		{"smooth cubic", "M0 0C0 10 10 10 10 0S20-10 20 0V20H0", SVG{Tol: 1e-6}, 400, 1e-4, 20, 27.5, 1},
		{"straight cubic", "M0 0C3 0 6 0 10 0V10H0", SVG{}, 100, 1e-12, 10, 10, 1},
		// int y dx of x' = 30 (1-2t)^2, y = 30 t (1-t) is 30
		{"cusp", "M0 0C10 10 0 10 10 0V-10H0", SVG{Tol: 1e-4}, 130, 4e-3, 10, 17.5, 1},
		{"stray points and lines fill nothing", "M50 50 M0 0H10V10H0Z M3 3L4 4", SVG{}, 100, 1e-12, 0, 0, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			o, err := FromSVG(c.d, c.opt)
			if err != nil {
				t.Fatal(err)
			}
			if err := o.Check(); err != nil {
				t.Fatal(err)
			}
			near(t, "area", o.Area(), c.area, c.slack)
			tol := max(c.opt.Tol, 1e-9) * 1.01
			b := o.Bounds()
			if c.w != 0 {
				near(t, "width", b.Size().X, c.w, 2*tol)
				near(t, "middle", b.Center().X, 0, tol)
			}
			if c.h != 0 {
				near(t, "height", b.Size().Y, c.h, 2*tol)
				near(t, "middle", b.Center().Y, 0, tol)
			}
			if len(o.Loops) != c.loops {
				t.Fatalf("%d loops, want %d", len(o.Loops), c.loops)
			}
		})
	}
}

// SVG's y points down: what is drawn above ends above.
func TestPathIsUpright(t *testing.T) {
	o, err := FromSVG("M0 0L10 0L5-20Z", SVG{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tip", o.Dist(vec.P2{Y: 10}), 0, 1e-12)
	near(t, "centroid", o.Centroid().Y, -10./3, 1e-12)
}

func TestPathCurvesStayWithinTolerance(t *testing.T) {
	c := cubic{{X: 0}, {X: 2, Y: 14}, {X: 8, Y: 9}, {X: 10}}
	for _, tol := range []float64{0.1, 0.01, 1e-3, 1e-5} {
		o, err := FromSVG("M0 0C2 14 8 9 10 0Z", SVG{Tol: tol})
		if err != nil {
			t.Fatal(err)
		}
		b := extent(c).With(c[0]).With(c[3])
		for i := range 1000 {
			p := c.at(float64(i) / 999).Sub(b.Center())
			if d := math.Abs(o.Dist(vec.P2{X: p.X, Y: -p.Y})); d > tol {
				t.Fatalf("tolerance %g, but the curve lies %g off", tol, d)
			}
		}
	}
}

func TestPathFaultsHavePlaces(t *testing.T) {
	for _, c := range []struct{ d, want string }{
		{"", "encloses nothing"},
		{"M1 1", "encloses nothing"},
		{"M0 0L5 5Z", "encloses nothing"},
		{"L1 1", "byte 0: 'L' before the first M"},
		{"M0 0X", "byte 4: 'X' is no command"},
		{"M0 0L1", "byte 6: the end where a number is due"},
		{"M0 0L1,,2", "byte 7: ',' where a number is due"},
		{"M0 0L1 1,Z", "byte 9: 'Z' where a number is due"},
		{"M0 0L1e999 0", "byte 5"},
		{"M0 0L1e10 0", "not within 1e+09"},
		{"M0 0A1 1 0 2 0 5 5", "byte 11: '2' where a flag"},
		{"M0 0L\xff", "byte 5"},
		{"M0 0NaN", "byte 4"},
		{"M0 0L10 10V0L0 10Z", "byte 4: what is drawn there crosses what is drawn at byte 12"},
		{"M0 0H10V10H0Z M5 5H15V6H5Z", "crosses"},
		{"M0 0H10V10H0Z M10 5L15 4V6Z", "touches"},
		{"M0 0H10V10H0Z" + strings.Repeat(" ", MostSVG), "bytes"},
		{"M0 0" + strings.Repeat("h1v1", 10001), "more than 20000 segments"},
	} {
		if _, err := FromSVG(c.d, SVG{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.40q: %v, want %q", c.d, err, c.want)
		}
	}
	for _, opt := range []SVG{{Width: -1}, {Width: math.NaN()}, {Tol: -1}, {Width: 1e9}} {
		if _, err := FromSVG("M0 0H1V1Z", opt); err == nil {
			t.Errorf("%+v passes", opt)
		}
	}
	if _, err := FromSVG("M0 0V1Z", SVG{Width: 1}); err == nil {
		t.Error("a path without width is scaled")
	}
}

// Thousands of long slivers side by side: every pair's boxes overlap.
func TestTangleEnds(t *testing.T) {
	var d strings.Builder
	for i := range 2000 {
		fmt.Fprintf(&d, "M%d 0l9999 9999 0 .5z", i)
	}
	if _, err := FromSVG(d.String(), SVG{}); !errors.Is(err, errTangled) {
		t.Fatalf("%v, want %v", err, errTangled)
	}
}

func FuzzFromSVG(f *testing.F) {
	for _, d := range []string{
		"M0 0H10V10H0Z M2 2H8V8H2Z", "M0-1L.5.5-.5.5z", "M-5 0a5 5 0 0110 0 5 5 0 01-10 0",
		"M0 0C10 10 0 10 10 0V-10H0", "M0 0Q5 10 10 0T20 0V20H0", "m0 0 1e9 1e9-1e-9 0z",
		"M0 0A1e9 1 30 1 0 1e-9 0L1 1Z", "M0 0C0 0 0 0 0 0S1 1 1 1V0Z", "M0 0c1e9-1e9 1e9 1e9 0 0z",
		"M0 0A1 1 0 0 1 1e-300 0z", "M1 1zl1 1v9z",
	} {
		f.Add(d, 10.0)
	}
	f.Fuzz(func(t *testing.T, d string, width float64) {
		o, err := FromSVG(d, SVG{Width: width})
		if err != nil {
			if c := (*clash)(nil); errors.As(err, &c) {
				t.Fatalf("an error without its byte: %v", err)
			}
			return
		}
		if err := o.Check(); err != nil {
			t.Fatalf("%q gives an invalid outline: %v", d, err)
		}
		if w := o.Bounds().Size().X; width != 0 && math.Abs(w-width) > 0.01+0.01*width {
			// strays that fill nothing may widen the path
			if !(w < width) {
				t.Fatalf("%q is %g wide, not %g", d, w, width)
			}
		}
	})
}

func ExampleFromSVG() {
	o, err := FromSVG("M0 0H4V3H0Z M1 1H2V2H1Z", SVG{Width: 8})
	fmt.Println(o.Area(), len(o.Loops), err)
	// Output: 44 2 <nil>
}
