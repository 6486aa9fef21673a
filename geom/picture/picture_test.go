package picture

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

var (
	red  = Matte{color.NRGBA{0xc0, 0x20, 0x20, 0xff}}
	blue = Matte{color.NRGBA{0x20, 0x40, 0xc0, 0xff}}
)

func scene(items ...Item) Scene { return Scene{items} }

func here(m *mesh.Mesh, l Look) Item { return Item{Mesh: m, Place: vec.Here, Look: l} }

func render(t *testing.T, s Scene, o Options) *image.NRGBA {
	t.Helper()
	if o.Width == 0 {
		o.Width, o.Height = 240, 180
	}
	img, err := Render(context.Background(), s, o)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// cover is the number of pixels that a bare picture shows a body on, counted
// by their alpha.
func cover(img *image.NRGBA) float64 {
	sum := 0
	for i := 3; i < len(img.Pix); i += 4 {
		sum += int(img.Pix[i])
	}
	return float64(sum) / 255
}

// A sphere covers pi r^2 from every parallel view.
func TestSphereCoversItsDisc(t *testing.T) {
	const r = 3.7
	s := scene(Item{Mesh: sphere(r, 60), Place: vec.Shift(vec.P{X: 5, Y: -2, Z: 9}), Look: silver})
	for _, v := range []View{Front, Back, Side, Top} {
		o := Options{View: v, Bare: true, Width: 240, Height: 180}
		cam, err := Frame(s, o)
		if err != nil {
			t.Fatal(err)
		}
		got := cover(render(t, s, o)) / (cam.Scale * cam.Scale)
		if want := math.Pi * r * r; math.Abs(got/want-1) > 0.01 {
			t.Errorf("%v: covers %.3f mm2, want %.3f", v, got, want)
		}
	}
}

// A long lens sees less than half of a sphere, as a larger disc: its outline
// is the cone with sin = r/distance.
func TestQuarterViewCoversTheCone(t *testing.T) {
	s := scene(here(sphere(2, 60), silver))
	o := Options{View: Quarter, Bare: true, Width: 240, Height: 180}
	cam, err := Frame(s, o)
	if err != nil {
		t.Fatal(err)
	}
	tan := math.Tan(math.Asin(2 / cam.Dist))
	want := math.Pi * math.Pow(cam.Scale*cam.Dist*tan, 2)
	if got := cover(render(t, s, o)); math.Abs(got/want-1) > 0.01 {
		t.Errorf("covers %.1f pixels, want %.1f", got, want)
	}
}

// A box of 2 x 1 x 3 mm lies exactly where the views say.
func TestBodiesLandWhereTheyShould(t *testing.T) {
	b := vec.BoxOf(vec.P{X: 1, Y: 2, Z: -4}, vec.P{X: 3, Y: 3, Z: -1})
	// its diagonals run through the middles of samples: no crack may open there
	cube := vec.BoxOf(vec.P{X: -5, Y: -5, Z: -5}, vec.P{X: 5, Y: 5, Z: 5})
	world := vec.BoxOf(vec.P{X: -10, Y: -10, Z: -10}, vec.P{X: 10, Y: 10, Z: 10})
	for _, c := range []struct {
		view           View
		x0, x1, y0, y1 float64 // mm, to the right and up from the middle
	}{
		{Front, 1, 3, 2, 3}, {Back, -3, -1, 2, 3}, {Side, 1, 4, 2, 3}, {Top, 1, 3, 1, 4},
	} {
		o := Options{View: c.view, Bare: true, Box: &world, Width: 200, Height: 200}
		if got, want := cover(render(t, scene(here(box(cube), red)), o)), 82.0*82; got != want {
			t.Errorf("%v: a cube covers %g pixels, want %g", c.view, got, want)
		}
		img := render(t, scene(here(box(b), red)), o)
		scale := 200 * (1 - 2*margin) / 20 // pixels per mm
		wrong := 0.0
		for y := range 200 {
			for x := range 200 {
				px, py := (float64(x)+0.5-100)/scale, (100-float64(y)-0.5)/scale
				in := c.x0 < px && px < c.x1 && c.y0 < py && py < c.y1
				near := math.Min(math.Min(math.Abs(px-c.x0), math.Abs(px-c.x1)), math.Min(math.Abs(py-c.y0), math.Abs(py-c.y1))) < 0.75/scale
				if a := img.NRGBAAt(x, y).A; !near && (in && a != 0xff || !in && a != 0) {
					wrong++
				}
			}
		}
		if wrong > 0 {
			t.Errorf("%v: %g pixels are not where they should be", c.view, wrong)
		}
	}
}

// The eye looks through the pixel where Project puts a place.
func TestProjectAndRayAgree(t *testing.T) {
	s := piece(1)
	for v := Front; v <= Quarter; v++ {
		cam, err := Frame(s, Options{View: v})
		if err != nil {
			t.Fatal(err)
		}
		p := vec.P{X: 1.3, Y: -4, Z: 0.7}
		x, y, _ := cam.Project(p)
		o, d := cam.ray(x, y)
		if off := p.Sub(o).Cross(d).Len(); off > 1e-9 {
			t.Errorf("%v: the ray misses the place by %g", v, off)
		}
		if cam.Right.Cross(cam.Up).Sub(cam.Back).Len() > 1e-12 {
			t.Errorf("%v: axes are not right-handed", v)
		}
	}
}

// What Faces says of a triangle, at any of its corners, is whether it lands on
// the picture the right way round: y runs down there.
func TestFaces(t *testing.T) {
	s := scene(here(sphere(3, 12), silver))
	for _, v := range []View{Front, Back, Side, Top, Quarter} {
		cam, err := Frame(s, Options{View: v})
		if err != nil {
			t.Fatal(err)
		}
		m, faced := s.Items[0].Mesh, 0
		for i := range m.T {
			a, b, c := m.Corners(i)
			n := b.Sub(a).Cross(c.Sub(a))
			ax, ay, _ := cam.Project(a)
			bx, by, _ := cam.Project(b)
			cx, cy, _ := cam.Project(c)
			area := (bx-ax)*(cy-ay) - (by-ay)*(cx-ax)
			if math.Abs(area) < 1e-6 { // seen edge on, or nearly, in pixels
				continue
			}
			for _, p := range []vec.P{a, b, c} {
				if cam.Faces(p, n) != (area < 0) {
					t.Fatalf("%v: at %v, facing %v: %v, and %g pixels", v, p, n, cam.Faces(p, n), area/2)
				}
			}
			if area < 0 {
				faced++
			}
		}
		if faced == 0 || faced == len(m.T) {
			t.Errorf("%v: %d of %d triangles are seen", v, faced, len(m.T))
		}
	}
}

// What lies nearer hides what lies behind, from both sides.
func TestNearerHides(t *testing.T) {
	low := box(vec.BoxOf(vec.P{X: -2, Y: -2, Z: -1}, vec.P{X: 2, Y: 2, Z: 0}))
	high := box(vec.BoxOf(vec.P{X: -1, Y: -1, Z: 0.1}, vec.P{X: 1, Y: 1, Z: 1}))
	for _, items := range [][]Item{{here(low, red), here(high, blue)}, {here(high, blue), here(low, red)}} {
		front := render(t, scene(items...), Options{}).NRGBAAt(120, 90)
		back := render(t, scene(items...), Options{View: Back}).NRGBAAt(120, 90)
		if front.B <= front.R {
			t.Errorf("front view shows %v in the middle, want blue", front)
		}
		if back.R <= back.B {
			t.Errorf("back view shows %v in the middle, want red", back)
		}
	}
}

// A mirrored body covers the mirrored pixels and is not turned inside out.
func TestMirrored(t *testing.T) {
	world := vec.BoxOf(vec.P{X: -6, Y: -6, Z: -6}, vec.P{X: 6, Y: 6, Z: 6})
	o := Options{Bare: true, Box: &world, Width: 200, Height: 160}
	m := torus(2, 0.6, 24)
	put := vec.Shift(vec.P{X: 2.5, Y: 1}).After(vec.Turn(vec.P{X: 1, Y: 2}, 0.7))
	a := render(t, scene(Item{Mesh: m, Place: put, Look: silver}), o)
	b := render(t, scene(Item{Mesh: m, Place: vec.MirrorX().After(put), Look: silver}), o)
	if math.Abs(cover(a)-cover(b)) > 0.002*cover(a) {
		t.Errorf("covers %g and %g pixels", cover(a), cover(b))
	}
	for y := range 160 {
		for x := range 200 {
			p, q := int(a.NRGBAAt(x, y).A), int(b.NRGBAAt(199-x, y).A)
			if p-q > 60 || q-p > 60 { // two samples of nine may fall to the other side
				t.Fatalf("alpha %d at %d, %d but %d in the mirror", p, x, y, q)
			}
		}
	}
}

// The same bytes for any number of workers, with all that can be drawn.
func TestWorkersChangeNothing(t *testing.T) {
	s := piece(1)
	v := make([]float64, len(s.Items[0].Mesh.V))
	for i := range v {
		v[i] = 0.01 * float64(i%100)
	}
	sc := WallScale(0.5)
	s.Items[0].Paint = sc.Colors(v)
	o := Options{
		View: Quarter, Width: 320, Height: 240, Cut: &Plane{vec.P{Y: -1}, 3},
		Pins: []Pin{{At: vec.P{X: 1, Y: 2}, Label: "7"}}, Legend: &Legend{"wall, mm", sc},
	}
	var files [2]bytes.Buffer
	for i, n := range []int{1, 3} {
		o.Workers = n
		if err := Encode(&files[i], render(t, s, o)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(files[0].Bytes(), files[1].Bytes()) {
		t.Error("one and three workers made different pictures")
	}
}

// Paint wins over the look, by vertex and by triangle.
func TestPaint(t *testing.T) {
	m := box(vec.BoxOf(vec.P{X: -1, Y: -1, Z: -1}, vec.P{X: 1, Y: 1, Z: 1}))
	for _, n := range []int{len(m.V), len(m.T)} {
		it := here(m, red)
		it.Paint = make([]color.NRGBA, n)
		for i := range it.Paint {
			it.Paint[i] = blue.Color
		}
		if c := render(t, scene(it), Options{}).NRGBAAt(120, 90); c.B <= c.R {
			t.Errorf("%d colours: the middle is %v, want blue", n, c)
		}
	}
}

// Known normals replace those made from faces: with all turned to the light
// that a sphere gets on its top, its side is as bright as that.
func TestKnownNormals(t *testing.T) {
	it := here(sphere(2, 20), red)
	plain := render(t, scene(it), Options{}).NRGBAAt(120+55, 90+30)
	it.Normals = make([][3]vec.P, len(it.Mesh.T))
	for i := range it.Normals {
		it.Normals[i] = [3]vec.P{{Z: 2}, {Z: 2}, {Z: 2}}
	}
	if lit := render(t, scene(it), Options{}).NRGBAAt(120+55, 90+30); lit.R <= plain.R+10 {
		t.Errorf("the side away from the light is %v, with known normals %v", plain, lit)
	}
}

// Paper is warm, and darker under a body than far from it; a bare picture has
// none; what reaches through the paper is hidden.
func TestPaper(t *testing.T) {
	post := box(vec.BoxOf(vec.P{X: -1, Y: -1, Z: -3}, vec.P{X: 1, Y: 1, Z: 0}))
	world := vec.BoxOf(vec.P{X: -5, Y: -5, Z: -5}, vec.P{X: 5, Y: 5, Z: 5})
	o := Options{Box: &world, Width: 200, Height: 200}
	img := render(t, scene(here(post, silver)), o)
	far, near := img.NRGBAAt(3, 100), img.NRGBAAt(119, 106)
	if !(far.R > far.B && far.R > 0xe0) {
		t.Errorf("paper is %v: not warm, or not light", far)
	}
	if int(near.G) > int(far.G)-12 {
		t.Errorf("paper beside the body is %v, far away %v: no shadow", near, far)
	}
	o.Bare = true
	if c := render(t, scene(here(post, silver)), o).NRGBAAt(3, 100); c.A != 0 {
		t.Errorf("a bare picture shows %v", c)
	}
	o.Bare, o.Ground = false, &Plane{vec.P{Z: 2}, 1} // at z = 0.5
	if c := render(t, scene(here(post, red)), o).NRGBAAt(100, 100); c.G < 0xc0 {
		t.Errorf("a body behind the paper shows as %v", c)
	}
}

func TestRefusals(t *testing.T) {
	m := sphere(1, 6)
	ball := scene(here(m, silver))
	bad := func(f func(*mesh.Mesh)) Scene {
		c := &mesh.Mesh{V: append([]vec.P(nil), m.V...), T: append([][3]uint32(nil), m.T...)}
		f(c)
		return scene(here(c, silver))
	}
	painted := here(m, silver)
	painted.Paint = make([]color.NRGBA, 5)
	dent := brilliant()
	dent.V[0] = dent.V[0].Mul(0.5)
	turned := here(m, silver)
	turned.Normals = make([][3]vec.P, 3)
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name  string
		scene Scene
		o     Options
		says  string
	}{
		{"no items", Scene{}, Options{}, "nothing"},
		{"no triangles", scene(here(&mesh.Mesh{}, silver)), Options{}, "nothing"},
		{"no mesh", scene(Item{Place: vec.Here, Look: silver}), Options{}, "no mesh"},
		{"no look", scene(Item{Mesh: m, Place: vec.Here}), Options{}, "look"},
		{"no place", scene(Item{Mesh: m, Look: silver}), Options{}, "place"},
		{"NaN", bad(func(m *mesh.Mesh) { m.V[3].Y = nan }), Options{}, "vertex 3"},
		{"infinite", bad(func(m *mesh.Mesh) { m.V[2].X = inf }), Options{}, "vertex 2"},
		{"huge", bad(func(m *mesh.Mesh) { m.V[2].X = 1e9 }), Options{}, "vertex 2"},
		{"index", bad(func(m *mesh.Mesh) { m.T[1][2] = 1e6 }), Options{}, "triangle 1"},
		{"one point", bad(func(m *mesh.Mesh) { clear(m.V) }), Options{}, "nothing"},
		{"paint", scene(painted), Options{}, "colours"},
		{"normals", scene(turned), Options{}, "normals"},
		{"dented stone", scene(here(dent, white)), Options{}, "convex"},
		{"index of refraction", scene(here(m, Gem{Index: 9})), Options{}, "index"},
		{"wide", ball, Options{Width: 100000, Height: 100}, "size"},
		{"many pixels", ball, Options{Width: 8000, Height: 8000}, "size"},
		{"negative", ball, Options{Width: -5, Height: 100}, "size"},
		{"half a size", ball, Options{Width: 500}, "size"},
		{"view", ball, Options{View: 99}, "view"},
		{"cut", ball, Options{Cut: &Plane{}}, "cut"},
		{"cut NaN", ball, Options{Cut: &Plane{vec.P{X: nan}, 0}}, "cut"},
		{"cut away", ball, Options{Cut: &Plane{vec.P{X: 1}, -5}}, "nothing"},
		{"ground", ball, Options{Ground: &Plane{vec.P{X: 1}, inf}}, "ground"},
		{"box", ball, Options{Box: &vec.Box{Min: vec.P{X: 1}}}, "box"},
		{"tiny box", ball, Options{Box: &vec.Box{Max: vec.P{X: 1e-9}}}, "box"},
		{"pin", ball, Options{Pins: []Pin{{At: vec.P{X: nan}}}}, "pin"},
		{"pins", ball, Options{Pins: make([]Pin, maxPins+1)}, "pins"},
		{"legend", ball, Options{Legend: &Legend{}}, "scale"},
		{"falling scale", ball, Options{Legend: &Legend{Scale: Scale{{0, ink}, {2, ink}, {1, ink}}}}, "rise"},
		{"narrow legend", ball, Options{Legend: &Legend{Scale: WallScale(1)}, Width: 16, Height: 900}, "legend"},
	} {
		_, err := Render(context.Background(), c.scene, c.o)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: error %v does not speak of %q", c.name, err, c.says)
		}
		if _, err := Frame(c.scene, c.o); err == nil {
			t.Errorf("%s: Frame finds nothing wrong", c.name)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Render(ctx, ball, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped picture returned %v", err)
	}
}

func TestViewNames(t *testing.T) {
	for v := Front; v <= Quarter; v++ {
		if got, err := ParseView(v.String()); err != nil || got != v {
			t.Errorf("%v is read as %v, %v", v, got, err)
		}
	}
	if _, err := ParseView("inside"); err == nil {
		t.Error("no error for an unknown view")
	}
}
