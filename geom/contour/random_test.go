package contour

import (
	"math"

	"pgregory.net/rapid"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// roundTree draws a bounded tree of set operations over placed primitives.
// Half of the numbers are round, so that faces coincide and touch.
func roundTree(t *rapid.T, depth int) sdf.Field {
	num := func(lo, hi float64, label string) float64 {
		if rapid.Bool().Draw(t, "round") {
			return lo + (hi-lo)*float64(rapid.IntRange(0, 4).Draw(t, label))/4
		}
		return rapid.Float64Range(lo, hi).Draw(t, label)
	}
	if depth == 0 {
		return posed(t, num, randomPrimitive(t, num))
	}
	kids := rapid.IntRange(2, 3).Draw(t, "kids")
	var fs []sdf.Field
	for range kids {
		fs = append(fs, roundTree(t, depth-1))
	}
	switch rapid.IntRange(0, 3).Draw(t, "op") {
	case 0:
		return sdf.Difference{From: fs[0], Cut: fs[1:]}
	case 1:
		return sdf.Union{fs[0], sdf.Intersection(fs[1:])}
	}
	return sdf.Union(fs)
}

type drawer func(lo, hi float64, label string) float64

func posed(t *rapid.T, num drawer, f sdf.Field) sdf.Field {
	by := vec.Here
	if rapid.Bool().Draw(t, "turned") {
		by = vec.Turn(vec.P{X: num(-1, 1, "ax"), Y: num(-1, 1, "ay"), Z: 1.1}, num(0, math.Pi, "turn"))
	}
	by.O = vec.P{X: num(-1, 1, "x"), Y: num(-1, 1, "y"), Z: num(-1, 1, "z")}
	return sdf.At(f, by)
}

func randomPrimitive(t *rapid.T, num drawer) sdf.Field {
	switch rapid.IntRange(0, 8).Draw(t, "kind") {
	case 0:
		return sdf.Box{Half: vec.P{X: num(0.2, 1, "a"), Y: num(0.2, 1, "b"), Z: num(0.2, 1, "c")}}
	case 1:
		return sdf.Sphere{R: num(0.3, 1, "r")}
	case 2:
		return sdf.Cylinder{R: num(0.2, 0.8, "r"), Z0: -num(0.2, 1, "low"), Z1: num(0.2, 1, "high")}
	case 3:
		return sdf.Cone{R0: num(0, 0.8, "r0"), Z0: -num(0.2, 1, "low"), R1: num(0.1, 0.8, "r1"), Z1: num(0.2, 1, "high")}
	case 4:
		return sdf.Torus{Major: num(0.5, 1, "major"), Minor: num(0.1, 0.4, "minor")}
	case 5:
		return sdf.Capsule{A: vec.P{X: -num(0.1, 1, "a")}, B: vec.P{X: num(0.1, 1, "b")}, R: num(0.1, 0.5, "r")}
	case 6:
		o, err := outline.RoundedRect(num(0.8, 2, "w"), num(0.8, 2, "h"), num(0, 0.4, "r"))
		if err != nil {
			t.Skip(err)
		}
		return sdf.Prism{Outline: o, Z0: -num(0.3, 1, "low"), Z1: num(0.3, 1, "high"), RoundTop: 0}
	case 7:
		o, err := outline.Polygon(vec.P2{X: num(0.3, 0.5, "p")}, vec.P2{X: num(0.7, 1, "q"), Y: 0.2}, vec.P2{X: 0.6, Y: num(0.5, 0.9, "r")})
		if err != nil {
			t.Skip(err)
		}
		return sdf.Revolve{Outline: o}
	}
	return sdf.Wire{
		Path: []outline.Seg{{At: vec.P2{X: -0.9}}, {At: vec.P2{X: num(-0.4, 0, "x")}, Bulge: num(-0.5, 0.5, "bulge")}, {At: vec.P2{X: 0.9, Y: num(-0.5, 0.5, "y")}}},
		R:    num(0.1, 0.3, "r"),
	}
}
