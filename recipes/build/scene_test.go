package build

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/picture"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
)

// A map of walls paints a plate by its thickness, away from its edge, however
// large the triangles of its faces are.
func TestWalls(t *testing.T) {
	m := build(t, read(t, disc), Options{Tol: 0.05}) // 2 mm thick, 10 across
	scale := picture.WallScale(1)
	asked := Asked{1.5, func(*Casting) func(p, q vec.P, tags [2]uint32) wall.Asked {
		return func(p, q vec.P, tags [2]uint32) wall.Asked { return wall.Asked{Width: 1.5} }
	}}
	s, err := m.Walls(context.Background(), scale, asked, nil, 0)
	if err != nil || len(s.Items) != 1 {
		t.Fatalf("%d items: %v", len(s.Items), err)
	}
	it, seen := s.Items[0], 0
	want := scale.Color(2 / 1.5)
	for i, p := range it.Mesh.V {
		if math.Hypot(p.X, p.Y) > 3.5 {
			continue
		}
		seen++
		got := it.Paint[i]
		if d := math.Abs(float64(got.R)-float64(want.R)) + math.Abs(float64(got.B)-float64(want.B)); d > 6 {
			t.Fatalf("%v is painted %v, 2 mm are %v", p, got, want)
		}
	}
	if seen < 500 {
		t.Errorf("%d places were measured on the faces", seen)
	}
	above := func(_, n vec.P) bool { return n.Z > 0.5 }
	if s, err = m.Walls(context.Background(), scale, asked, above, 0); err != nil {
		t.Fatal(err)
	}
	thick := scale.Color(math.Inf(1))
	for i, p := range s.Items[0].Mesh.V {
		faced := p.Z > -1 // the face lies at 0, the back at -2
		if got := s.Items[0].Paint[i]; math.Hypot(p.X, p.Y) < 3.5 && (got == thick) == faced {
			t.Fatalf("seen from above %v is painted %v, what is thick %v", p, got, thick)
		}
	}
	if _, err := m.Walls(context.Background(), nil, asked, nil, 0); err == nil {
		t.Error("a map without a scale")
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := m.Walls(ctx, scale, asked, nil, 0); err == nil {
		t.Error("a cancelled map")
	}
}

// Bodies are castings and stones in their places: a stone's middle as worn is
// where the piece has it, and Worn agrees.
func TestBodies(t *testing.T) {
	m := build(t, read(t, `piece "pair" { pair = "same" }
stones "s" {
  layout = "one"
  gem    = "ruby"
  size   = 3
  at     = 90
  out    = 2
}
plate "p" {
  form   = "circle"
  across = 12
  turn   = 90
}
bezel "b" {
  on    = plate.p
  holds = stones.s
}
`), Options{Tol: 0.1})
	one, both := m.Bodies(false), m.Bodies(true)
	if len(one) != 2 || len(both) != 4 {
		t.Fatalf("%d and %d bodies, want 2 and 4", len(one), len(both))
	}
	if one[0].Stone != nil || one[1].Stone == nil {
		t.Error("the metal comes first, then its stone")
	}
	// at bearing 90, turned 90 clockwise as worn: straight below
	if at := one[1].Place.O; at.Sub(vec.P{Y: -2, Z: at.Z}).Len() > 1e-9 {
		t.Errorf("the stone is at %v", at)
	}
	if at := m.Worn(&m.Castings[0]).Point(one[1].Stone.Place.O); at.Sub(one[1].Place.O).Len() > 1e-9 {
		t.Errorf("Worn puts the stone at %v, Bodies at %v", at, one[1].Place.O)
	}
	if n := len(m.Metal(true).Items); n != 2 {
		t.Errorf("%d bodies of metal", n)
	}
}
