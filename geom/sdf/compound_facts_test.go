package sdf_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/manifold"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
)

func mustField(f sdf.Field, err error) sdf.Field {
	if err != nil {
		panic(err)
	}
	return f
}

func blend(a, b sdf.Field, r float64) sdf.Field {
	f, err := sdf.Blend(a, b, r)
	return mustField(f, err)
}

// post is a post on a plate, joined by a fillet.
func post() sdf.Field {
	return blend(sdf.Cylinder{R: 0.5, Z0: -0.2, Z1: 1.5}, sdf.Cylinder{R: 2, Z0: -0.5, Z1: 0}, 0.3)
}

// compounds is one of each field that is more than a primitive.
func compounds() []specimen {
	cushion := must(outline.Cushion(8, 6, 0.5, 1.5))
	rect := must(outline.RoundedRect(4, 2, 0))
	scallop := must(outline.Scallop(8, 7, 0.6, 0))
	ball := func(p vec.P, z, r float64) bool { return math.Hypot(rho(p), p.Z-z) < r }
	slant := vec.Turn(vec.P{X: 1, Y: 0.3}.Unit(), 1)
	egg := sdf.Intersection{sdf.Sphere{R: 2}, sdf.At(sdf.Sphere{R: 2}, vec.Shift(vec.P{X: 1}))}
	return []specimen{
		{"tapered round", sdf.Taper{Outline: must(outline.Circle(3)), Z0: 0, Z1: 2, Lean: math.Atan(0.5)}, func(p vec.P) bool {
			return within(p.Z, 0, 2) && rho(p) < 3-p.Z/2
		}},
		{"tapered bar", sdf.Taper{Outline: rect, Z0: 0, Z1: 1, Lean: math.Atan(0.5)}, func(p vec.P) bool {
			return within(p.Z, 0, 1) && math.Abs(p.X) < 2-p.Z/2 && math.Abs(p.Y) < 1-p.Z/2
		}},
		{"roof", sdf.Taper{Outline: rect, Z0: 0, Z1: 3, Lean: math.Atan(0.5)}, func(p vec.P) bool {
			return within(p.Z, 0, 2) && math.Abs(p.X) < 2-p.Z/2 && math.Abs(p.Y) < 1-p.Z/2
		}},
		{"flared bar", sdf.Taper{Outline: rect, Z0: 0, Z1: 1, Lean: -math.Atan(0.5)}, func(p vec.P) bool {
			return within(p.Z, 0, 1) && sdf.Box{Half: vec.P{X: 2, Y: 1, Z: 9}}.Dist(p) < p.Z/2
		}},
		{"tapered cushion", sdf.Taper{Outline: cushion, Z0: 0, Z1: 2, Lean: 0.3}, nil},
		{"upright taper", sdf.Taper{Outline: rect, Z0: 0, Z1: 2}, nil},
		{"flared scallop", sdf.Taper{Outline: scallop, Z0: 0, Z1: 2, Lean: -0.2}, nil},
		{"tapered scallop", sdf.Taper{Outline: scallop, Z0: 0, Z1: 2, Lean: 0.2}, nil},
		{"tapered ring", sdf.Taper{Outline: must(outline.Ring(3, 2)), Z0: 0, Z1: 1, Lean: 0.2}, func(p vec.P) bool {
			in := p.Z * math.Tan(0.2)
			return within(p.Z, 0, 1) && within(rho(p), 2+in, 3-in)
		}},
		// radius 3, rise 1: balls of radius (9 + 1) / 2
		{"domed disc", sdf.Dome{Outline: must(outline.Circle(3)), Z0: -2, Z1: 0, Rise: 1}, func(p vec.P) bool {
			return p.Z > -2 && rho(p) < 3 && ball(p, -5, 5)
		}},
		{"lens", sdf.Dome{Outline: must(outline.Circle(3)), Z0: -3, Z1: 0, Rise: 1, BackRise: 1}, func(p vec.P) bool {
			return rho(p) < 3 && ball(p, -5, 5) && ball(p, 2, 5)
		}},
		{"bowed sheet", sdf.Dome{Outline: must(outline.Circle(3)), Z0: -1, Z1: 0, Rise: 1, BackRise: -1}, func(p vec.P) bool {
			return rho(p) < 3 && p.Z > -2 && ball(p, -5, 5) && !ball(p, -6, 5)
		}},
		{"thick dome", sdf.Dome{Outline: must(outline.Circle(3)), Z0: -9, Z1: 0, Rise: 2.5}, func(p vec.P) bool {
			r := (9 + 6.25) / 5
			return p.Z > -9 && rho(p) < 3 && (p.Z < -r || ball(p, -r, r))
		}},
		{"domed cushion", sdf.Dome{Outline: cushion, Z0: -2, Z1: 0, Rise: 1, BackRise: -0.6, Crown: vec.P2{X: 0.5, Y: -0.3}}, nil},
		{"grown box", mustField(sdf.Offset(sdf.Box{Half: vec.P{X: 1, Y: 2, Z: 0.5}}, 0.4)), func(p vec.P) bool {
			return sdf.Box{Half: vec.P{X: 1, Y: 2, Z: 0.5}}.Dist(p) < 0.4
		}},
		{"grown cone", mustField(sdf.Offset(sdf.Cone{R0: 3, R1: 1, Z0: 0, Z1: 4}, 0.4)), nil},
		{"grown turned tube", mustField(sdf.Offset(sdf.Revolve{Outline: must(outline.RoundedRect(1, 4, 0)).Moved(vec.P2{X: 2.5})}, 0.4)), nil},
		{"grown union", mustField(sdf.Offset(sdf.Union{sdf.Sphere{R: 2}, sdf.At(sdf.Torus{Major: 3, Minor: 0.8}, slant)}, 0.3)), func(p vec.P) bool {
			q := slant.Local(p)
			return p.Len() < 2.3 || math.Hypot(rho(q)-3, q.Z) < 1.1
		}},
		{"shrunk egg", mustField(sdf.Offset(egg, -0.4)), func(p vec.P) bool {
			return p.Len() < 1.6 && p.Sub(vec.P{X: 1}).Len() < 1.6
		}},
		{"shrunk rounded bar", mustField(sdf.Offset(sdf.Prism{Outline: rect, Z0: 0, Z1: 2, RoundTop: 0.5, RoundBottom: 0.1}, -0.3)), func(p vec.P) bool {
			return sdf.Prism{Outline: rect, Z0: 0, Z1: 2, RoundTop: 0.5, RoundBottom: 0.1}.Dist(p) < -0.3
		}},
		{"shrunk bar with holes", mustField(sdf.Offset(sdf.Difference{From: sdf.Box{Half: vec.P{X: 2, Y: 2, Z: 1}}, Cut: []sdf.Field{sdf.Cylinder{R: 0.5, Z0: -2, Z1: 2}}}, -0.3)), nil},
		{"shell of a torus", mustField(sdf.Shell(sdf.Torus{Major: 3, Minor: 1}, -0.3)), func(p vec.P) bool {
			return within(math.Hypot(rho(p)-3, p.Z), 0.7, 1)
		}},
		{"shell outside a ball", mustField(sdf.Shell(sdf.At(sdf.Tag(sdf.Sphere{R: 2}, 3), slant), 0.3)), func(p vec.P) bool { return within(p.Len(), 2, 2.3) }},
		{"fillet round a post", post(), func(p vec.P) bool {
			r := rho(p)
			return r < 2 && within(p.Z, -0.5, 0) || r < 0.5 && within(p.Z, -0.2, 1.5) ||
				r < 0.8 && within(p.Z, 0, 0.3) && math.Hypot(r-0.8, p.Z-0.3) > 0.3
		}},
		{"crossing cylinders", blend(sdf.Cylinder{R: 1, Z0: -3, Z1: 3}, sdf.At(sdf.Cylinder{R: 0.8, Z0: -3, Z1: 3}, slant), 0.4), nil},
		{"blend at a flat angle", blend(sdf.Box{Half: vec.P{X: 3, Y: 1, Z: 0.5}}, sdf.At(sdf.Box{Half: vec.P{X: 3, Y: 1.2, Z: 0.5}}, vec.Turn(vec.P{Y: 1}, 0.2)), 0.5), nil},
		{"blended cones", blend(sdf.Cone{R0: 2, R1: 0, Z0: 0, Z1: 3}, sdf.At(sdf.Cone{R0: 1, R1: 0.2, Z0: -1, Z1: 3}, slant), 0.4), nil},
		{"blend of a blend", blend(post(), sdf.At(sdf.Sphere{R: 0.8}, vec.Shift(vec.P{X: 1.2, Z: 0.2})), 0.4), nil},
		{"blended tools", blend(sdf.Taper{Outline: rect, Z0: -1, Z1: 2, Lean: 0.3}, sdf.Difference{From: sdf.Box{Half: vec.P{X: 3, Y: 3, Z: 0.5}}, Cut: []sdf.Field{sdf.Sphere{R: 0.7}}}, 0.4), nil},
	}
}

func TestCompoundsConform(t *testing.T) {
	for _, s := range compounds() {
		if s.inside == nil {
			sdftest.Conform(t, s.name, s.field)
			continue
		}
		sdftest.Conform(t, s.name, s.field, s.inside)
	}
}

// A field that a constructor made by another name is the offset: its surface
// lies at the distance asked for from that of the field.
func TestOffsetsLieAtTheirDistance(t *testing.T) {
	for _, s := range append(specimens(), compounds()...) {
		for _, d := range []float64{0.15, -0.15} {
			side := sdf.Outside
			if d < 0 {
				side = sdf.Inside
			}
			g, err := sdf.Offset(s.field, d)
			if s.field.Exact()&side == 0 {
				if err == nil || !strings.Contains(err.Error(), "not exact") {
					t.Errorf("%s by %g: %v, want a refusal", s.name, d, err)
				}
				continue
			}
			if err != nil {
				if !strings.Contains(err.Error(), "empty") && !strings.Contains(err.Error(), "leaves nothing") {
					t.Errorf("%s by %g: %v", s.name, d, err)
				}
				continue
			}
			if err := sdftest.Judge(g, 2, 400, func(p vec.P) bool { return s.field.Dist(p) < d }); err != nil {
				t.Errorf("%s by %g: %v", s.name, d, err)
			}
		}
	}
}

func TestCompoundsRefuse(t *testing.T) {
	disc := must(outline.Circle(2))
	only := func(_ sdf.Field, err error) error { return err }
	_, joined := sdf.Blend(sdf.Sphere{R: 1}, lie{sdf.Sphere{R: 1}, same, sdf.Sphere{R: 1}.Bounds(), 0}, 0.1)
	_, negative := sdf.Blend(sdf.Sphere{R: 1}, sdf.Sphere{R: 1}, -0.1)
	_, faulty := sdf.Blend(sdf.Sphere{R: 1}, sdf.Sphere{R: -1}, 0.1)
	for _, c := range []struct {
		err  error
		want string
	}{
		{only(sdf.Offset(sdf.Facets{Planes: []sdf.HalfSpace{{N: vec.P{X: 1}, D: 1}, {N: vec.P{Y: 1}, D: 1}}}, 0.1)), "not exact outside"},
		{only(sdf.Offset(sdf.Union{sdf.Sphere{R: 1}, sdf.Sphere{R: 2}}, -0.1)), "not exact inside"},
		{only(sdf.Shell(post(), 0.1)), "sdf.Blended by 0.1 mm"},
		{only(sdf.Offset(sdf.Sphere{R: 1}, -1)), "leaves nothing"},
		{only(sdf.Offset(sdf.Sphere{R: 1}, math.NaN())), "NaN"},
		{only(sdf.Shell(sdf.Sphere{R: 1}, 0)), "thickness 0"},
		{negative, "blend radius -0.1"},
		{faulty, "sphere radius -1"},
		{joined, "not known"},
		{sdf.Taper{Outline: disc, Z1: 1, Lean: 1.5}.Check(), "85"},
		{sdf.Taper{Outline: disc}.Check(), "no height"},
		{sdf.Taper{Z1: 1}.Check(), "empty outline"},
		{sdf.Dome{Outline: disc, Z1: 1, Rise: 2}.Check(), "less than the 2 mm"},
		{sdf.Dome{Outline: disc, Z1: 1, Rise: 0.6, BackRise: 0.5}.Check(), "dome's rim is -0.0"},
		{sdf.Dome{Outline: disc, Z1: 1, Rise: -1}.Check(), "rise -1"},
		{sdf.Dome{Z1: 1}.Check(), "empty outline"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("%v, want %q", c.err, c.want)
		}
	}
}

// Meshes of compounds are closed and sound, and hold the volume that a formula
// or a fine integral gives.
func TestCompoundsMesh(t *testing.T) {
	const tol = 0.01
	pi := math.Pi
	cushion := must(outline.Cushion(6, 5, 0.4, 1))
	const r = 0.3
	area := r * r * (1 - pi/4)
	off := r * (10 - 3*pi) / (12 - 3*pi) // centroid of a square less a quarter disc, from the corner
	rays := func() []sdf.Field {
		var cut []sdf.Field
		for i := range 12 {
			groove := sdf.At(sdf.Capsule{A: vec.P{Y: 1.4}, B: vec.P{Y: 4}, R: 0.3}, vec.Shift(vec.P{Z: 0.02}))
			cut = append(cut, sdf.At(groove, vec.TurnZ(float64(i)*pi/6)))
		}
		return cut
	}
	for _, c := range []struct {
		name   string
		field  sdf.Field
		genus  int
		volume float64 // 0: integrated from the field
	}{
		{"domed plate with rays", sdf.Difference{From: sdf.Dome{Outline: cushion, Z0: -1.2, Z1: 0, Rise: 0.5}, Cut: rays()}, 0, 0},
		{"bowed sheet", sdf.Dome{Outline: cushion, Z0: -0.6, Z1: 0, Rise: 0.5, BackRise: -0.5}, 0, 0},
		// caps of height 1 and radius 3: pi h (3 a^2 + h^2) / 6
		{"lens", sdf.Dome{Outline: must(outline.Circle(3)), Z0: -3, Z1: 0, Rise: 1, BackRise: 1}, 0, 9*pi + 2*pi*28/6},
		{"two cylinders with a fillet", blend(sdf.Cylinder{R: 1, Z0: -2, Z1: 2}, sdf.At(sdf.Cylinder{R: 0.7, Z0: -2.2, Z1: 2.2}, vec.Turn(vec.P{X: 1}, pi/2)), 0.3), 0, 0},
		{"post with a fillet", post(), 0, pi*4*0.5 + pi*0.25*1.5 + 2*pi*(0.5+off)*area},
		{"shell of a torus", mustField(sdf.Shell(sdf.Torus{Major: 3, Minor: 1}, -0.3)), 0, 2 * pi * pi * 3 * (1 - 0.49)},
		{"grown box", mustField(sdf.Offset(sdf.Box{Half: vec.P{X: 1, Y: 1.5, Z: 0.5}}, 0.4)), 0,
			6 + 0.4*22 + pi*0.16*6 + 4*pi/3*0.064}, // Steiner: V + S d + pi d^2 (sum of edges / 4) + ball
		{"tapered cushion", sdf.Taper{Outline: cushion, Z0: 0, Z1: 2, Lean: 0.2}, 0, 0},
		{"flared cushion", sdf.Taper{Outline: cushion, Z0: 0, Z1: 2, Lean: -0.2}, 0, 0},
		{"tapered bar", sdf.Taper{Outline: must(outline.RoundedRect(4, 2, 0)), Z0: 0, Z1: 1, Lean: math.Atan(0.5)}, 0, 8 - 3 + 1.0/3},
		{"roof", sdf.Taper{Outline: must(outline.RoundedRect(4, 2, 0)), Z0: 0, Z1: 3, Lean: math.Atan(0.5)}, 0, 8*2 - 3*4 + 8.0/3},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, err := sdf.Compile(c.field)
			if err != nil {
				t.Fatal(err)
			}
			m, report, err := contour.Mesh(context.Background(), code, contour.Options{Tol: tol})
			if err != nil {
				t.Fatal(err)
			}
			j := manifold.Judge(m)
			t.Logf("%d triangles, reached %.4f, %d unresolved, volume %.4f", len(m.T), report.Reached, len(report.Unresolved), j.Volume)
			if !j.OK() {
				t.Errorf("not sound: %s", j.String())
			}
			if report.Reached > tol {
				t.Errorf("reached %g mm, asked for %g", report.Reached, tol)
			}
			want, slack := c.volume, 0.0
			if want == 0 {
				want, slack = integral(c.field)
			}
			if slack += j.Area * tol / 2; math.Abs(j.Volume-want) > slack {
				t.Errorf("volume %.4f, want %.4f +- %.4f", j.Volume, want, slack)
			}
		})
	}
}

// integral returns a solid's volume from its field: columns along z, counted in
// steps that halve where the sign changes. The slack is what a lattice of n
// lines can miss along the outline.
func integral(f sdf.Field) (volume, slack float64) {
	const n = 120
	b := f.Bounds()
	size := b.Size()
	dx, dy := size.X/n, size.Y/n
	for i := range n {
		for j := range n {
			p := vec.P{X: b.Min.X + (float64(i)+0.5)*dx, Y: b.Min.Y + (float64(j)+0.5)*dy, Z: b.Min.Z}
			volume += column(f, p, size.Z)
		}
	}
	return volume * dx * dy, 0.005 * volume * dx * dy
}

// column returns the length inside f of the line upwards from p: steps of the
// distance are on one side.
func column(f sdf.Field, p vec.P, length float64) (inside float64) {
	const least = 1e-3
	for z := 0.0; z < length; {
		d := f.Dist(p.Add(vec.P{Z: z}))
		step := min(max(math.Abs(d), least), length-z)
		if d < 0 {
			inside += step
		}
		z += step
	}
	return inside
}
