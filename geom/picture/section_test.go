package picture

import (
	"image"
	"image/color"
	"math"
	"testing"

	"waxwright/geom/vec"
)

// Cuts of a torus: through its axis 2 pi r^2; across it, at height h over the
// middle, pi((R+w)^2 - (R-w)^2) = 4 pi R w with w = sqrt(r^2 - h^2).
func TestTorusSections(t *testing.T) {
	const R, r, h = 5.0, 1.3, 0.4
	m := torus(R, r, 120)
	put := vec.Shift(vec.P{X: 3, Y: 1, Z: -2}).After(vec.Turn(vec.P{X: 1, Y: 1, Z: 3}, 1.1))
	w := math.Sqrt(r*r - h*h)
	for _, c := range []struct {
		name string
		n    vec.P
		off  float64
		want float64
	}{
		{"through the axis", vec.P{X: 3, Y: 1}, 0, 2 * math.Pi * r * r},
		{"across", vec.P{Z: 1}, h, 4 * math.Pi * R * w},
		{"across, from below", vec.P{Z: -1}, h, 4 * math.Pi * R * w},
		{"beside", vec.P{Z: 1}, 1.5, 0},
	} {
		for _, p := range []vec.Place{vec.Here, put, vec.MirrorX().After(put)} {
			n := p.Dir(c.n.Unit())
			cut := Plane{n.Mul(2), 2 * (c.off + n.Dot(p.O))} // any length will do
			edges, err := Section(m, p, cut)
			if err != nil {
				t.Fatal(err)
			}
			if got := SectionArea(edges, cut); math.Abs(got-c.want) > 1e-3*math.Max(c.want, 1) {
				t.Errorf("%s: area %g, want %g", c.name, got, c.want)
			}
			ends := map[vec.P]int{}
			for _, e := range edges {
				ends[e.A]++
				ends[e.B]--
			}
			for q, k := range ends {
				if k != 0 {
					t.Fatalf("%s: the border is open at %v", c.name, q)
				}
			}
		}
	}
}

// A picture of a cut shows as much cut face as there is: a sphere cut at half
// its radius, seen from the cut side.
func TestCutFaceIsFilled(t *testing.T) {
	const r = 2.0
	s := scene(here(sphere(r, 90), red))
	cut := &Plane{vec.P{Z: 1}, r / 2}
	o := Options{Cut: cut, Bare: true, Width: 240, Height: 180}
	cam, err := Frame(s, o)
	if err != nil {
		t.Fatal(err)
	}
	img := render(t, s, o)
	side := math.Sqrt(3) / 2 * r * cam.Scale // radius of the cut face in pixels
	marks, lines, inside := 0, 0, 0
	for y := range 180 {
		for x := range 240 {
			d := math.Hypot(float64(x)+0.5-cam.X, float64(y)+0.5-cam.Y)
			c := img.NRGBAAt(x, y)
			switch {
			case d < side-2.5:
				inside++
				if c.R > 0xa0 && c.G > 0x60 { // the light ground of the hatching
					marks++
				} else {
					lines++
				}
			case d > side+1.5 && c.A == 0xff && c.G > 0x60:
				t.Fatalf("the cut face shows outside its border at %d, %d: %v", x, y, c)
			}
		}
	}
	if lines == 0 || marks == 0 || lines > inside/2 {
		t.Errorf("%d pixels of hatching and %d of lines in a cut face of %d", marks, lines, inside)
	}
	// from behind, the cut face is not seen
	o.View = Back
	if c := render(t, s, o).NRGBAAt(120, 90); c.G > 0x60 {
		t.Errorf("from behind the middle shows %v", c)
	}
}

func TestScale(t *testing.T) {
	s := WallScale(0.6)
	below, above := s.Color(0.6-1e-9), s.Color(0.6)
	if below == above {
		t.Error("no step at the limit")
	}
	if s.Color(-1) != s[0].Color || s.Color(99) != s[len(s)-1].Color || s.Color(math.Inf(1)) != s[len(s)-1].Color {
		t.Error("values beyond the ends do not have the colours of the ends")
	}
	if s.Color(math.NaN()) != unknown || Scale(nil).Color(1) != unknown {
		t.Error("what is not known is not grey")
	}
	two := Scale{{1, color.NRGBA{0, 100, 200, 255}}, {3, color.NRGBA{200, 0, 100, 255}}}
	if got := two.Color(2); got != (color.NRGBA{100, 50, 150, 255}) {
		t.Errorf("half way is %v", got)
	}
}

// The legend stands in its own room, in the scale's colours, low values low.
func TestLegend(t *testing.T) {
	s := scene(here(sphere(2, 12), red))
	sc := WallScale(0.6)
	o := Options{Legend: &Legend{"wall, mm", sc}, Width: 400, Height: 300}
	img := render(t, s, o)
	x := 400 - int(legendRoom(o)) + int(1.6*labelSize(o))
	if c := img.NRGBAAt(x, int(0.80*300)-2); c != sc.Color(0.005) && c.R < 2*c.G {
		t.Errorf("the foot of the legend is %v, want dark red", c)
	}
	if c := img.NRGBAAt(x, int(0.26*300)+2); c.B < c.R {
		t.Errorf("the head of the legend is %v, want blue", c)
	}
	cam, err := Frame(s, o)
	if err != nil {
		t.Fatal(err)
	}
	if right := cam.X + 2*cam.Scale; right > 400-legendRoom(o) {
		t.Errorf("the body reaches to %g, into the legend", right)
	}
}

// Badges of crowded pins do not overlap each other and stay in the picture.
func TestPinsKeepClear(t *testing.T) {
	s := scene(here(sphere(2, 12), red))
	var pins []Pin
	for i := range 14 {
		a := float64(i)
		pins = append(pins, Pin{At: vec.P{X: 0.12 * a, Y: 1.9 * math.Sin(a), Z: 2 - a/3}, Label: string(rune('A' + i))})
	}
	o := Options{Pins: pins, Width: 400, Height: 300}
	st := stageOf(t, s, o)
	f, err := fontFace(true, labelSize(o))
	if err != nil {
		t.Fatal(err)
	}
	spots := st.drawPins(pen{image.NewNRGBA(image.Rect(0, 0, 400, 300))}, f)
	for i, a := range spots {
		if a.bx < a.hw || a.by < a.hh || a.bx > 400-a.hw || a.by > 300-a.hh {
			t.Errorf("badge %d at %g, %g leaves the picture", i, a.bx, a.by)
		}
		for j, b := range spots[:i] {
			if math.Abs(a.bx-b.bx) < a.hw+b.hw && math.Abs(a.by-b.by) < a.hh+b.hh {
				t.Errorf("badges %d and %d overlap", i, j)
			}
		}
	}
	if spots[0].hidden || !spots[13].hidden {
		t.Errorf("a place on the front is hidden: %v, one behind: %v", spots[0].hidden, spots[13].hidden)
	}
}

func TestContactSheet(t *testing.T) {
	fill := func(w, h int, c color.NRGBA) image.Image {
		img := image.NewNRGBA(image.Rect(0, 0, w, h))
		for i := 0; i < len(img.Pix); i += 4 {
			img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = c.R, c.G, c.B, 0xff
		}
		return img
	}
	a, b := color.NRGBA{200, 0, 0, 0xff}, color.NRGBA{0, 0, 200, 0xff}
	imgs := []image.Image{fill(60, 40, a), fill(30, 20, b), fill(60, 40, b)}
	out, err := ContactSheet(imgs, []string{"one", "two"}, 2)
	if err != nil {
		t.Fatal(err)
	}
	count := map[color.NRGBA]int{}
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			count[out.NRGBAAt(x, y)]++
		}
	}
	if count[a] != 60*40 || count[b] != 60*40+30*20 {
		t.Errorf("%d and %d pixels of the pictures, want %d and %d", count[a], count[b], 60*40, 60*40+30*20)
	}
	if w := out.Rect.Dx(); w < 2*60 || w > 2*60+3*20 {
		t.Errorf("two columns of 60 pixels are %d wide", w)
	}
	for _, bad := range []func() error{
		func() error { _, err := ContactSheet(nil, nil, 2); return err },
		func() error { _, err := ContactSheet(imgs, nil, 0); return err },
		func() error { _, err := ContactSheet(imgs[:1], []string{"a", "b"}, 1); return err },
		func() error { _, err := ContactSheet([]image.Image{nil}, nil, 1); return err },
	} {
		if bad() == nil {
			t.Error("a sheet that cannot be made has no error")
		}
	}
}
