package patch

import (
	"math"
	"testing"

	"waxwright/geom/manifold"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// rimmed is the volume of a prism of the height h whose one end is rounded with
// radius r: sections further in by s lie where the rounding has fallen by
// r - sqrt(r^2 - (r-s)^2). Simpson's rule over the angle.
func rimmed(t *testing.T, o outline.Outline, h, r float64) float64 {
	area := func(in float64) float64 {
		p, err := o.Offset(-in)
		if err != nil {
			t.Fatal(err)
		}
		return p.Area()
	}
	const n = 200
	sum := 0.0
	for i := range n + 1 {
		cos := math.Cos(math.Pi / 2 * float64(i) / n)
		weight := 2.0 + 2*float64(i&1)
		if i == 0 || i == n {
			weight = 1
		}
		sum += weight * area(r-r*cos) * cos // at the height r sin above the seam
	}
	return area(0)*(h-r) + r*sum*(math.Pi/2/n)/3
}

// Solids of drawn and turned outlines, with corners and rounded ends, and some
// of whose faces pass along one circle.
func TestFaces(t *testing.T) {
	scallop := must(outline.Scallop(4, 5, 0.2, 0))
	pear := must(outline.Pear(2, 3, 0.3))
	pointed := must(outline.Pear(2, 3, 0))
	small := must(outline.Pear(1, 1.5, 0))
	hexagon := must(outline.RegularPolygon(6, 2, 0))
	square := must(outline.RoundedRect(2, 2, 0))
	narrow := must(outline.RoundedRect(2, 2.2, 0.1))
	const bulge = 0.41421356237309503 // a quarter circle
	leaf := must(outline.New(outline.Loop{{At: vec.P2{Y: -1.5}, Bulge: bulge}, {At: vec.P2{Y: 1.5}, Bulge: bulge}}))
	half := must(outline.New(outline.Loop{{At: vec.P2{X: -1.5}}, {At: vec.P2{X: 1.5}, Bulge: 1}}))
	kite := must(outline.New(outline.Loop{{At: vec.P2{Y: -2}}, {At: vec.P2{X: 1}}, {At: vec.P2{Y: 1}}, {At: vec.P2{X: -1}}}))
	turned := must(outline.New(outline.Loop{
		{At: vec.P2{X: 0, Y: 0}}, {At: vec.P2{X: 1.5, Y: 0}, Bulge: bulge}, {At: vec.P2{X: 2, Y: 0.5}}, {At: vec.P2{X: 2, Y: 1}}, {At: vec.P2{X: 0, Y: 1}},
	}))
	// Pappus: the quarter circle's corner, whose centre of area lies 0.2234 r from
	// the two straight lines.
	const corner = (1 - math.Pi/4) * 0.25
	inset := (10 - 3*math.Pi) / (3 * (4 - math.Pi)) * 0.5
	for _, c := range []struct {
		name   string
		f      sdf.Field
		volume float64
		genus  int
	}{
		{"rounded disc", sdf.Prism{Outline: must(outline.Circle(2)), Z0: 0, Z1: 1, RoundTop: 0.3}, rimmed(t, must(outline.Circle(2)), 1, 0.3), 0},
		{"rounded below", sdf.Prism{Outline: pear, Z0: 0, Z1: 1, RoundBottom: 0.2}, rimmed(t, pear, 1, 0.2), 0},
		{"scallop", sdf.Prism{Outline: scallop, Z0: 0, Z1: 1, RoundTop: 0.3}, rimmed(t, scallop, 1, 0.3), 0},
		{"both ends", sdf.Prism{Outline: pear, Z0: 0, Z1: 1, RoundTop: 0.2, RoundBottom: 0.3}, rimmed(t, pear, 1, 0.2) + rimmed(t, pear, 1, 0.3) - pear.Area(), 0},
		{"pointed, rounded", sdf.Prism{Outline: pointed, Z0: 0, Z1: 1, RoundTop: 0.2}, rimmed(t, pointed, 1, 0.2), 0},
		{"pointed, rounded below", sdf.Prism{Outline: pointed, Z0: 0, Z1: 1, RoundBottom: 0.1}, rimmed(t, pointed, 1, 0.1), 0},
		{"narrow tip, rounded", sdf.Prism{Outline: must(outline.Pear(2, 3, 0.05)), Z0: 0, Z1: 1, RoundTop: 0.2}, rimmed(t, must(outline.Pear(2, 3, 0.05)), 1, 0.2), 0},
		{"pointed, rounded, holed at the edge", sdf.Difference{
			From: sdf.Prism{Outline: pointed, Z0: 0, Z1: 1, RoundTop: 0.2},
			Cut:  []sdf.Field{sdf.At(sdf.Cylinder{R: 0.1, Z0: -1, Z1: 2}, vec.Shift(vec.P{Y: 1.2}))},
		}, rimmed(t, pointed, 1, 0.2) - math.Pi*0.01, 1},
		{"square, rounded", sdf.Prism{Outline: square, Z0: 0, Z1: 1, RoundTop: 0.3}, rimmed(t, square, 1, 0.3), 0},
		{"square, narrow corners, rounded", sdf.Prism{Outline: narrow, Z0: 0, Z1: 1, RoundTop: 0.3}, rimmed(t, narrow, 1, 0.3), 0},
		{"square, corners of next to no radius, rounded and cut", sdf.Intersection{
			sdf.Prism{Outline: must(outline.RoundedRect(2, 2, 1e-7)), Z0: 0, Z1: 1, RoundTop: 0.3},
			sdf.HalfSpace{N: vec.P{X: 1}, D: 0},
		}, rimmed(t, square, 1, 0.3) / 2, 0},
		{"hexagon, rounded both ends", sdf.Prism{Outline: hexagon, Z0: 0, Z1: 1, RoundTop: 0.3, RoundBottom: 0.2}, rimmed(t, hexagon, 1, 0.3) + rimmed(t, hexagon, 1, 0.2) - hexagon.Area(), 0},
		{"leaf, rounded", sdf.Prism{Outline: leaf, Z0: 0, Z1: 1, RoundTop: 0.2}, rimmed(t, leaf, 1, 0.2), 0},
		{"half disc, rounded", sdf.Prism{Outline: half, Z0: 0, Z1: 1, RoundTop: 0.2}, rimmed(t, half, 1, 0.2), 0},
		{"kite, rounded below", sdf.Prism{Outline: kite, Z0: 0, Z1: 1, RoundBottom: 0.2}, rimmed(t, kite, 1, 0.2), 0},
		{"hollow with rounded edges", sdf.Difference{
			From: sdf.Box{Half: vec.P{X: 1.5, Y: 1.5, Z: 1.2}},
			Cut:  []sdf.Field{sdf.Prism{Outline: square, Z0: -2, Z1: 1, RoundTop: 0.3}},
		}, 9*2.4 - rimmed(t, square, 2.2, 0.3), 0},
		{"square, rounded, holed at the edges", sdf.Difference{
			From: sdf.Prism{Outline: square, Z0: 0, Z1: 1, RoundTop: 0.3},
			Cut: []sdf.Field{
				sdf.At(sdf.Cylinder{R: 0.1, Z0: -1, Z1: 2}, vec.Shift(vec.P{X: 0.83, Y: 0.87})),
				sdf.At(sdf.Cylinder{R: 0.05, Z0: -1, Z1: 2}, vec.Shift(vec.P{X: -0.7, Y: 0.7})),
			},
		}, rimmed(t, square, 1, 0.3) - math.Pi*0.0125, 2},
		{"pointed", sdf.Prism{Outline: pointed, Z0: 0, Z1: 1}, pointed.Area(), 0},
		{"pointed with a pointed hole", sdf.Difference{
			From: sdf.Prism{Outline: pointed, Z0: 0, Z1: 1},
			Cut:  []sdf.Field{sdf.Prism{Outline: small, Z0: -1, Z1: 2}},
		}, pointed.Area() - small.Area(), 1},
		{"pointed, halved", sdf.Intersection{
			sdf.Prism{Outline: pointed, Z0: 0, Z1: 1}, sdf.HalfSpace{N: vec.P{X: -1}},
		}, pointed.Area() / 2, 0},
		{"hexagon", sdf.Prism{Outline: hexagon, Z0: 0, Z1: 1}, hexagon.Area(), 0},
		{"turned", sdf.Revolve{Outline: turned}, math.Pi*4 - 2*math.Pi*(2-inset)*corner, 0},
		{"cone, halved through its tip", sdf.Intersection{
			sdf.Cone{R0: 0, Z0: 0, R1: 0.5, Z1: 1}, sdf.HalfSpace{N: vec.P{X: -0.8, Y: 0.6}},
		}, math.Pi / 24, 0},
		{"turned, halved through its axis", sdf.Intersection{
			sdf.Revolve{Outline: turned}, sdf.HalfSpace{N: vec.P{X: -1}},
		}, math.Pi*2 - math.Pi*(2-inset)*corner, 0},
		{"three faces at a circle", sdf.Difference{
			From: sdf.Cylinder{R: 2, Z0: -1, Z1: 1},
			Cut:  []sdf.Field{sdf.Cylinder{R: 1, Z0: 0, Z1: 2}, sdf.Cone{R0: 0.5, Z0: -0.5, R1: 1, Z1: 0}},
		}, 8*math.Pi - math.Pi - math.Pi/6*1.75, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, _ := meshed(t, c.f, 0)
			j := manifold.Judge(m)
			if !j.OK() || j.Genus() != c.genus || len(j.Bodies) != 1 {
				t.Errorf("judged: %s", j.String())
			}
			if off, most := math.Abs(j.Volume-c.volume), j.Area*DefaultTol; off > most {
				t.Errorf("volume is %g, not %g", j.Volume, c.volume)
			}
			if j := manifold.Judge(m.Float32().Weld()); !j.OK() {
				t.Errorf("as a file holds it: %s", j.String())
			}
		})
	}
}
