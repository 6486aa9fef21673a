package finding

import (
	"math"
	"testing"

	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
)

func TestRing(t *testing.T) {
	r := Ring{Wire: 0.8118, Bore: 2.38} // 4 mm over all, 20 AWG: the commonest (Fire Mountain Gems, common jump rings)
	f, err := r.Field()
	if err != nil {
		t.Fatal(err)
	}
	sdftest.Conform(t, "ring", f)
	if got := 2 * (r.Middle() + r.Wire/2); math.Abs(got-4) > 0.005 {
		t.Errorf("outside diameter %g, want 4", got)
	}
	if d := f.Dist(vec.P{X: r.Bore / 2}); math.Abs(d) > 1e-12 {
		t.Errorf("the bore is %g off", d)
	}
}

func TestPost(t *testing.T) {
	p := Post{Wire: 0.8118, Length: 11, Root: 0.6, Notch: 2, Groove: 0.12, Pad: 2.5, Flange: 0.5}
	f, err := p.Field()
	if err != nil {
		t.Fatal(err)
	}
	sdftest.Conform(t, "post", f)
	r := p.Wire / 2
	for what, q := range map[string]vec.P{
		"tip": {Z: -11}, "root": {Z: 0.6}, "side": {X: r, Z: -5}, "pad": {X: 1.25, Z: 0},
		"notch": {X: r - 0.12, Z: -9},
	} {
		if d := f.Dist(q); math.Abs(d) > 1e-12 {
			t.Errorf("%s at %v is %g off", what, q, d)
		}
	}
}

func TestRefusals(t *testing.T) {
	for _, r := range []Ring{{}, {1, 0}, {math.NaN(), 1}} {
		if _, err := r.Field(); err == nil {
			t.Errorf("no error for %+v", r)
		}
	}
	good := Post{Wire: 0.8, Length: 11, Root: 0.6, Notch: 2, Groove: 0.12}
	for _, spoil := range []func(*Post){
		func(p *Post) { p.Wire = 0 }, func(p *Post) { p.Length = 0.5 }, func(p *Post) { p.Notch = 11 },
		func(p *Post) { p.Groove = 0.3 }, func(p *Post) { p.Pad = 0.5 }, func(p *Post) { p.Root = -1 },
	} {
		p := good
		spoil(&p)
		if _, err := p.Field(); err == nil {
			t.Errorf("no error for %+v", p)
		}
	}
}
