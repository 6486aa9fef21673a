package gallery

import (
	"math"
	"testing"

	"waxwright/geom/outline"
	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
)

func TestGallery(t *testing.T) {
	o, err := outline.Circle(8)
	if err != nil {
		t.Fatal(err)
	}
	g := Gallery{
		Outline: o, Back: -1.3, Depth: 1.9, Inset: 0.9, Rim: 0.9, Thickness: 0.7,
		Windows: 5, Pillar: 1.1, Phase: 0.2, Bars: 1, Bar: 1, Root: 0.5,
	}
	f, err := g.Field()
	if err != nil {
		t.Fatal(err)
	}
	sdftest.Conform(t, "gallery", f)
	at := func(r, bearing, z float64) float64 { return f.Dist(vec.Bearing(r, bearing).At(z)) }
	for i := range 5 { // pillars at their bearings, windows between them
		b := g.Phase + 2*math.Pi*float64(i)/5
		if at(6.65, b, -1.9) >= 0 {
			t.Errorf("no pillar at bearing %g", b)
		}
		if d := at(6.65, b+math.Pi/5, -1.9); d <= 0 {
			t.Errorf("no window at bearing %g: %g", b+math.Pi/5, d)
		}
		if at(6.65, b+math.Pi/5, -2.8) >= 0 {
			t.Errorf("no rim at bearing %g", b+math.Pi/5)
		}
	}
	if at(0, 0, -2.8) >= 0 || at(0, 0, -2.4) <= 0 {
		t.Error("the bar is not where it should cross")
	}
	if d := at(7.1, 0.2, -3.2); math.Abs(d) > 1e-9 {
		t.Errorf("the rim's outer back edge is %g off", d)
	}
}

func TestRefusals(t *testing.T) {
	o, err := outline.Circle(8)
	if err != nil {
		t.Fatal(err)
	}
	good := Gallery{Outline: o, Back: -1.3, Depth: 1.9, Inset: 0.9, Rim: 0.9, Thickness: 0.7, Windows: 5, Pillar: 1.1}
	for _, spoil := range []func(*Gallery){
		func(g *Gallery) { g.Rim = 0 }, func(g *Gallery) { g.Windows = 0 }, func(g *Gallery) { g.Depth = 0.7 },
		func(g *Gallery) { g.Rim = 8 }, func(g *Gallery) { g.Bars = 3 }, func(g *Gallery) { g.Bars = 1 },
		func(g *Gallery) { g.Inset = -1 }, func(g *Gallery) { g.Pillar = math.NaN() },
	} {
		g := good
		spoil(&g)
		if _, err := g.Field(); err == nil {
			t.Errorf("no error for %+v", g)
		}
	}
}
