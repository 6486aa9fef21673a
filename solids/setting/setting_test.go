package setting

import (
	"math"
	"strings"
	"testing"

	"waxwright/geom/outline"
	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
)

func TestBezel(t *testing.T) {
	girdle, err := outline.Circle(2.5)
	if err != nil {
		t.Fatal(err)
	}
	b := Bezel{Girdle: girdle, Clearance: 0.05, Wall: 0.45, Bearing: 0.4, Foot: -0.8, Lip: 0.6}
	f, err := b.Field()
	if err != nil {
		t.Fatal(err)
	}
	sdftest.Conform(t, "bezel", f)
	for _, c := range []struct {
		p    vec.P
		want float64
		what string
	}{
		{vec.P{X: 2.55, Z: 0.3}, 0, "inner wall"},
		{vec.P{X: 3.0, Z: 0.3}, 0, "outer wall"},
		{vec.P{X: 2.775, Z: 0.6}, 0, "lip"},
		{vec.P{X: 2.3, Z: 0}, 0, "bearing"},
		{vec.P{X: 2.1, Z: -0.4}, 0, "bore"},
		{vec.P{X: 2.5, Z: -0.8}, 0, "foot"},
	} {
		if d := f.Dist(c.p); math.Abs(d-c.want) > 1e-9 {
			t.Errorf("%s at %v: %g", c.what, c.p, d)
		}
	}
	if f.Dist(vec.P{Z: 0.3}) <= 0 {
		t.Error("there is metal where the stone sits")
	}
}

func TestProng(t *testing.T) {
	f, err := Prong{Axis: vec.P2{X: 1, Y: 2}, Wire: 0.8, Foot: -0.7, Tip: 1.5}.Field()
	if err != nil {
		t.Fatal(err)
	}
	sdftest.Conform(t, "prong", f)
	for _, p := range []vec.P{{X: 1, Y: 2, Z: 1.5}, {X: 1, Y: 2, Z: -0.7}, {X: 1.4, Y: 2, Z: 0.5}} {
		if d := f.Dist(p); math.Abs(d) > 1e-12 {
			t.Errorf("at %v: %g", p, d)
		}
	}
}

func TestRefusals(t *testing.T) {
	girdle, err := outline.Circle(2.5)
	if err != nil {
		t.Fatal(err)
	}
	good := Bezel{Girdle: girdle, Clearance: 0.05, Wall: 0.45, Bearing: 0.4, Foot: -0.8, Lip: 0.6}
	for _, spoil := range []func(*Bezel){
		func(b *Bezel) { b.Wall = 0 }, func(b *Bezel) { b.Bearing = 2.6 }, func(b *Bezel) { b.Foot = 0 },
		func(b *Bezel) { b.Clearance = -1 }, func(b *Bezel) { b.Lip = math.NaN() },
	} {
		b := good
		spoil(&b)
		if _, err := b.Field(); err == nil {
			t.Errorf("no error for %+v", b)
		}
	}
	for _, p := range []Prong{{Wire: 0, Tip: 1}, {Wire: 1, Tip: 1}, {Wire: math.NaN(), Tip: 9}} {
		if _, err := p.Field(); err == nil {
			t.Errorf("no error for %+v", p)
		}
	}
}

// Errors name lengths as makers read them, not all digits of a float.
func TestProngErrorDigits(t *testing.T) {
	_, err := Prong{Wire: 4, Foot: -0.96, Tip: -0.2 - 1.8041152263374484}.Field()
	if err == nil || !strings.Contains(err.Error(), "to -2.004 is") {
		t.Error(err)
	}
}
