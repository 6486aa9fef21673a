package picture

import (
	"context"
	"flag"
	"fmt"
	"image"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"waxwright/geom/vec"
)

var look = flag.String("look", "", "write pictures for people to look at into this `folder`")

func write(t *testing.T, name string, img image.Image) {
	t.Helper()
	f, err := os.Create(filepath.Join(*look, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// Pictures to judge by eye: go test -run Look -look FOLDER.
func TestLook(t *testing.T) {
	if *look == "" {
		t.Skip("for the eye: go test -run Look -look FOLDER")
	}
	show := func(name string, s Scene, o Options) image.Image {
		if o.Width == 0 {
			o.Width, o.Height = 1600, 1200
		}
		start := time.Now()
		img, err := Render(context.Background(), s, o)
		if err != nil {
			t.Fatal(err)
		}
		t.Log(name, time.Since(start))
		write(t, name, img)
		return img
	}
	s := piece(3)
	var small []image.Image
	var names []string
	for v := Front; v <= Quarter; v++ {
		if v == Front || v == Quarter || v == Side {
			show("piece-"+v.String(), s, Options{View: v})
		}
		small = append(small, show("small-"+v.String(), s, Options{View: v, Width: 480, Height: 360}))
		names = append(names, v.String()+", 2.5 mm petals, a caption that is rather long")
	}
	sheet, err := ContactSheet(small, names, 3)
	if err != nil {
		t.Fatal(err)
	}
	write(t, "sheet", sheet)
	show("cut", s, Options{View: Side, Cut: &Plane{vec.P{X: 1}, 0.01}})
	show("cut-quarter", s, Options{View: Quarter, Cut: &Plane{vec.P{Y: -1}, 0.7}})
	var pins []Pin
	for i := range 10 {
		b := 2 * math.Pi * (float64(i) + 0.5) / 10
		pins = append(pins, Pin{At: vec.Bearing(4.4, b).At(0.8), Label: strconv.Itoa(i + 1), On: true})
	}
	for i := range 6 {
		pins = append(pins, Pin{At: vec.P{X: -3 + 1.3*float64(i), Y: -7, Z: -0.3 * float64(i)}, Label: strconv.Itoa(20 + i), Color: color.NRGBA{0xb0, 0x32, 0x26, 0xff}})
	}
	show("pins", s, Options{Pins: pins})
	walls := Scene{Items: append([]Item(nil), s.Items...)}
	sc := WallScale(0.6)
	for i := range walls.Items {
		it := &walls.Items[i]
		if _, ok := it.Look.(Metal); !ok {
			continue
		}
		v := make([]float64, len(it.Mesh.V))
		for k, p := range it.Mesh.V {
			v[k] = 1.2 + 0.9*math.Sin(p.X)*math.Cos(1.3*p.Y)
		}
		it.Paint = sc.Colors(v)
	}
	show("walls", walls, Options{View: Quarter, Legend: &Legend{"wall, mm", sc}})
	show("tray", tray(), Options{View: Quarter})
	show("tray-front", tray(), Options{View: Front})
}

// tray shows the looks beside each other: metals and stones.
func tray() Scene {
	var s Scene
	b := brilliant()
	for i := range b.V {
		b.V[i] = b.V[i].Mul(6)
	}
	c := func(r, g, b uint8) color.NRGBA { return color.NRGBA{r, g, b, 0xff} }
	for i, g := range []Gem{
		{Color: c(255, 255, 255), Index: 2.42, Fire: 0.044}, {Color: c(30, 60, 190), Index: 1.77, Fire: 0.018},
		{Color: c(20, 140, 80), Index: 1.58, Fire: 0.014}, {Color: c(170, 110, 210), Index: 1.55, Fire: 0.013},
		{Color: c(200, 20, 40), Index: 1.77, Fire: 0.018}, {Color: c(120, 200, 225), Index: 1.62, Fire: 0.014},
	} {
		g.Faceted = true
		s.Items = append(s.Items, Item{Mesh: b, Place: vec.Shift(vec.P{X: float64(i%3) * 8, Y: -float64(i/3) * 8, Z: 2.6}), Look: g})
	}
	cab := pin(2.9, 0, 2.9, 24)
	for i := range cab.V {
		cab.V[i].Z *= 0.7
	}
	for i, l := range []Look{
		Gem{Color: c(64, 176, 174), Cloud: 1}, Gem{Color: c(190, 45, 40), Index: 1.76, Cloud: 0.1}, Gem{Color: c(225, 226, 240), Index: 1.52, Cloud: 0.6},
	} {
		s.Items = append(s.Items, Item{Mesh: cab, Place: vec.Shift(vec.P{X: float64(i) * 8, Y: -16, Z: 0}), Look: l})
	}
	ring := torus(2.6, 0.7, 40)
	for i, l := range []Look{
		Metal{c(0xf4, 0xf1, 0xec), 0.10}, Metal{c(0xf3, 0xcf, 0x7d), 0.10}, Metal{c(0xee, 0xb8, 0x98), 0.12}, Metal{c(0xd9, 0xd6, 0xd2), 0.5}, Metal{c(0xd8, 0x92, 0x6a), 0.25}, Matte{c(0x58, 0x7f, 0xa6)},
	} {
		s.Items = append(s.Items, Item{Mesh: ring, Place: vec.Shift(vec.P{X: -8 - float64(i/3)*8, Y: -float64(i%3) * 8, Z: 0.7}), Look: l})
	}
	s.Items = append(s.Items, Item{Mesh: sphere(2.6, 40), Place: vec.Shift(vec.P{X: 24, Y: -16, Z: 2.6}), Look: Gem{Color: c(240, 232, 222), Index: 1.53, Cloud: 1}})
	s.Items = append(s.Items, Item{Mesh: box(vec.BoxOf(vec.P{X: -2, Y: -2}, vec.P{X: 2, Y: 2, Z: 3})), Place: vec.Shift(vec.P{X: 24}).After(vec.TurnZ(0.4)), Look: gold})
	return s
}

func BenchmarkRender(b *testing.B) {
	for _, fine := range []int{3, 6} {
		s := piece(fine)
		n := 0
		for _, it := range s.Items {
			n += len(it.Mesh.T)
		}
		for _, v := range []View{Front, Quarter} {
			b.Run(fmt.Sprintf("%v/%dk", v, n/1000), func(b *testing.B) {
				for b.Loop() {
					if _, err := Render(context.Background(), s, Options{Width: 1600, Height: 1200, View: v}); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
