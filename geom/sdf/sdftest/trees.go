package sdftest

import (
	"math"

	"pgregory.net/rapid"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Primitive draws a primitive of some millimetres in size, in any place and
// pose, perhaps mirrored.
func Primitive() *rapid.Generator[sdf.Field] {
	return rapid.Custom(func(t *rapid.T) sdf.Field {
		size := func(name string) float64 { return rapid.Float64Range(0.2, 4).Draw(t, name) }
		var f sdf.Field
		switch rapid.IntRange(0, 9).Draw(t, "primitive") {
		case 0:
			f = sdf.Box{Half: vec.P{X: size("x"), Y: size("y"), Z: size("z")}}
		case 1:
			f = sdf.Sphere{R: size("r")}
		case 2:
			f = sdf.Cylinder{R: size("r"), Z0: -size("z0"), Z1: size("z1")}
		case 3:
			f = sdf.Cone{R0: size("r0"), R1: rapid.SampledFrom([]float64{0, 0.5, 3}).Draw(t, "r1"), Z0: -size("z0"), Z1: size("z1")}
		case 4:
			r := size("major")
			f = sdf.Torus{Major: r, Minor: r * rapid.Float64Range(0.1, 0.9).Draw(t, "minor")}
		case 5:
			f = sdf.Capsule{B: vec.P{X: size("x"), Y: size("y"), Z: size("z")}, R: size("r") / 4}
		case 6:
			f = sdf.Prism{Outline: plan(t), Z0: -size("z0"), Z1: size("z1")}
		case 7:
			f = sdf.Prism{Outline: plan(t), Z0: -1, Z1: 1, RoundTop: 0.1, RoundBottom: 0.05}
		case 8:
			f = sdf.Revolve{Outline: plan(t).Moved(vec.P2{X: 6})}
		case 9:
			w := size("w")
			f = sdf.Wire{Path: []outline.Seg{{At: vec.P2{X: -w}}, {At: vec.P2{}, Bulge: 0.5}, {At: vec.P2{X: w, Y: w}}}, R: size("r") / 8}
		}
		by := vec.Turn(direction(t), rapid.Float64Range(0, 6).Draw(t, "turn"))
		if rapid.Bool().Draw(t, "mirrored") {
			by = by.After(vec.MirrorX())
		}
		by.O = vec.P{X: size("ox") - 2, Y: size("oy") - 2, Z: size("oz") - 2}
		return sdf.At(f, by)
	})
}

// plan draws an outline at most 6 mm across.
func plan(t *rapid.T) outline.Outline {
	n := rapid.IntRange(3, 8).Draw(t, "n")
	var o outline.Outline
	var err error
	switch rapid.IntRange(0, 4).Draw(t, "plan") {
	case 0:
		o, err = outline.Ring(3, 1.2)
	case 1:
		o, err = outline.RegularPolygon(n, 5, 0)
	case 2:
		o, err = outline.Scallop(6, n, outline.DeepestNotch(6, n)*0.6, 0)
	case 3:
		o, err = outline.Pear(3, 5, 0.2)
	case 4:
		o, err = outline.Cushion(5, 4, 0.3, 0.6)
	}
	if err != nil {
		panic(err) // the sizes above are good
	}
	return o
}

func direction(t *rapid.T) vec.P {
	a := rapid.Float64Range(0, 2*math.Pi).Draw(t, "a")
	z := rapid.Float64Range(-1, 1).Draw(t, "z")
	return vec.Bearing(math.Sqrt(1-z*z), a).At(z)
}

// Tree draws primitives joined by unions, intersections and differences, at
// most depth operations deep.
func Tree(depth int) *rapid.Generator[sdf.Field] {
	return rapid.Custom(func(t *rapid.T) sdf.Field {
		if depth == 0 {
			return Primitive().Draw(t, "leaf")
		}
		var parts []sdf.Field
		for range rapid.IntRange(1, 3).Draw(t, "parts") {
			parts = append(parts, Tree(depth-1).Draw(t, "part"))
		}
		switch rapid.IntRange(0, 3).Draw(t, "operation") {
		case 0:
			return sdf.Union(parts)
		case 1:
			return sdf.Intersection(parts)
		case 2:
			return sdf.Difference{From: parts[0], Cut: parts[1:]}
		}
		return sdf.Tag(sdf.Union(parts), 7)
	})
}
