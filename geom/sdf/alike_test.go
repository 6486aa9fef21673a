package sdf

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// nearlyAlike draws solids of few sizes and places, each number off by little.
func nearlyAlike(t *rapid.T, little float64) Field {
	num := func(of ...float64) float64 {
		return rapid.SampledFrom(of).Draw(t, "number") + rapid.Float64Range(-little, little).Draw(t, "off")*rapid.SampledFrom([]float64{1, 1, 1, 60}).Draw(t, "times")
	}
	square, err := outline.RoundedRect(1.4, 1.4, 0.3)
	if err != nil {
		t.Fatal(err)
	}
	var kids []Field
	for range rapid.IntRange(2, 5).Draw(t, "kids") {
		var f Field
		switch rapid.IntRange(0, 6).Draw(t, "kind") {
		case 0:
			f = Box{Half: vec.P{X: num(0.5, 1), Y: num(0.5, 1), Z: num(0.5, 1)}}
		case 1:
			f = Sphere{R: num(0.5, 1)}
		case 2:
			f = Cylinder{R: num(0.5, 1), Z0: num(-1, -0.5), Z1: num(0.5, 1)}
		case 3:
			f = Cone{R0: num(0.5, 1), Z0: num(-1, -0.5), R1: num(0.3, 0.6), Z1: num(0.5, 1)}
		case 4:
			f = Torus{Major: num(0.5, 1), Minor: num(0.2, 0.3)}
		case 5:
			f = Capsule{A: vec.P{X: num(-1, -0.5)}, B: vec.P{X: num(0.5, 1)}, R: num(0.3, 0.5)}
		default:
			f = Prism{Outline: square, Z0: num(-1, -0.5), Z1: num(0.5, 1)}
		}
		by := vec.Turn(vec.P{X: 1, Y: 2, Z: 3}, rapid.SampledFrom([]float64{0, math.Pi, little}).Draw(t, "turn"))
		by.O = vec.P{X: num(0, 1), Y: num(0, 1), Z: num(0)}
		kids = append(kids, At(f, by))
	}
	if rapid.Bool().Draw(t, "cut") {
		return Difference{From: Union(kids[1:]), Cut: kids[:1]}
	}
	return Union(kids)
}

// What is farther than the slack from the surface stays inside or outside when
// like surfaces are joined, and when they are shifted by as much; what is joined
// has fewer surfaces.
func TestJoined(t *testing.T) {
	fewer := 0
	rapid.Check(t, func(t *rapid.T) {
		const little = 1e-3
		c, err := Compile(nearlyAlike(t, little/20))
		if err != nil {
			t.Skip()
		}
		c = c.Faces()
		d, to, moved := c.Joined(little)
		if (to == nil) != (d == c) {
			t.Fatal("names without a new code, or none")
		}
		if moved > little {
			t.Fatalf("moved by %g", moved)
		}
		used := func(c *Code) int {
			seen := map[int]bool{}
			for _, w := range c.Whole().Words(nil) {
				seen[c.Whole().Surface(w)] = true
			}
			return len(seen)
		}
		if n, m := used(c), used(d); n < m || (n > m) != (d != c) {
			t.Fatalf("%d surfaces of %d", m, n)
		} else if n > m {
			fewer++
		}
		by := make([]float64, d.Surfaces())
		for i := range by {
			by[i] = rapid.Float64Range(-little, little).Draw(t, "by")
		}
		for i, can := range d.Shifts() {
			if !can {
				by[i] = 0
			}
		}
		e, ok := d.Shifted(by)
		if !ok {
			t.Fatal("not shifted")
		}
		for range 200 {
			at := func() float64 { return rapid.Float64Range(-2, 2).Draw(t, "at") }
			p := vec.P{X: at(), Y: at(), Z: at()}
			// nearer to the surface, where something may go wrong
			q, _, _ := c.Nearest(p)
			p = q.Add(p.Sub(q).Mul(0.003))
			v := c.Dist(p)
			if w := d.Dist(p); math.Abs(v) > moved+1e-9 && (v < 0) != (w < 0) {
				t.Fatalf("at %v the value is %g, joined %g", p, v, w)
			}
			if w := e.Dist(p); math.Abs(v) > moved+little+1e-9 && (v < 0) != (w < 0) {
				t.Fatalf("at %v the value is %g, shifted %g", p, v, w)
			}
		}
	})
	if fewer == 0 {
		t.Error("nothing was joined")
	}
}

// Each kind of surface is shifted outwards by what is asked.
func TestShifted(t *testing.T) {
	for _, f := range []Field{
		HalfSpace{N: vec.P{X: 0.6, Z: 0.8}, D: 1},
		Sphere{R: 1},
		Torus{Major: 2, Minor: 0.5},
		Capsule{B: vec.P{X: 2}, R: 0.5},
		Intersection{Cylinder{R: 1, Z0: -9, Z1: 9}},
		Cone{R0: 0, Z0: 0, R1: 9, Z1: 12},
	} {
		c, err := Compile(f)
		if err != nil {
			t.Fatal(err)
		}
		c = c.Faces()
		const by = 0.01
		list := make([]float64, c.Surfaces())
		for i := range list {
			list[i] = by
		}
		p := vec.P{X: 1.3, Y: -0.4, Z: 2}
		d, ok := c.Shifted(list)
		if off := c.Dist(p) - d.Dist(p) - by; !ok || math.Abs(off) > 1e-12 {
			t.Errorf("%T: off by %g", f, off)
		}
	}
}

// An outline and its mirror image are no like surfaces, however their frames lie.
func TestJoinedMirror(t *testing.T) {
	s, c := math.Sincos(math.Pi / 6)
	at := func(x, y, bulge float64) outline.Seg {
		return outline.Seg{At: vec.P2{X: c*x - s*y, Y: s*x + c*y}, Bulge: bulge}
	}
	o, err := outline.New(outline.Loop{at(-1, -0.5, 0), at(1, -0.5, 1), at(1, 0.5, 0), at(-1, 0.5, 1)})
	if err != nil {
		t.Fatal(err)
	}
	a := Prism{Outline: o, Z0: -1, Z1: 1}
	const little = 1e-4
	for name, f := range map[string]Field{
		"mirror": Union{a, At(a, vec.Place{X: vec.P{X: 1}, Y: vec.P{Y: -1}, Z: vec.P{Z: 1}})},
		"turned": Difference{From: a, Cut: []Field{At(At(a, vec.MirrorX()), vec.TurnZ(math.Pi))}},
	} {
		code, err := Compile(f)
		if err != nil {
			t.Fatal(err)
		}
		code = code.Faces()
		if d, _, _ := code.Joined(little); d != code {
			t.Errorf("%s: joined", name)
		}
	}
}
