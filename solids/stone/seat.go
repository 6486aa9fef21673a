package stone

import (
	"fmt"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// turned returns the solid that a convex profile makes when it is turned about
// the axis, larger by d on every side, its edges kept sharp. The profile runs
// from the axis below to the axis above, given as (distance from the axis,
// height); equal neighbours are an upright edge of no height, so that the room
// of a knife edge is blunt.
func turned(d float64, profile ...vec.P2) sdf.Field {
	if !(d >= 0) {
		panic(fmt.Sprintf("seat with a clearance of %g", d))
	}
	type line struct{ p, dir vec.P2 }
	lines := []line{{vec.P2{}, vec.P2{Y: -1}}} // the axis, downwards
	for i := 1; i < len(profile); i++ {
		p, way := profile[i-1], profile[i].Sub(profile[i-1])
		if way == (vec.P2{}) {
			if d == 0 {
				continue
			}
			way.Y = 1
		}
		dir := way.Unit()
		lines = append(lines, line{p.Add(dir.Left().Mul(-d)), dir})
	}
	points := make([]vec.P2, len(lines))
	for i, l := range lines {
		next := lines[(i+1)%len(lines)]
		t := next.p.Sub(l.p).Cross(next.dir) / l.dir.Cross(next.dir)
		points[i] = l.p.Add(l.dir.Mul(t))
	}
	points[0].X, points[len(points)-1].X = 0, 0 // on the axis, without roundings
	o, err := outline.Polygon(points...)
	if err != nil {
		panic(fmt.Sprintf("profile of a seat: %v", err)) // a checked stone has a convex profile
	}
	return sdf.Revolve{Outline: o}
}

// circle returns the disc of radius r, which is positive.
func circle(r float64) outline.Outline {
	o, err := outline.Circle(r)
	if err != nil {
		panic(fmt.Sprintf("girdle of a stone: %v", err)) // a checked stone has a positive radius
	}
	return o
}
