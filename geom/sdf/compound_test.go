package sdf

import (
	"math"
	"testing"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// compounds is one of each field that is more than a primitive: tapers, domes,
// offsets, shells, blends.
func compounds(t testing.TB) map[string]Field {
	o := func(o outline.Outline, err error) outline.Outline {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	f := func(f Field, err error) Field {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	blend := func(a, b Field, r float64) Field {
		t.Helper()
		g, err := Blend(a, b, r)
		return f(g, err)
	}
	cushion := o(outline.Cushion(2, 1.6, 0.2, 0.4))
	square := o(outline.RoundedRect(2, 1.4, 0))
	star := o(outline.Polygon(vec.P2{X: 1}, vec.P2{X: 0.3, Y: 0.3}, vec.P2{Y: 1}, vec.P2{X: -0.3, Y: 0.3},
		vec.P2{X: -1}, vec.P2{X: -0.3, Y: -0.3}, vec.P2{Y: -1}, vec.P2{X: 0.3, Y: -0.3}))
	scallop := o(outline.Scallop(2.4, 6, 0.2, 0))
	post := func(r, x float64) Field {
		return At(Cylinder{r, -0.3, 0.9}, vec.Shift(vec.P{X: x}))
	}
	slant := vec.Turn(vec.P{X: 1, Y: 0.4}.Unit(), 0.6)
	plate := Prism{Outline: cushion, Z0: -0.4, Z1: 0}
	return map[string]Field{
		"taper, cushion":        Taper{cushion, -0.5, 0.6, 0.2},
		"taper, flared cushion": Taper{cushion, -0.5, 0.6, -0.3},
		"taper, square":         Taper{square, -0.5, 0.3, 0.3},
		"taper, flared square":  Taper{square, -0.5, 0.3, -0.3},
		"taper, roof":           Taper{square, -0.5, 0.6, 0.7},
		"taper, star":           Taper{star, -0.5, 0.3, 0.2},
		"taper, flared star":    Taper{star, -0.5, 0.3, -0.2},
		"taper, ring":           Taper{o(outline.Ring(1, 0.6)), -0.5, 0.3, 0.2},
		"taper, round":          Taper{o(outline.Circle(0.8)), -0.5, 0.3, 0.2},
		"taper, round tip":      Taper{o(outline.Circle(0.3)), -0.5, 0.9, 0.3},
		"dome, cushion":         Dome{Outline: cushion, Z0: -0.6, Z1: 0, Rise: 0.3},
		"dome, lens":            Dome{Outline: scallop, Z0: -0.8, Z1: 0, Rise: 0.3, BackRise: 0.2, Crown: vec.P2{X: 0.1}},
		"dome, sheet":           Dome{Outline: cushion, Z0: -0.3, Z1: 0, Rise: 0.4, BackRise: -0.4},
		"dome, cup":             Dome{Outline: cushion, Z0: -0.2, Z1: 0, BackRise: -0.7},
		"dome, thick":           Dome{Outline: o(outline.Circle(0.9)), Z0: -1.6, Z1: 0, Rise: 0.7, BackRise: 0.6},
		"grown box":             f(Offset(Box{vec.P{X: 0.8, Y: 0.5, Z: 0.4}}, 0.2)),
		"grown cylinder":        f(Offset(Cylinder{0.7, -0.6, 0.5}, 0.2)),
		"grown cone":            f(Offset(Cone{0.8, -0.6, 0.3, 0.5}, 0.2)),
		"grown union":           f(Offset(Union{Sphere{0.6}, At(Torus{0.7, 0.2}, slant)}, 0.1)),
		"shrunk dome":           f(Offset(Dome{Outline: cushion, Z0: -0.6, Z1: 0, Rise: 0.2, BackRise: -0.1}, -0.1)),
		"shrunk taper":          f(Offset(Taper{star, -0.5, 0.4, 0.2}, -0.1)),
		"shell of a torus":      f(Shell(Torus{0.9, 0.35}, -0.1)),
		"shell of a box":        f(Shell(Box{vec.P{X: 0.8, Y: 0.5, Z: 0.4}}, 0.1)),
		"shell of an egg":       f(Shell(Intersection{Sphere{0.9}, At(Sphere{0.9}, vec.Shift(vec.P{X: 0.4}))}, -0.15)),
		"blend, post on plate":  blend(Tag(post(0.3, 0.2), 1), Tag(plate, 2), 0.2),
		"blend, cylinders":      blend(Cylinder{0.4, -1, 1}, At(Cylinder{0.3, -1, 1}, vec.Turn(vec.P{X: 1}, 1.2)), 0.25),
		"blend, slanted boxes":  blend(Box{vec.P{X: 0.8, Y: 0.5, Z: 0.3}}, At(Box{vec.P{X: 0.3, Y: 0.4, Z: 1}}, slant), 0.2),
		"blend, cones":          blend(Cone{0.8, -0.6, 0.2, 0.5}, At(Cone{0.5, -0.6, 0, 0.9}, slant), 0.2),
		"blend, star post":      blend(Prism{Outline: star, Z0: -0.2, Z1: 0.7}, Box{vec.P{X: 1.2, Y: 1.2, Z: 0.3}}, 0.2),
		"blend, three":          blend(blend(post(0.25, -0.5), post(0.2, 0.4), 0.5), plate, 0.15),
		"blend, taper":          blend(Taper{cushion, -0.2, 0.7, 0.3}, Box{vec.P{X: 1.2, Y: 1.2, Z: 0.3}}, 0.2),
		"cut by a blend": Difference{Box{vec.P{X: 1, Y: 1, Z: 0.5}}, []Field{
			blend(Cylinder{0.4, -1, 1}, At(Cylinder{0.3, -2, 2}, vec.Turn(vec.P{X: 1}, math.Pi/2)), 0.2)}},
		"blend of differences": blend(Difference{Cylinder{0.6, -0.3, 0.8}, []Field{Cylinder{0.4, -2, 2}}},
			Difference{Box{vec.P{X: 1, Y: 1, Z: 0.3}}, []Field{At(Sphere{0.5}, vec.Shift(vec.P{X: 1.1}))}}, 0.15),
	}
}
