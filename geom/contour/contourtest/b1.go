// Package contourtest holds solids that the kernel is tested and measured on.
package contourtest

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// What is true of B1: exact mesh booleans of finer and finer tessellations
// gave these figures; the genus never changed.
const (
	B1Volume = 623.2549 // mm3, +- 0.0003
	B1Area   = 1901.31  // mm2
	B1Genus  = 73
)

// Tags of B1's parts; those that come in numbers count up from theirs.
const (
	TagPlate   = 1
	TagRim     = 2
	TagPost    = 3
	TagLink    = 4
	TagPillars = 100
	TagBezels  = 200
	TagProngs  = 300
)

// B1 returns the bench solid: a grooved and pierced plate with a rim on
// pillars, ten bezels, twenty prongs, a notched post and a link. It holds
// traps on purpose: twenty gaps of 27.1 um between inner prongs and bezels,
// bezel tubes whose flat bottom hovers over sloping grooves, pillars tangent
// to the rim, coplanar bottoms at z = -2.2, a post 5 um proud of the rim, a
// link that touches the plate's side at its inner equator.
func B1() sdf.Field {
	all := sdf.Union{
		sdf.Tag(b1Plate(), TagPlate),
		sdf.Tag(tube(9.0, 8.2, -2.2, -1.6), TagRim),
		sdf.Tag(sdf.Difference{
			From: sdf.At(sdf.Cylinder{R: 0.405, Z0: -12, Z1: 1}, vec.Shift(vec.P{Y: 8.6})),
			Cut:  []sdf.Field{sdf.At(sdf.Torus{Major: 0.405, Minor: 0.12}, vec.Shift(vec.P{Y: 8.6, Z: -10.5}))},
		}, TagPost),
		sdf.Tag(sdf.At(sdf.Torus{Major: 1.6, Minor: 0.4},
			vec.Shift(vec.P{Y: 12.2, Z: 0.6}).After(vec.Turn(vec.P{Y: 1}, math.Pi/2))), TagLink),
	}
	for k := range uint32(10) {
		turn := vec.TurnZ(turnOf(36 * float64(k)))
		pillar := sdf.At(sdf.Box{Half: vec.P{X: 0.4, Y: 0.8, Z: 1.2}}, vec.Shift(vec.P{X: 8.6, Z: -1}))
		all = append(all,
			sdf.Tag(sdf.At(pillar, turn), TagPillars+k),
			sdf.Tag(sdf.At(tube(1.95, 1.55, 1, 3), turn.After(vec.Shift(vec.P{X: 6}))), TagBezels+k),
		)
	}
	for k := range uint32(20) {
		turn := vec.TurnZ(turnOf(36*float64(k/2) + 18))
		r := [2]float64{4.3, 7.7}[k%2]
		all = append(all, sdf.Tag(sdf.At(prong(), turn.After(vec.Shift(vec.P{X: r}))), TagProngs+k))
	}
	return all
}

// turnOf takes degrees to radians.
func turnOf(degrees float64) float64 { return degrees * math.Pi / 180 }

func b1Plate() sdf.Field {
	square, err := outline.RoundedRect(22, 22, 3)
	if err != nil {
		panic(err) // fixed numbers
	}
	cut := []sdf.Field{sdf.Cylinder{R: 2.6, Z0: -1, Z1: 2}}
	for k := range 30 {
		cut = append(cut, sdf.At(groove(), vec.TurnZ(turnOf(12*float64(k)))))
	}
	return sdf.Difference{From: sdf.Prism{Outline: square, Z0: 0, Z1: 1.2}, Cut: cut}
}

// groove is x in [3, 13], z < 1.6, z > 0.7 + |y| (0.5 / 0.6).
func groove() sdf.Field {
	side := vec.P{Y: 0.5 / 0.6, Z: -1}
	l := side.Len()
	n := side.Mul(1 / l)
	return sdf.Facets{Planes: []sdf.HalfSpace{
		{N: vec.P{X: -1}, D: -3},
		{N: vec.P{X: 1}, D: 13},
		{N: vec.P{Z: 1}, D: 1.6},
		{N: n, D: -0.7 / l},
		{N: vec.P{Y: -n.Y, Z: n.Z}, D: -0.7 / l},
	}}
}

func tube(outer, inner, z0, z1 float64) sdf.Field {
	return sdf.Difference{
		From: sdf.Cylinder{R: outer, Z0: z0, Z1: z1},
		Cut:  []sdf.Field{sdf.Cylinder{R: inner, Z0: z0 - 1, Z1: z1 + 1}},
	}
}

// prong is a vertical wire of radius 0.35 with a half-round tip at z = 3.4.
func prong() sdf.Field {
	return sdf.Intersection{
		sdf.Capsule{A: vec.P{Z: 0}, B: vec.P{Z: 3.05}, R: 0.35},
		sdf.HalfSpace{N: vec.P{Z: -1}, D: -1},
	}
}
