package plate

import (
	"math"
	"testing"

	"waxwright/geom/outline"
	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
)

func circle(t *testing.T, r float64) outline.Outline {
	t.Helper()
	o, err := outline.Circle(r)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestPartsAreFields(t *testing.T) {
	p := Plate{Outline: circle(t, 8), Thickness: 1.3, Round: 0.3}
	f, err := p.Field()
	if err != nil {
		t.Fatal(err)
	}
	sdftest.Conform(t, "plate", f)
	for _, r := range []Rays{
		{Count: 1, From: 3, To: 9, Width: [2]float64{0.3, 0.9}, Depth: 0.4},
		{Count: 3, From: 3, To: 9, Width: [2]float64{0.3, 0.9}, Depth: 0.4, Round: true},
		{Count: 2, From: 3, To: 9, Width: [2]float64{0.8, 0.8}, Depth: 0.4, Round: true},
	} {
		cut, err := r.Cut()
		if err != nil {
			t.Fatal(err)
		}
		sdftest.Conform(t, "rays", cut)
	}
}

// A ray has the width and depth that were asked for where they were asked for.
func TestRaysHaveTheirSection(t *testing.T) {
	for _, r := range []Rays{
		{Count: 5, From: 3, To: 9, Width: [2]float64{0.3, 0.9}, Depth: 0.4},
		{Count: 5, From: 3, To: 9, Width: [2]float64{0.3, 0.9}, Depth: 0.4, Round: true},
		{Count: 5, From: 3, To: 9, Width: [2]float64{0.9, 0.9}, Depth: 0.4},
		{Count: 5, From: 3, To: 9, Width: [2]float64{0.9, 0.9}, Depth: 0.4, Round: true},
	} {
		cut, err := r.Cut()
		if err != nil {
			t.Fatal(err)
		}
		turn := vec.TurnZ(-2 * math.Pi * 2 / 5) // the third ray
		for _, at := range []struct{ y, share float64 }{{9, 1}, {6, (0.6 / 0.9)}} {
			share := at.share
			if r.Width[0] == r.Width[1] {
				share = 1
			}
			y := at.y - 1e-9 // within the end wall
			for _, p := range []vec.P{
				{X: share * 0.45, Y: y}, {X: -share * 0.45, Y: y}, {Y: y, Z: -share * 0.4},
			} {
				if d := cut.Dist(turn.Point(p)); math.Abs(d) > 1e-8 {
					t.Errorf("%+v: the rim or bottom %v at y %g is %g away", r, p, at.y, d)
				}
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	o := circle(t, 8)
	for _, p := range []Plate{{o, 0, 0}, {o, 1, 1}, {o, 1, -0.1}, {o, math.NaN(), 0}} {
		if _, err := p.Field(); err == nil {
			t.Errorf("no error for %g, %g", p.Thickness, p.Round)
		}
	}
	good := Rays{Count: 5, From: 3, To: 9, Width: [2]float64{0.3, 0.9}, Depth: 0.4}
	for _, spoil := range []func(*Rays){
		func(r *Rays) { r.Count = 0 }, func(r *Rays) { r.To = 2 }, func(r *Rays) { r.Depth = math.NaN() },
		func(r *Rays) { r.Width[0] = 0 }, func(r *Rays) { r.Width[1] = 0.2 },
	} {
		r := good
		spoil(&r)
		if _, err := r.Cut(); err == nil {
			t.Errorf("no error for %+v", r)
		}
	}
}
