package outline

import (
	"fmt"
	"math"
	"testing"

	"waxwright/geom/vec"
)

// made is an outline of known figures. A figure of 0 is not known.
type made struct {
	name         string
	of           Outline
	err          error
	area, length float64
	w, h         float64 // bounding box
	corners      int     // -1: not known
}

func all() []made {
	var list []made
	add := func(m made, o Outline, err error) {
		m.of, m.err = o, err
		list = append(list, m)
	}
	o, err := Circle(3)
	add(made{name: "circle", area: 9 * math.Pi, length: 6 * math.Pi, w: 6, h: 6}, o, err)
	o, err = Ring(8.5, 7.7)
	add(made{name: "ring", area: math.Pi * (8.5*8.5 - 7.7*7.7), length: 2 * math.Pi * 16.2, w: 17, h: 17}, o, err)
	o, err = RoundedRect(6, 4, 0)
	add(made{name: "rectangle", area: 24, length: 20, w: 6, h: 4, corners: 4}, o, err)
	o, err = RoundedRect(6, 4, 1)
	add(made{name: "rounded rectangle", area: 24 - (4 - math.Pi), length: 12 + 2*math.Pi, w: 6, h: 4}, o, err)
	o, err = Slot(6, 4)
	add(made{name: "slot", area: 8 + 4*math.Pi, length: 4 + 4*math.Pi, w: 6, h: 4}, o, err)
	o, err = Slot(4, 4)
	add(made{name: "round slot", area: 4 * math.Pi, length: 4 * math.Pi, w: 4, h: 4}, o, err)
	o, err = Slot(2, 7)
	add(made{name: "upright slot", area: 10 + math.Pi, length: 10 + 2*math.Pi, w: 2, h: 7}, o, err)
	o, err = Cushion(8, 6, 0.5, 1.5)
	add(made{name: "cushion", w: 8, h: 6}, o, err)
	o, err = Cushion(8, 6, 0.5, 0)
	add(made{name: "sharp cushion", w: 8, h: 6, corners: 4}, o, err)
	for _, n := range []int{3, 4, 5, 6, 8, 12} {
		a := math.Pi / float64(n)
		o, err = RegularPolygon(n, 10, 0)
		add(made{name: fmt.Sprintf("%d corners", n), area: float64(n) * 12.5 * math.Sin(2*a), length: float64(n) * 10 * math.Sin(a), corners: n}, o, err)
		// by Steiner: the inner polygon, its rim of width r, and one disc of r
		o, err = RegularPolygon(n, 10, 1)
		in := 5 - 1/math.Cos(a)
		add(made{
			name:   fmt.Sprintf("%d rounded corners", n),
			area:   float64(n)*in*in/2*math.Sin(2*a) + float64(n)*2*in*math.Sin(a) + math.Pi,
			length: float64(n)*2*in*math.Sin(a) + 2*math.Pi,
		}, o, err)
	}
	for _, n := range []int{3, 5, 10, 24} {
		deep := DeepestNotch(26, n)
		o, err = Scallop(26, n, deep/2, 0)
		add(made{name: fmt.Sprintf("%d lobes", n), corners: n}, o, err)
		o, err = Scallop(26, n, deep*0.999, 0.3)
		add(made{name: fmt.Sprintf("%d lobes, rounded notches", n)}, o, err)
	}
	o, err = Pear(18, 30, 0)
	add(made{name: "pear", w: 18, h: 30, corners: 1}, o, err)
	o, err = Pear(18, 30, 2)
	add(made{name: "soft pear", w: 18, h: 30}, o, err)
	o, err = Polygon(vec.P2{}, vec.P2{Y: 3}, vec.P2{X: 4})
	add(made{name: "3-4-5", area: 6, length: 12, w: 4, h: 3, corners: 3}, o, err)
	return list
}

func TestShapesHaveTheirFigures(t *testing.T) {
	for _, m := range all() {
		t.Run(m.name, func(t *testing.T) {
			if m.err != nil {
				t.Fatal(m.err)
			}
			if err := m.of.Check(); err != nil {
				t.Fatal(err)
			}
			if m.area != 0 {
				near(t, "area", m.of.Area(), m.area, 1e-12*m.area)
			}
			if m.length != 0 {
				near(t, "length", m.of.Length(), m.length, 1e-12*m.length)
			}
			b := m.of.Bounds()
			if m.w != 0 {
				near(t, "width", b.Size().X, m.w, 1e-12)
				near(t, "height", b.Size().Y, m.h, 1e-12)
				if m.name != "3-4-5" {
					near(t, "middle", b.Center().Len(), 0, 1e-12)
				}
			}
			corners := 0
			for _, l := range m.of.Loops {
				for i := range l {
					if CornerOf(l.Span(i), l.Span((i+1)%len(l))) != Smooth {
						corners++
					}
				}
			}
			if corners != m.corners {
				t.Fatalf("%d corners, want %d", corners, m.corners)
			}
		})
	}
}

// The lobes' tips lie on the diameter, the notches on theirs, and the deepest
// notch is where the lobes' tangents run along the ray.
func TestScallopFigures(t *testing.T) {
	const across, n = 26.0, 10
	o, err := Scallop(across, n, 1, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i := range n {
		b := 2 * math.Pi * float64(i) / n
		near(t, "tip", o.Dist(vec.Bearing(across/2, b)), 0, 1e-12)
		near(t, "notch", o.Dist(vec.Bearing(across/2-1, b+math.Pi/n)), 0, 1e-12)
		near(t, "above the tip", o.Dist(vec.Bearing(across/2+2, b)), 2, 1e-12)
	}
	deep := DeepestNotch(across, n)
	o, err = Scallop(across, n, deep*(1-1e-9), 0)
	if err != nil {
		t.Fatal(err)
	}
	s := o.Loops[0].Span(0)
	near(t, "tangent along the ray", s.T0.Cross(s.A.Unit()), 0, 1e-3)
	if _, err := Scallop(across, n, deep, 0); err == nil {
		t.Fatal("lobes that touch pass")
	}
	// three lobes touch when each is a disc of the ring of 3 (09-004):
	// R = 1.154701 for discs of 1, reaching to 2.154701
	near(t, "ring of 3", (1.154701*math.Cos(math.Pi/3))/2.154701, 1-DeepestNotch(2, 3), 1e-6)
}

func TestPearFigures(t *testing.T) {
	for _, tip := range []float64{0, 1, 4} {
		o, err := Pear(18, 30, tip)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "top", o.Dist(vec.P2{Y: 15}), 0, 1e-12)
		near(t, "bottom", o.Dist(vec.P2{Y: -15}), 0, 1e-12)
		near(t, "widest", o.Dist(vec.P2{X: 9, Y: -6}), 0, 1e-12)
		near(t, "centre of the round end", o.Dist(vec.P2{Y: -6}), -9, 1e-12)
		if p := (vec.P2{Y: 15 - tip}); tip > 0 {
			near(t, "centre of the tip", o.Dist(p), -tip, 1e-12)
		}
	}
}

func TestShapesRefuseBadSizes(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	for name, f := range map[string]func() (Outline, error){
		"circle -1":         func() (Outline, error) { return Circle(-1) },
		"circle NaN":        func() (Outline, error) { return Circle(nan) },
		"circle Inf":        func() (Outline, error) { return Circle(inf) },
		"ring 2 3":          func() (Outline, error) { return Ring(2, 3) },
		"rect r":            func() (Outline, error) { return RoundedRect(6, 4, 2.1) },
		"rect NaN":          func() (Outline, error) { return RoundedRect(6, 4, nan) },
		"slot":              func() (Outline, error) { return Slot(0, 1) },
		"cushion r":         func() (Outline, error) { return Cushion(8, 6, 0.5, 5) },
		"cushion rise":      func() (Outline, error) { return Cushion(8, 6, 3, 0) },
		"cushion NaN":       func() (Outline, error) { return Cushion(8, 6, nan, 1) },
		"polygon 2":         func() (Outline, error) { return RegularPolygon(2, 1, 0) },
		"polygon many":      func() (Outline, error) { return RegularPolygon(1e9, 1, 0) },
		"polygon r":         func() (Outline, error) { return RegularPolygon(3, 2, 0.5) },
		"scallop many":      func() (Outline, error) { return Scallop(26, 1e9, 1, 0) },
		"scallop negative":  func() (Outline, error) { return Scallop(26, 10, -1, 0) },
		"scallop NaN round": func() (Outline, error) { return Scallop(26, 10, 1, nan) },
		"pear low":          func() (Outline, error) { return Pear(18, 18, 0) },
		"pear tip":          func() (Outline, error) { return Pear(18, 30, 9) },
		"points":            func() (Outline, error) { return Polygon(vec.P2{}, vec.P2{X: 1}) },
	} {
		if o, err := f(); err == nil || !o.Empty() {
			t.Errorf("%s passes: %v, %v", name, o.Loops, err)
		}
	}
}
