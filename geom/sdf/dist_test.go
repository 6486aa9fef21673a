package sdf_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
)

func must(o outline.Outline, err error) outline.Outline {
	if err != nil {
		panic(err)
	}
	return o
}

// rho is the distance from the z axis.
func rho(p vec.P) float64 { return math.Hypot(p.X, p.Y) }

func within(v, lo, hi float64) bool { return lo < v && v < hi }

// specimen is a field with an inside test that does not use distances.
type specimen struct {
	name   string
	field  sdf.Field
	inside func(vec.P) bool
}

func specimens() []specimen {
	s := math.Sqrt(0.5)
	octahedron := sdf.Facets{}
	for i := range 8 {
		sign := func(bit int) float64 { return float64(1-2*(i>>bit&1)) / math.Sqrt(3) }
		octahedron.Planes = append(octahedron.Planes, sdf.HalfSpace{N: vec.P{X: sign(0), Y: sign(1), Z: sign(2)}, D: 2})
	}
	square := must(outline.RoundedRect(4, 2, 0))
	bar := func(p vec.P) bool { return within(p.X, -2, 2) && within(p.Y, -1, 1) }
	// a bowl: half disc on the axis with a half disc out of its top
	bowl := must(outline.New(outline.Loop{
		{At: vec.P2{Y: -3}, Bulge: math.Tan(math.Pi / 8)}, {At: vec.P2{X: 3}},
		{At: vec.P2{X: 2}, Bulge: -math.Tan(math.Pi / 8)}, {At: vec.P2{Y: -2}},
	}))
	return []specimen{
		{"half-space", sdf.HalfSpace{N: vec.P{X: 0.6, Z: 0.8}, D: 1}, func(p vec.P) bool { return 0.6*p.X+0.8*p.Z < 1 }},
		{"upper half-space", sdf.HalfSpace{N: vec.P{Z: -1}, D: -1}, func(p vec.P) bool { return p.Z > 1 }},
		{"box", sdf.Box{Half: vec.P{X: 1, Y: 2, Z: 0.5}}, func(p vec.P) bool {
			return within(p.X, -1, 1) && within(p.Y, -2, 2) && within(p.Z, -0.5, 0.5)
		}},
		{"sphere", sdf.Sphere{R: 2.5}, func(p vec.P) bool { return p.X*p.X+p.Y*p.Y+p.Z*p.Z < 6.25 }},
		{"cylinder", sdf.Cylinder{R: 2, Z0: -1, Z1: 3}, func(p vec.P) bool { return rho(p) < 2 && within(p.Z, -1, 3) }},
		{"cone", sdf.Cone{R0: 3, R1: 1, Z0: 0, Z1: 4}, func(p vec.P) bool { return within(p.Z, 0, 4) && rho(p) < 3-p.Z/2 }},
		{"sharp cone", sdf.Cone{R0: 3, R1: 0, Z0: 0, Z1: 4}, func(p vec.P) bool { return within(p.Z, 0, 4) && rho(p) < 3-p.Z*3/4 }},
		{"upside-down cone", sdf.Cone{R0: 0, R1: 3, Z0: -2, Z1: 0}, func(p vec.P) bool { return within(p.Z, -2, 0) && rho(p) < 3+p.Z*3/2 }},
		{"torus", sdf.Torus{Major: 3, Minor: 0.8}, func(p vec.P) bool { return math.Hypot(rho(p)-3, p.Z) < 0.8 }},
		{"torus without a hole", sdf.Torus{Major: 1, Minor: 2}, func(p vec.P) bool { return math.Hypot(rho(p)-1, p.Z) < 2 }},
		{"capsule", sdf.Capsule{A: vec.P{Z: -1}, B: vec.P{Z: 2}, R: 0.7}, func(p vec.P) bool {
			return math.Hypot(rho(p), p.Z-max(-1, min(2, p.Z))) < 0.7
		}},
		{"ball-shaped capsule", sdf.Capsule{A: vec.P{X: 1}, B: vec.P{X: 1}, R: 0.7}, nil},
		{"bar", sdf.Prism{Outline: square, Z0: 1, Z1: 2}, func(p vec.P) bool { return bar(p) && within(p.Z, 1, 2) }},
		{"rounded bar", sdf.Prism{Outline: square, Z0: 0, Z1: 2, RoundTop: 0.5}, func(p vec.P) bool {
			d := max(math.Abs(p.X)-2, math.Abs(p.Y)-1)
			return bar(p) && within(p.Z, 0, 2) && (p.Z < 1.5 || d < -0.5 || math.Hypot(d+0.5, p.Z-1.5) < 0.5)
		}},
		{"rounded disc", sdf.Prism{Outline: must(outline.Circle(3)), Z0: -1, Z1: 0, RoundTop: 0.2, RoundBottom: 0.8}, nil},
		{"rounded cushion", sdf.Prism{Outline: must(outline.Cushion(8, 6, 0.5, 1.5)), Z0: -1, Z1: 0, RoundTop: 0.9}, nil},
		{"scallop", sdf.Prism{Outline: must(outline.Scallop(8, 7, 0.6, 0)), Z0: -1, Z1: 0}, nil},
		{"scallop with rounded edges", sdf.Prism{Outline: must(outline.Scallop(8, 7, 0.6, 0.1)), Z0: -1, Z1: 0, RoundTop: 0.3, RoundBottom: 0.1}, nil},
		{"pear with a hole", sdf.Prism{Outline: must(outline.HoleIn(must(outline.Pear(6, 9, 0)), must(outline.Circle(1)))), Z0: -1, Z1: 1}, nil},
		{"bowl", sdf.Revolve{Outline: bowl}, func(p vec.P) bool { r := math.Hypot(rho(p), p.Z); return p.Z < 0 && within(r, 2, 3) }},
		{"ball of revolution", sdf.Revolve{Outline: must(outline.New(outline.Loop{{At: vec.P2{Y: -2}, Bulge: 1}, {At: vec.P2{Y: 2}}}))}, func(p vec.P) bool { return p.Len() < 2 }},
		{"tube", sdf.Revolve{Outline: must(outline.RoundedRect(1, 4, 0)).Moved(vec.P2{X: 2.5})}, func(p vec.P) bool { return within(rho(p), 2, 3) && within(p.Z, -2, 2) }},
		{"rod of revolution", sdf.Revolve{Outline: must(outline.RoundedRect(1, 4, 0)).Moved(vec.P2{X: 0.5})}, func(p vec.P) bool { return rho(p) < 1 && within(p.Z, -2, 2) }},
		{"hook", sdf.Wire{Path: []outline.Seg{{At: vec.P2{Y: -3}}, {At: vec.P2{}, Bulge: -1}, {At: vec.P2{X: 4}}}, R: 0.4}, nil},
		{"straight wire", sdf.Wire{Path: []outline.Seg{{At: vec.P2{Y: -3}}, {At: vec.P2{}}}, R: 0.4}, nil},
		{"jump ring", sdf.Wire{Path: []outline.Seg{{At: vec.P2{X: 2}, Bulge: 1}, {At: vec.P2{X: -2}, Bulge: 1}}, Closed: true, R: 0.4}, func(p vec.P) bool { return math.Hypot(rho(p)-2, p.Z) < 0.4 }},
		{"octahedron", octahedron, func(p vec.P) bool { return math.Abs(p.X)+math.Abs(p.Y)+math.Abs(p.Z) < 2*math.Sqrt(3) }},
		{"wedge", sdf.Facets{Planes: []sdf.HalfSpace{{N: vec.P{X: s, Z: s}}, {N: vec.P{X: s, Z: -s}}}}, func(p vec.P) bool { return p.X+math.Abs(p.Z) < 0 }},
		{"nothing", sdf.Union{}, func(vec.P) bool { return false }},
		{"prism of nothing", sdf.Prism{Z1: 1}, func(vec.P) bool { return false }},
	}
}

func TestPrimitivesConform(t *testing.T) {
	for _, s := range specimens() {
		if s.inside == nil {
			sdftest.Conform(t, s.name, s.field)
			continue
		}
		sdftest.Conform(t, s.name, s.field, s.inside)
	}
}

// Bounds are not only wide enough but tight: every side touches the solid.
func TestBoundsAreTight(t *testing.T) {
	for _, s := range specimens() {
		b := s.field.Bounds()
		if !b.Finite() {
			continue
		}
		// on each side the distance, which is the solid's where it is exact
		// outside, reaches 0 somewhere; walk there from the middle of the side
		if s.field.Exact()&sdf.Outside == 0 {
			continue
		}
		mid := b.Center()
		for i, p := range []vec.P{{X: b.Min.X, Y: mid.Y, Z: mid.Z}, {X: b.Max.X, Y: mid.Y, Z: mid.Z}, {X: mid.X, Y: b.Min.Y, Z: mid.Z}, {X: mid.X, Y: b.Max.Y, Z: mid.Z}, {X: mid.X, Y: mid.Y, Z: b.Min.Z}, {X: mid.X, Y: mid.Y, Z: b.Max.Z}} {
			side := []func(vec.P) vec.P{
				func(q vec.P) vec.P { q.X = p.X; return q },
				func(q vec.P) vec.P { q.Y = p.Y; return q },
				func(q vec.P) vec.P { q.Z = p.Z; return q },
			}[i/2]
			size := b.Size().Len()
			for step := size / 2; step > 1e-9*size; step *= 0.8 {
				for k := range 27 {
					q := side(p.Add(vec.P{X: float64(k%3-1) * step, Y: float64(k/3%3-1) * step, Z: float64(k/9-1) * step}))
					if s.field.Dist(q) < s.field.Dist(p) {
						p = q
					}
				}
			}
			if d := s.field.Dist(p); d > 1e-6 {
				t.Errorf("%s: side %d of %v lies %g off the solid", s.name, i, b, d)
			}
		}
	}
	// exact inside only, with known corners
	for _, s := range specimens() {
		if s.name == "octahedron" {
			r := 2 * math.Sqrt(3)
			if b := s.field.Bounds(); b.Min.Add(vec.P{X: r, Y: r, Z: r}).Len() > 1e-7 || b.Max.Sub(vec.P{X: r, Y: r, Z: r}).Len() > 1e-7 {
				t.Errorf("octahedron in %v", b)
			}
		}
	}
	open := sdf.Facets{Planes: []sdf.HalfSpace{{N: vec.P{X: 1}, D: 1}, {N: vec.P{X: -1}, D: 1}, {N: vec.P{Y: 1}, D: 1}, {N: vec.P{Y: -1}, D: 1}}}
	if b := open.Bounds(); b.Finite() {
		t.Errorf("an endless bar is bounded by %v", b)
	}
	shut := sdf.Facets{Planes: append([]sdf.HalfSpace{{N: vec.P{X: 1}, D: -2}, {N: vec.P{Z: 1}, D: 1}, {N: vec.P{Z: -1}, D: 1}}, open.Planes...)}
	if b := shut.Bounds(); !b.IsEmpty() {
		t.Errorf("planes that leave no room are bounded by %v", b)
	}
}

func TestCheckNamesTheValue(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	disc := must(outline.Circle(2))
	type checked interface{ Check() error }
	for _, s := range specimens() {
		c, ok := s.field.(checked)
		if !ok || s.name == "prism of nothing" || s.name == "nothing" {
			continue
		}
		if err := c.Check(); err != nil {
			t.Errorf("%s: %v", s.name, err)
		}
	}
	for _, c := range []struct {
		of   checked
		want string
	}{
		{sdf.HalfSpace{N: vec.P{X: 1, Y: 1}}, "(1, 1, 0) is not a unit vector"},
		{sdf.HalfSpace{N: vec.P{X: nan}}, "unit vector"},
		{sdf.HalfSpace{N: vec.P{X: 1}, D: inf}, "+Inf"},
		{sdf.Box{Half: vec.P{X: 1, Y: -2, Z: 1}}, "y edge -2"},
		{sdf.Sphere{R: nan}, "sphere radius NaN"},
		{sdf.Cylinder{R: 1, Z0: 2, Z1: 1}, "cylinder from z 2 to 1"},
		{sdf.Cylinder{R: 0, Z1: 1}, "cylinder radius 0"},
		{sdf.Cone{R0: -1, R1: 2, Z1: 1}, "radius at the foot -1"},
		{sdf.Cone{Z1: 1}, "larger radius 0"},
		{sdf.Torus{Major: 1, Minor: inf}, "tube radius +Inf"},
		{sdf.Capsule{R: 1, B: vec.P{Y: nan}}, "capsule end"},
		{sdf.Prism{Z1: 1}, "empty outline"},
		{sdf.Prism{Outline: disc}, "no height"},
		{sdf.Prism{Outline: disc, Z1: 1, RoundTop: 0.7, RoundBottom: 0.4}, "more than its height 1"},
		{sdf.Prism{Outline: disc, Z1: 1, RoundTop: nan}, "rounded top NaN"},
		{sdf.Prism{Outline: outline.Outline{Loops: []outline.Loop{{}}}, Z1: 1}, "loop 1"},
		{sdf.Revolve{}, "empty outline"},
		{sdf.Revolve{Outline: disc}, "2 mm across the axis"},
		{sdf.Wire{R: 1}, "0 points"},
		{sdf.Wire{R: -1}, "wire radius -1"},
		{sdf.Wire{R: 1, Path: []outline.Seg{{}, {}}}, "piece 1"},
		{sdf.Wire{R: 1, Path: []outline.Seg{{Bulge: nan}, {At: vec.P2{X: 1}}}}, "bulge NaN"},
		{sdf.Facets{}, "without a plane"},
		{sdf.Facets{Planes: []sdf.HalfSpace{{N: vec.P{X: 1}}, {}}}, "facet 2"},
	} {
		if err := c.of.Check(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%#v: %v, want %q", c.of, err, c.want)
		}
	}
}

func TestTreesConform(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := sdftest.Tree(2).Draw(t, "tree")
		if err := sdftest.Judge(f, 1, 100); err != nil {
			t.Fatal(err)
		}
	})
}

// The suite has to find fields that lie.
func TestSuiteFindsFaults(t *testing.T) {
	ball := sdf.Sphere{R: 2}
	for name, c := range map[string]struct {
		field  sdf.Field
		inside func(vec.P) bool
		want   string
	}{
		"steep":         {lie{ball, func(d float64) float64 { return 1.01 * d }, ball.Bounds(), 0}, nil, "slope"},
		"small bounds":  {lie{ball, same, ball.Bounds().Grow(-0.2), 0}, nil, "bounds"},
		"inside out":    {lie{ball, func(d float64) float64 { return -d }, vec.Everywhere(), 0}, func(p vec.P) bool { return p.Len() < 2 }, "inside is"},
		"flat":          {lie{ball, func(d float64) float64 { return d / 2 }, ball.Bounds(), sdf.Both}, nil, "gradient"},
		"not exact":     {lie{sdf.Facets{Planes: []sdf.HalfSpace{{N: vec.P{X: 1}, D: 1}, {N: vec.P{Y: 1}, D: 1}}}, same, vec.Everywhere(), sdf.Both}, nil, "claimed to be exact"},
		"union inside":  {lie{sdf.Union{ball, sdf.At(ball, vec.Shift(vec.P{X: 1}))}, same, ball.Bounds().Grow(1), sdf.Both}, nil, "claimed to be exact"},
		"not a number":  {lie{ball, math.Sqrt, ball.Bounds(), 0}, nil, "NaN"},
		"not a bit":     {lie{ball, same, ball.Bounds(), 4}, nil, "bits"},
		"NaN in bounds": {lie{ball, same, vec.Box{Min: vec.P{X: math.NaN()}}, 0}, nil, "not numbers"},
	} {
		var checks []func(vec.P) bool
		if c.inside != nil {
			checks = append(checks, c.inside)
		}
		if err := sdftest.Judge(c.field, 1, sdftest.Rounds, checks...); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func same(d float64) float64 { return d }

// lie is a field that may be wrong in every answer.
type lie struct {
	of     sdf.Field
	value  func(float64) float64
	bounds vec.Box
	exact  sdf.Exact
}

func (l lie) Dist(p vec.P) float64 { return l.value(l.of.Dist(p)) }
func (l lie) Bounds() vec.Box      { return l.bounds }
func (l lie) Exact() sdf.Exact     { return l.exact }
