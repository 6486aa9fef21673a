package patch

import (
	"context"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/manifold"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Random solids that were refused once: for faces that are narrow beside an arc,
// whose layout turned them inside out, for a crease that turns sharply (30209),
// which was not known again, for creases that crossed in their layout (30423), for an
// outline with a corner of next to no radius (50151), for the edge of a rounded end
// that could not be followed from its start (40228), and for a crease that turned just
// before its end (50409), for the tip of a cone on a crease (50463), for an edge
// that passes so shallowly below a ball that all chords there are one (40219), and for
// a chord that leaves its crease farther at a quarter than in the middle (50087).
func TestOnceRefused(t *testing.T) {
	draw := rapid.Custom(solids)
	for _, i := range []int{30079, 30143, 30209, 30226, 30278, 30423, 40219, 40228, 50087, 50151, 50409, 50463} {
		c := compiled(t, draw.Example(i))
		if refused, what := wrong(c, 0.02); refused || what != "" {
			t.Errorf("solid %d: refused %v, %s", i, refused, what)
		}
	}
}

// A hole in a rounded plate that ends a few micrometres beside a notch, which is
// not snapped.
func TestBesideNotch(t *testing.T) {
	scallop := must(outline.Scallop(14, 9, 0.3, 0))
	spans := scallop.Whole().Spans()
	for _, off := range []float64{2e-3, 3e-3} {
		t.Run(fmt.Sprint(off), func(t *testing.T) {
			s := spans[0] // ends in a notch
			along := s.T1
			at := s.B.Sub(along.Mul(0.5 + off))
			c := compiled(t, sdf.Difference{
				From: sdf.Prism{Outline: scallop, Z0: -1, Z1: 0, RoundTop: 0.25},
				Cut:  []sdf.Field{sdf.At(sdf.Cylinder{R: 0.5, Z0: -2, Z1: 1}, vec.Shift(at.At(0)))},
			})
			o := Options{Tol: 0.01}
			m, _, err := newSnapping(c, o.Tol).builder(context.Background(), o).mesh(false)
			if err != nil {
				t.Fatal(err)
			}
			if j := manifold.Judge(m); !j.OK() || j.Genus() != 0 {
				t.Errorf("judged: %s", j.String())
			}
		})
	}
}

// Wires a few micrometres beside each other, and shallow grooves over the flat of a
// rounded plate, take no more cells than others.
func TestFewCells(t *testing.T) {
	wire := func(x, r float64) sdf.Field { return sdf.Capsule{A: vec.P{X: x, Z: -1}, B: vec.P{X: x, Z: 1}, R: r} }
	const r = 0.6
	round := math.Pi*r*r*2 + 4*math.Pi/3*r*r*r
	groove := func(turn float64) sdf.Field {
		n := vec.P{Y: 0.19, Z: -1}
		l := n.Len()
		return sdf.At(sdf.Facets{Planes: []sdf.HalfSpace{
			{N: vec.P{X: -1}, D: 0}, {N: vec.P{X: 1}, D: 9}, {N: vec.P{Z: 1}, D: 1},
			{N: n.Mul(1 / l), D: 0.05 / l}, {N: vec.P{Y: -n.Y, Z: n.Z}.Mul(1 / l), D: 0.05 / l}, // z > |y| 0.19 - 0.05
		}}, vec.TurnZ(turn))
	}
	// A triangle across, 0.05 deep and 2 (0.05 / 0.19) wide, from a slanted end at
	// the middle to the edge of the plate.
	cut := (4 + 4.40 + 4.81) * 0.05 * 0.05 / 0.19 // by their lengths up to the outline
	// And what the rounding takes from the edge, nearly.
	edge := (1 - math.Pi/4) * 0.09 * 0.09 * (4*4 + 4*math.Pi)
	for _, c := range []struct {
		name   string
		f      sdf.Field
		volume float64
		off    float64
		cells  int
	}{
		{"wires", sdf.Union{wire(0, r), wire(0.005, r)}, round + 0.005*(2*2*r+math.Pi*r*r), 0.03, 20_000},
		{"unlike wires", sdf.Union{wire(0, r), wire(0.005, r-0.001)}, round, 0.03, 20_000},
		{"grooves", sdf.Difference{
			From: sdf.Prism{Outline: must(outline.RoundedRect(8, 8, 2)), Z0: -1, Z1: 0, RoundTop: 0.09},
			Cut:  []sdf.Field{groove(0), groove(2), groove(4)},
		}, 64 - (4-math.Pi)*4 - cut - edge, 0.04, 60_000}, // less than a groove is off
	} {
		m, rep := meshed(t, c.f, 0)
		j := manifold.Judge(m)
		t.Logf("%s: %d cells, volume %g, %g", c.name, rep.Cells, j.Volume, c.volume)
		if !j.OK() || j.Genus() != 0 || len(j.Bodies) != 1 || rep.Cells > c.cells {
			t.Errorf("%s: %d cells, %s", c.name, rep.Cells, j.String())
		}
		if math.Abs(j.Volume-c.volume) > c.off {
			t.Errorf("%s: volume is %g, not %g", c.name, j.Volume, c.volume)
		}
	}
}

// A ledge at the height of a rounded plate's face, from a ring set into the plate,
// cut by a stone whose girdle begins there: four surfaces pass along its inner circle,
// and two of them are one.
func TestLedge(t *testing.T) {
	at := func(x, y float64) outline.Seg { return outline.Seg{At: vec.P2{X: x, Y: y}} }
	ring := must(outline.New(outline.Loop{at(1.4, -0.8), at(2.6, -0.8), at(2.6, 0.9), at(2.1, 0.9), at(2.1, 0), at(1.4, 0)}))
	stone := must(outline.New(outline.Loop{at(0, -1.8), at(2, 0), at(2, 0.15), at(0, 2)}))
	for _, plate := range []outline.Outline{must(outline.Circle(6)), must(outline.Scallop(14, 9, 0.3, 0))} {
		c := compiled(t, sdf.Difference{
			From: sdf.Union{sdf.Prism{Outline: plate, Z0: -1, Z1: 0, RoundTop: 0.3}, sdf.Revolve{Outline: ring}},
			Cut: []sdf.Field{
				sdf.Cylinder{R: 1.4, Z0: -2, Z1: 2},
				sdf.Revolve{Outline: stone},
			},
		})
		m, _, err := Mesh(context.Background(), c, Options{Tol: 0.01})
		if err != nil {
			t.Error(err)
			continue
		}
		if j := manifold.Judge(m); !j.OK() || j.Genus() != 1 {
			t.Errorf("judged: %s", j.String())
		}
		if _, what := wrong(c, 0.01); what != "" {
			t.Error(what)
		}
	}
}
