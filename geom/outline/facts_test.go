package outline

import (
	"math"
	"testing"

	"waxwright/geom/vec"
)

// turned returns the volume that o, right of x = 0, makes when it is turned
// about x = 0: area times the way of its centroid (Pappus; 09-033).
func turned(o Outline) float64 { return 2 * math.Pi * o.Centroid().X * o.Area() }

// Volumes of solids of revolution from area and centroid of their sections,
// against closed formulas. The numbers in brackets are the facts of the
// project's reference table of geometry and their sources.
func TestPappus(t *testing.T) {
	// cap of a sphere r = 5, h = 2: base radius 4
	half := math.Acos(3. / 5)
	capOf := Loop{{At: vec.P2{Y: 3}}, {At: vec.P2{X: 4, Y: 3}, Bulge: math.Tan(half / 4)}, {At: vec.P2{Y: 5}}}
	// napkin ring of height 2 h' = 6 from a sphere r = 5: hole radius 4
	ringSweep := 2 * math.Asin(3./5)
	napkin := Loop{{At: vec.P2{X: 4, Y: -3}, Bulge: math.Tan(ringSweep / 4)}, {At: vec.P2{X: 4, Y: 3}}}
	for _, c := range []struct {
		name  string
		of    Outline
		want  float64
		slack float64
	}{
		// Spiegel, Mathematical Handbook, 1968 (09-020); 09-022
		{"torus R 8.5 r 0.8", must(Circle(0.8)).Moved(vec.P2{X: 8.5}), 107.381296, 5e-7},
		{"torus, formula", must(Circle(0.7)).Moved(vec.P2{X: 3}), 2 * math.Pi * math.Pi * 3 * 0.49, 1e-12},
		// pi h^2 (3r-h)/3: constructionwork.com, volume formulas (09-023); 09-025
		{"cap r 5 h 2", must(New(capOf)), 54.454273, 5e-7},
		// 09-027: crown of a 6.5 mm stone
		{"frustum", must(Polygon(vec.P2{}, vec.P2{X: 3.25}, vec.P2{X: 1.8525, Y: 0.9425}, vec.P2{Y: 0.9425})), 19.754361, 5e-7},
		// pi h^3/6, whatever the sphere (09-032, from memory)
		{"napkin ring h 6", must(New(napkin)), math.Pi * 36, 1e-11},
		// pi (d t + t^2) w (09-034)
		{"flat band", must(RoundedRect(1.5, 4, 0)).Moved(vec.P2{X: 17.35/2 + 0.75}), 355.3141, 5e-5},
		// cone : half ball : cylinder = 1 : 2 : 3, Archimedes (09-028)
		{"cone", must(Polygon(vec.P2{}, vec.P2{X: 2}, vec.P2{Y: 2})), math.Pi * 8 / 3, 1e-12},
		{"half ball", must(New(Loop{{At: vec.P2{X: 2}, Bulge: quarterBulge}, {At: vec.P2{Y: 2}}, {}})), math.Pi * 16 / 3, 1e-12},
		{"cylinder", must(Polygon(vec.P2{}, vec.P2{X: 2}, vec.P2{X: 2, Y: 2}, vec.P2{Y: 2})), math.Pi * 8, 1e-12},
	} {
		near(t, c.name, turned(c.of), c.want, c.slack)
	}
	// torus area 4 pi^2 R r from the length of the section (09-021; 09-022)
	near(t, "torus area", must(Circle(0.8)).Length()*2*math.Pi*8.5, 268.453240, 5e-7)
	// centroid of a half disc: 4r/(3 pi) from its straight side (Archimedes)
	o := must(New(Loop{{At: vec.P2{X: 3}, Bulge: 1}, {At: vec.P2{X: -3}}}))
	near(t, "half disc", o.Centroid().Y, 4/math.Pi, 1e-14)
}

// Rings of n circles of radius 1 (09-004 to 09-012): the ring radius, the
// circle in the middle, and the gap that closes (09-013).
func TestRingsOfCircles(t *testing.T) {
	for _, c := range []struct {
		n         int
		r, centre float64
	}{
		{3, 1.154701, 0.154701}, {4, 1.414214, 0.414214}, {5, 1.701302, 0.701302}, {6, 2, 1},
		{8, 2.613126, 1.613126}, {10, 3.236068, 2.236068}, {12, 3.863703, 2.863703},
		{16, 5.125831, 4.125831}, {24, 7.661298, 6.661298},
	} {
		const gap = 1e-3
		ring := (1 + gap/2) / math.Sin(math.Pi/float64(c.n))
		near(t, "ring", ring/(1+gap/2), c.r, 5e-7)
		var loops []Loop
		for i := range c.n {
			loops = append(loops, circle(vec.Bearing(ring, 2*math.Pi*float64(i)/float64(c.n)), 1))
		}
		o := must(New(loops...))
		near(t, "middle", o.Dist(vec.P2{}), c.centre, 5e-7+c.r*gap/2)
		if k := len(must(o.Offset(gap * 0.499)).Loops); k != c.n {
			t.Errorf("%d circles grown by less than half their gap make %d loops", c.n, k)
		}
		// grown over the gap they join to a ring: its outside and its inside
		if k := len(must(o.Offset(gap * 0.501)).Loops); k != 2 {
			t.Errorf("%d circles grown by more than half their gap make %d loops", c.n, k)
		}
	}
}

// The circle between three that touch each other: radii from Descartes'
// theorem, k4 = k1+k2+k3 + 2 sqrt(k1k2+k2k3+k3k1) (09-015 to 09-019).
func TestSoddyCircle(t *testing.T) {
	for _, c := range []struct{ a, b, c, inner float64 }{
		{1, 1, 1, 0.154700538}, {1, 2, 3, 0.260869565}, {2, 2, 3, 0.349545417}, {3, 3, 1, 0.291502622},
	} {
		// circles a and b on the x axis, c above; a hair apart so as not to touch
		pa, pb := vec.P2{}, vec.P2{X: c.a + c.b}
		x := ((c.a+c.c)*(c.a+c.c) - (c.b+c.c)*(c.b+c.c) + pb.X*pb.X) / (2 * pb.X)
		pc := vec.P2{X: x, Y: math.Sqrt((c.a+c.c)*(c.a+c.c) - x*x)}
		const hair = 1e-8
		o := must(New(circle(pa, c.a-hair), circle(pb, c.b-hair), circle(pc, c.c-hair)))
		// the point of the pocket farthest from all three
		p := pa.Add(pb).Add(pc).Mul(1. / 3)
		for step := 0.5; step > 1e-12; step *= 0.7 {
			for _, d := range []vec.P2{{X: step}, {X: -step}, {Y: step}, {Y: -step}, {X: step, Y: step}, {X: -step, Y: -step}, {X: step, Y: -step}, {X: -step, Y: step}} {
				if q := p.Add(d); o.Dist(q) > o.Dist(p) && q.Sub(pa).Len() < c.a+c.inner*2 && q.Sub(pb).Len() < c.b+c.inner*2 && q.Sub(pc).Len() < c.c+c.inner*2 {
					p = q
				}
			}
		}
		near(t, "inner circle", o.Dist(p), c.inner, 1e-7)
	}
}
