package draft

import (
	"context"
	"math"
	"testing"
)

// washer is a plate with a round hole, and a loop on its edge: what is kept
// free has areas that formulas tell.
const washer = `piece "washer" { finish = "as-cast" }
plate "p" {
  form      = "circle"
  across    = 12
  thickness = 2
}
opening "o" {
  form   = "circle"
  in     = plate.p
  across = 5
}
`

func TestSurfaces(t *testing.T) {
	m := modelOf(t, washer)
	c := &m.Castings[0]
	cast := m.Cast(c)
	area := map[Surface]float64{}
	for i, k := range Surfaces(m, c) {
		a, b, d := cast.Corners(i)
		area[k] += b.Sub(a).Cross(d.Sub(a)).Len() / 2
	}
	ring := math.Pi * (36 - 6.25)
	for k, want := range map[Surface]float64{
		Hole:  math.Pi * 5 * 2,
		Front: ring,
		Free:  ring + math.Pi*12*2, // the back and the rim
		Seat:  0, Post: 0,
	} {
		if math.Abs(area[k]-want) > 0.03*want {
			t.Errorf("%s: %g mm2, want %g", surfaces[k].words, area[k], want)
		}
	}
}

// The caster's picture of every example is tidy and says what may be touched.
func TestKeepFree(t *testing.T) {
	for name, m := range castings() {
		d, err := KeepFree(context.Background(), m, Options{Width: 60, Height: 60})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range tidy(d) {
			t.Errorf("%s: %s", name, f)
		}
		_, texts, _ := readSVG(t, svgOf(t, d))
		for _, k := range []Surface{Free, Front, Seat} {
			if !contains(texts, surfaces[k].words) {
				t.Errorf("%s: %q is not in the legend %q", name, surfaces[k].words, texts)
			}
		}
	}
	if _, err := KeepFree(context.Background(), castings()["stud"], Options{Width: 1}); err == nil {
		t.Error("a picture on 1 mm of paper")
	}
}
