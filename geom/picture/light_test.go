package picture

import (
	"image/color"
	"math"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
)

// Fresnel's and Snell's laws in closed form (M. Born, E. Wolf, "Principles of
// Optics", section 1.5).
func TestOptics(t *testing.T) {
	for _, n := range []float64{1.33, 1.54, 1.77, 2.42} {
		if got, want := dielectric(1, 1/n), math.Pow((n-1)/(n+1), 2); math.Abs(got-want) > 1e-12 {
			t.Errorf("index %g reflects %g straight on, want %g", n, got, want)
		}
		// at Brewster's angle only one polarisation is reflected: half of
		// ((n^2-1)/(n^2+1))^2
		b := math.Atan(n)
		if got, want := dielectric(math.Cos(b), 1/n), math.Pow((n*n-1)/(n*n+1), 2)/2; math.Abs(got-want) > 1e-12 {
			t.Errorf("index %g reflects %g at Brewster's angle, want %g", n, got, want)
		}
		// from inside, all light is reflected beyond the critical angle
		crit := math.Asin(1 / n)
		if got := dielectric(math.Cos(crit+0.001), n); got != 1 {
			t.Errorf("index %g reflects %g beyond the critical angle", n, got)
		}
		if got := dielectric(math.Cos(crit-0.05), n); got > 0.6 {
			t.Errorf("index %g reflects %g within the critical angle", n, got)
		}
		for _, a := range []float64{0.1, 0.6, 1.2, 1.5} {
			d := vec.P{X: math.Sin(a), Z: -math.Cos(a)}
			r := refract(d, vec.P{Z: 1}, math.Cos(a), 1/n)
			if math.Abs(r.X*n-d.X) > 1e-12 || math.Abs(r.Len()-1) > 1e-12 || r.Z >= 0 {
				t.Errorf("index %g bends %v to %v, against Snell", n, d, r)
			}
		}
	}
}

// The map of directions gives back what was put in: exactly at its corners, and
// in between for light that does not jump.
func TestMapOfDirections(t *testing.T) {
	m := new(octaMap)
	for y := range octaSide {
		for x := range octaSide {
			d := octaDir(x, y)
			m[y*octaSide+x] = [3]float32{float32(1 + d.X), float32(1 + d.Y), float32(1 + d.Z)}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-1, 1)
		d := vec.P{X: c.Draw(t, "x"), Y: c.Draw(t, "y"), Z: c.Draw(t, "z")}
		if d.Len() < 1e-3 {
			return
		}
		u, l := d.Unit(), m.at(d)
		if off := math.Abs(l.R-1-u.X) + math.Abs(l.G-1-u.Y) + math.Abs(l.B-1-u.Z); off > 1.0/(octaSide-1) { // half a step of the map: along its folds the blend reaches over the edge
			t.Fatalf("%v gives %v", u, l)
		}
	})
}

// Metal reflects its own colour straight on and all light at grazing.
func TestMetalReflects(t *testing.T) {
	m := metalOf(gold)
	if m.fresnel(1) != linear(gold.Color) || m.fresnel(0) != (light{1, 1, 1}) {
		t.Errorf("gold reflects %v straight on and %v grazing", m.fresnel(1), m.fresnel(0))
	}
}

// sRGB there and back is the identity (IEC 61966-2-1).
func TestColours(t *testing.T) {
	for i := range 256 {
		l := linear(color.NRGBA{uint8(i), 0, 0, 0xff})
		if got := level(srgb(l.R)); int(got) != i {
			t.Errorf("%d becomes %d", i, got)
		}
	}
	if srgb(math.NaN()) != 0 || srgb(-1) != 0 || srgb(7) != 255 {
		t.Error("light out of range is not held")
	}
	last := 0.0
	for v := 0.0; v < 9; v += 0.01 {
		s := shoulder(v)
		if s < last || s > 1 || s > v {
			t.Fatalf("the shoulder falls, rises above 1 or brightens at %g: %g", v, s)
		}
		last = s
	}
}

// Light in a stone leaves by the face that a search over all finds, and a
// brilliant's table returns light: paths end up where they came from.
func TestStoneIsConvex(t *testing.T) {
	f, err := facetsOf(brilliant())
	if err != nil {
		t.Fatal(err)
	}
	// table, 8 kites, 16 upper halves, 8 stars, 8 mains, 16 lower halves, 32 girdle
	if len(f.planes) != 89 {
		t.Errorf("%d faces, want 89", len(f.planes))
	}
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-0.2, 0.2)
		p := vec.P{X: c.Draw(t, "x"), Y: c.Draw(t, "y"), Z: c.Draw(t, "z") * 0.3}
		a, z := rapid.Float64Range(0, 7).Draw(t, "a"), rapid.Float64Range(-1, 1).Draw(t, "up")
		r := math.Sqrt(1 - z*z)
		d := vec.P{X: r * math.Cos(a), Y: r * math.Sin(a), Z: z}
		out, face := f.leave(p, d)
		if face < 0 || out <= 0 {
			t.Fatalf("no way out of %v along %v", p, d)
		}
		q := p.Add(d.Mul(out))
		for i, pl := range f.planes {
			if pl.beyond(q) > 1e-9 {
				t.Fatalf("leaves by face %d at %v, beyond face %d", face, q, i)
			}
		}
		in, back := f.enter(q.Add(d), d.Neg())
		if back != face && math.Abs(in-1) > 1e-9 {
			t.Fatalf("enters by face %d at %g, left by %d", back, in, face)
		}
	})
}

// The tree finds what a search over all triangles finds.
func TestTreeFindsTheNearest(t *testing.T) {
	sp, err := gather(scene(here(torus(2, 0.7, 16), silver), here(brilliant(), white), here(pin(0.3, -1, 2, 6), silver)), Options{}, true)
	if err != nil {
		t.Fatal(err)
	}
	tree := plant(sp, 2)
	if len(tree.faces) != len(sp.tri) {
		t.Fatalf("%d of %d triangles in the tree", len(tree.faces), len(sp.tri))
	}
	hits := 0
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-3, 3)
		p := vec.P{X: c.Draw(t, "px"), Y: c.Draw(t, "py"), Z: c.Draw(t, "pz")}
		q := vec.P{X: c.Draw(t, "qx"), Y: c.Draw(t, "qy"), Z: c.Draw(t, "qz")}
		d := q.Sub(p).Unit()
		if d == (vec.P{}) {
			return
		}
		got := tree.first(p, d)
		want := hit{tri: -1, t: math.MaxFloat32}
		o, dir := vec32(p), vec32(d)
		for i := range tree.faces {
			tree.faces[i].meet(&o, &dir, &want)
		}
		if got.t != want.t {
			t.Fatalf("from %v along %v: meets %+v, want %+v", p, d, got, want)
		}
		if got.tri >= 0 {
			hits++
		}
	})
	if hits == 0 {
		t.Error("no ray met anything: the test tests nothing")
	}
}

// stageOf sets a scene up as Render does.
func stageOf(t *testing.T, s Scene, o Options) *stage {
	t.Helper()
	o, err := o.checked()
	if err != nil {
		t.Fatal(err)
	}
	sp, err := gather(s, o, true)
	if err != nil {
		t.Fatal(err)
	}
	cam, err := frame(sp, o)
	if err != nil {
		t.Fatal(err)
	}
	st := newStage(sp, cam, o)
	if err := st.prepare(t.Context()); err != nil {
		t.Fatal(err)
	}
	return st
}

// A place on open paper sees every lamp, one under a plate none; a place under
// the edge of a wide plate sees about half of the light.
func TestShadows(t *testing.T) {
	plate := box(vec.BoxOf(vec.P{X: -10, Y: -10, Z: 0.5}, vec.P{X: 10, Y: 10, Z: 1}))
	st := stageOf(t, scene(here(plate, silver)), Options{Width: 240, Height: 180})
	up := vec.P{Z: 1}
	for _, c := range []struct {
		at       vec.P
		low, top float64
	}{
		{vec.P{X: 60}, 1, 1}, {vec.P{}, 0, 0.001}, {vec.P{Z: 1}, 1, 1},
		{vec.P{X: 10}, 0.3, 0.7}, {vec.P{X: -10}, 0.3, 0.7}, {vec.P{Y: 10}, 0.3, 0.7},
	} {
		if got := st.beams.gather(c.at, up, up, 1); got.open < c.low || got.open > c.top {
			t.Errorf("%v sees %g of the sky, want %g to %g", c.at, got.open, c.low, c.top)
		}
		if c.at.Z == 0 {
			if s := st.beams.onPaper(c.at, up).luma(); s < c.low-0.1 || s > c.top+0.1 {
				t.Errorf("paper at %v has %g of its light, want %g to %g", c.at, s, c.low, c.top)
			}
		}
	}
}

// Normals are smooth round a sphere and sharp over the edges of a box.
func TestCreases(t *testing.T) {
	m := sphere(2, 24)
	for i, n := range creaseNormals(m, 2) {
		for k, v := range m.T[i] {
			if off := n[k].Sub(m.V[v].Unit()).Len(); off > 0.03 {
				t.Fatalf("normal %v at %v is off by %g", n[k], m.V[v], off)
			}
		}
	}
	b := box(vec.BoxOf(vec.P{}, vec.P{X: 1, Y: 2, Z: 3}))
	for i, n := range creaseNormals(b, 2) {
		if n[0] != n[1] || n[1] != n[2] || math.Abs(n[0].X)+math.Abs(n[0].Y)+math.Abs(n[0].Z) != 1 {
			t.Errorf("triangle %d of a box has normals %v", i, n)
		}
	}
}
