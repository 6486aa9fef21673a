package patch

import (
	"math"
	"testing"

	"waxwright/geom/manifold"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Round walls, and hollows, that touch along a line are parted there: the walls
// have a gap, the hollows run into each other. Nothing moves by more than a part of
// the tolerance.
func TestTouch(t *testing.T) {
	// A seat: a narrow hole below, a wide one above, as a turned outline.
	seat := must(outline.New(outline.Loop{
		{At: vec.P2{X: 0, Y: -2}}, {At: vec.P2{X: 0.6, Y: -2}}, {At: vec.P2{X: 0.6, Y: 0}}, {At: vec.P2{X: 1, Y: 0.2}}, {At: vec.P2{X: 1, Y: 2}}, {At: vec.P2{X: 0, Y: 2}},
	}))
	at := func(f sdf.Field, x, y float64) sdf.Field { return sdf.At(f, vec.Shift(vec.P{X: x, Y: y})) }
	post := func(r float64) sdf.Field { return sdf.Cylinder{R: r, Z0: 0, Z1: 1.5} }
	plate := sdf.Box{Half: vec.P{X: 4, Y: 3, Z: 0.5}}
	high := math.Sqrt(3)
	hole := math.Pi * (0.36*0.5 + 0.2/3*(0.36+0.6+1) + 0.3)
	for _, c := range []struct {
		name                   string
		f                      sdf.Field
		volume                 float64
		touches, bodies, genus int
	}{
		{"posts", sdf.Union{plate, at(post(1), 1, 0), at(post(0.5), -0.5, 0)}, 48 + 1.25*math.Pi, 1, 1, 0},
		{"posts alone", sdf.Union{at(post(1), 1, 0), at(post(1), -1, 0)}, 3 * math.Pi, 1, 2, 0},
		{"two seats", sdf.Difference{From: plate, Cut: []sdf.Field{at(sdf.Revolve{Outline: seat}, -1, 0), at(sdf.Revolve{Outline: seat}, 1, 0)}}, 48 - 2*hole, 1, 1, 2},
		{"three seats", sdf.Difference{From: plate, Cut: []sdf.Field{
			at(sdf.Revolve{Outline: seat}, -1, -0.5), at(sdf.Revolve{Outline: seat}, 1, -0.5), at(sdf.Revolve{Outline: seat}, 0, high-0.5),
		}}, 48 - 3*hole, 3, 1, 3},
		{"a rim without a wall", sdf.Difference{From: post(1), Cut: []sdf.Field{at(post(0.6), 0.4, 0)}}, 1.5 * 0.64 * math.Pi, 1, 1, 0},
	} {
		m, r := meshed(t, c.f, 0)
		j := manifold.Judge(m)
		if !j.OK() || len(j.Bodies) != c.bodies || j.Genus() != c.genus || len(r.Parted) != c.touches {
			t.Errorf("%s: %d touches, %s", c.name, len(r.Parted), j.String())
		}
		if j := manifold.Judge(m.Float32().Weld()); !j.OK() {
			t.Errorf("%s, as a file holds it: %s", c.name, j.String())
		}
		if off := math.Abs(j.Volume - c.volume); off > j.Area*0.5*DefaultTol {
			t.Errorf("%s: volume is %g, not %g", c.name, j.Volume, c.volume)
		}
		if r.Moved > 2*drawBack*DefaultTol || r.Reached > DefaultTol {
			t.Errorf("%s: moved by %g, off by %g", c.name, r.Moved, r.Reached)
		}
	}
}
