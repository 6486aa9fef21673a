package sdf

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// solids is one of each primitive that has no outline.
func solids() map[string]Field {
	return map[string]Field{
		"box":      Box{vec.P{X: 1, Y: 0.6, Z: 0.8}},
		"sphere":   Sphere{0.9},
		"cylinder": Cylinder{0.7, -0.8, 0.9},
		"cone":     Cone{1.1, -0.9, 0.3, 0.8},
		"tip":      Cone{0, -0.9, 0.8, 0.8},
		"column":   Cone{0.5, -0.9, 0.5, 0.8},
		"torus":    Torus{0.9, 0.3},
		"capsule":  Capsule{vec.P{X: -0.5, Y: 0.2}, vec.P{X: 0.6, Z: 0.5}, 0.4},
		"facets": Facets{[]HalfSpace{
			{vec.P{X: 1}, 0.7}, {vec.P{X: -1}, 0.9}, {vec.P{Y: 1}, 0.8}, {vec.P{Y: -1}, 0.6},
			{vec.P{Z: 1}, 0.9}, {vec.P{Z: -1}, 0.7}, {vec.P{X: 1, Y: 1, Z: 1}.Unit(), 0.8},
		}},
	}
}

// shapes is one of each primitive that has an outline or a path.
func shapes(t testing.TB) map[string]Field {
	o := func(o outline.Outline, err error) outline.Outline {
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	soft := o(outline.RoundedRect(2, 1.6, 0.3))
	star := o(outline.Polygon(vec.P2{X: 1}, vec.P2{X: 0.3, Y: 0.3}, vec.P2{Y: 1}, vec.P2{X: -0.3, Y: 0.3},
		vec.P2{X: -1}, vec.P2{X: -0.3, Y: -0.3}, vec.P2{Y: -1}, vec.P2{X: 0.3, Y: -0.3}))
	cup := o(outline.New(outline.Loop{
		{At: vec.P2{X: 0.1, Y: -0.9}}, {At: vec.P2{X: 0.7, Y: -0.8}, Bulge: 0.3}, {At: vec.P2{X: 0.9, Y: 0.8}},
		{At: vec.P2{X: 0.6, Y: 0.7}, Bulge: -0.2}, {At: vec.P2{X: 0.4, Y: 0}},
	}))
	bowl := o(outline.New(outline.Loop{{At: vec.P2{Y: -0.7}, Bulge: 0.35}, {At: vec.P2{X: 1, Y: 0.4}}, {At: vec.P2{Y: 0.6}}}))
	return map[string]Field{
		"ring prism":    Prism{Outline: o(outline.Ring(1, 0.6)), Z0: -0.5, Z1: 0.4},
		"soft prism":    Prism{Outline: soft, Z0: -0.5, Z1: 0.4},
		"star prism":    Prism{Outline: star, Z0: -0.5, Z1: 0.4},
		"domed prism":   Prism{Outline: soft, Z0: -0.5, Z1: 0.4, RoundTop: 0.2},
		"pillow prism":  Prism{Outline: soft, Z0: -0.5, Z1: 0.4, RoundTop: 0.2, RoundBottom: 0.25},
		"domed star":    Prism{Outline: star, Z0: -0.5, Z1: 0.4, RoundTop: 0.1},
		"turned cup":    Revolve{cup},
		"turned bowl":   Revolve{bowl},
		"straight wire": Wire{Path: []outline.Seg{{At: vec.P2{X: -0.5}}, {At: vec.P2{X: 0.5, Y: 0.2}}}, R: 0.3},
		"bent wire": Wire{Path: []outline.Seg{{At: vec.P2{X: -0.9}}, {At: vec.P2{X: -0.2}, Bulge: 0.4},
			{At: vec.P2{X: 0.5, Y: 0.5}}, {At: vec.P2{X: 0.4, Y: -0.6}}}, R: 0.2},
		"closed wire": Wire{Path: []outline.Seg{{At: vec.P2{X: 0.8}, Bulge: 1}, {At: vec.P2{X: -0.8}, Bulge: 1}}, Closed: true, R: 0.2},
	}
}

// pile is a field that uses every operation.
func pile(t testing.TB) Field {
	var all Union
	i := 0.0
	for _, m := range []map[string]Field{solids(), shapes(t)} {
		for _, k := range sortedKeys(m) {
			i++
			by := vec.Turn(vec.P{X: 1, Y: i, Z: 0.3}, 0.7*i).After(vec.Shift(vec.P{X: 0.4 * i}))
			by.O = vec.P{X: 2.2 * math.Mod(i, 5), Y: 2.1 * math.Floor(i/5)}
			all = append(all, Tag(At(m[k], by), uint32(i)))
		}
	}
	return Difference{
		From: all,
		Cut: []Field{
			At(Union{Torus{4, 0.5}, Box{vec.P{X: 9, Y: 0.3, Z: 0.2}}}, vec.Shift(vec.P{X: 4, Y: 4})),
			Intersection{Sphere{2}, At(Sphere{2}, vec.MirrorX().After(vec.Shift(vec.P{X: 1})))},
		},
	}
}

func sortedKeys(m map[string]Field) []string {
	var ks []string
	for k := range m {
		ks = append(ks, k)
	}
	for i := range ks { // few: by insertion
		for j := i; j > 0 && ks[j] < ks[j-1]; j-- {
			ks[j], ks[j-1] = ks[j-1], ks[j]
		}
	}
	return ks
}

func everyField(t testing.TB, f func(name string, f Field)) {
	for _, m := range []map[string]Field{solids(), shapes(t), compounds(t), {"pile": pile(t)}} {
		for _, k := range sortedKeys(m) {
			f(k, m[k])
		}
	}
}

// point draws a point in and round a box. Coordinates smaller than an atom are
// taken for 0: the squares of the smallest numbers have no digits left, and a
// direction worked out from them is no fault of a field.
func point(t *rapid.T, b vec.Box) vec.P {
	b = b.Grow(0.3)
	in := func(lo, hi float64, label string) float64 {
		v := rapid.Float64Range(lo, hi).Draw(t, label)
		if math.Abs(v) < 1e-10 {
			return 0
		}
		return v
	}
	return vec.P{X: in(b.Min.X, b.Max.X, "x"), Y: in(b.Min.Y, b.Max.Y, "y"), Z: in(b.Min.Z, b.Max.Z, "z")}
}

func mustCompile(t testing.TB, name string, f Field) *Code {
	c, err := Compile(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return c
}

// The code has the field's sign, and its value is a bound: never more than the
// field's where that is exact.
func TestCodeHasFieldsSign(t *testing.T) {
	everyField(t, func(name string, f Field) {
		c := mustCompile(t, name, f)
		rapid.Check(t, func(t *rapid.T) {
			p := point(t, f.Bounds())
			want, got := f.Dist(p), c.Dist(p)
			if math.Abs(want) > 1e-9 && (want < 0) != (got < 0) {
				t.Fatalf("%s at %v: field %g, code %g", name, p, want, got)
			}
			exact := f.Exact()&Outside != 0 && want > 0 || f.Exact()&Inside != 0 && want < 0
			if exact && math.Abs(got) > math.Abs(want)+1e-9 {
				t.Fatalf("%s at %v: code %g is more than the distance %g", name, p, got, want)
			}
		})
	})
}

// In its cube a pruned code has the sign of the whole, coarse and fine, and the
// grid agrees with single points.
func TestPrunedCodeHasSign(t *testing.T) {
	everyField(t, func(name string, f Field) {
		c := mustCompile(t, name, f)
		var mid, small, fine Local
		var bench Bench
		rapid.Check(t, func(t *rapid.T) {
			at := point(t, f.Bounds())
			h := rapid.Float64Range(0.02, 0.5).Draw(t, "h")
			unit := func(l string) float64 { return rapid.Float64Range(-1, 1).Draw(t, l) }
			sub := vec.P{X: unit("i"), Y: unit("j"), Z: unit("k")}.Mul(h / 2)
			q := at.Add(sub).Add(vec.P{X: unit("u"), Y: unit("v"), Z: unit("w")}.Mul(h / 2))
			want := c.Dist(q)
			if math.Abs(want) < 1e-9 {
				return
			}
			check := func(what string, l *Local, s Sign) {
				got := float64(s)
				if s == Mixed {
					got, _ = l.At(q)
					out := make([]float64, 1)
					l.Grid(&Lattice{[]float64{q.X}, []float64{q.Y}, []float64{q.Z}}, out, &bench)
					if (out[0] < 0) != (got < 0) {
						t.Fatalf("%s at %v, %s: grid %g, point %g", name, q, what, out[0], got)
					}
				}
				if (got < 0) != (want < 0) {
					t.Fatalf("%s at %v, cube %v +- %g, %s: %g, whole %g", name, q, at, h, what, got, want)
				}
			}
			s := c.Whole().Prune(&mid, at, h)
			check("cube", &mid, s)
			if s != Mixed {
				return
			}
			check("small cube", &small, mid.Prune(&small, at.Add(sub), h/2))
			check("cell", &fine, mid.PruneFine(&fine, at.Add(sub), h/2))
		})
	})
}

// Slopes are the central differences of the values, and unit vectors.
func TestSlopes(t *testing.T) {
	everyField(t, func(name string, f Field) {
		c := mustCompile(t, name, f)
		var fine Local
		rapid.Check(t, func(t *rapid.T) {
			p, _, _ := c.Nearest(point(t, f.Bounds()))
			if c.Whole().PruneFine(&fine, p, 0.05) != Mixed {
				t.Fatalf("%s: the surface point %v has value %g", name, p, c.Dist(p))
			}
			const e = 1e-5
			for _, w := range fine.Words(nil) {
				v, g := fine.Slope(w, p)
				if v != fine.Value(w, p) {
					t.Fatalf("%s: slope's value %g, value %g", name, v, fine.Value(w, p))
				}
				l := g.Len()
				kind := c.surf[fine.leafOf(int32(w)).surf].kind
				off := 1e-6
				if kind == opaque {
					off = 1e-4 // differences, here across a jump of curvature
				}
				if math.Abs(l-1) > off && !(kind == blended && l < 1) {
					t.Fatalf("%s: gradient of length %g at %v", name, l, p)
				}
				if fine.Rough(w) || slices.ContainsFunc(fine.Tips(w), func(q vec.P) bool { return q.Sub(p).Len() < 10*e }) {
					continue
				}
				d := g.Unit().Mul(e)
				if s := (fine.Value(w, p.Add(d)) - fine.Value(w, p.Sub(d))) / (2 * e); math.Abs(s-l) > 1e-3 {
					t.Fatalf("%s: slope %g along the gradient at %v", name, s, p)
				}
			}
		})
	})
}

// A projected point lies on the surface, and no farther than the surface is
// known to be near: twice over, as the value is a bound.
func TestNearest(t *testing.T) {
	everyField(t, func(name string, f Field) {
		c := mustCompile(t, name, f)
		rapid.Check(t, func(t *rapid.T) {
			p := point(t, f.Bounds())
			q, n, _ := c.Nearest(p)
			d := q.Sub(p).Len()
			if r := math.Abs(f.Dist(q)); r > 1e-8 {
				t.Fatalf("%s: the projection of %v has value %g", name, p, r)
			}
			if v := math.Abs(f.Dist(p)); d < v-1e-8 {
				t.Fatalf("%s: %v is %g from its projection, the field says at least %g", name, p, d, v)
			} else if out := f.Dist(p) > 0; (out && f.Exact()&Outside != 0 || !out && f.Exact()&Inside != 0) && name != "pile" && v < 0.05 && d > v+1e-6 {
				t.Fatalf("%s: %v is %g from its projection, the true distance is %g", name, p, d, v)
			}
			if math.Abs(n.Len()-1) > 1e-9 {
				t.Fatalf("%s: normal %v", name, n)
			}
		})
	})
}

// A view's value is a bound with the code's sign.
func TestWithin(t *testing.T) {
	everyField(t, func(name string, f Field) {
		c := mustCompile(t, name, f)
		var v View
		rapid.Check(t, func(t *rapid.T) {
			p := point(t, f.Bounds())
			b := vec.BoxOf(p).Grow(rapid.Float64Range(0, 1).Draw(t, "grow"))
			v.Move(c, b)
			got, want := v.Dist(p), c.Dist(p)
			if math.Abs(want) > 1e-9 && (got < 0) != (want < 0) || math.Abs(got) > math.Abs(want)+1e-9 {
				t.Fatalf("%s at %v: view %g, code %g", name, p, got, want)
			}
		})
	})
}

// Equal surfaces become one, either way round.
func TestMerge(t *testing.T) {
	low := At(Box{vec.P{X: 1, Y: 1, Z: 1}}, vec.Shift(vec.P{Z: -1}))
	high := At(Box{vec.P{X: 1, Y: 2, Z: 1}}, vec.TurnZ(2*math.Pi/3).After(vec.TurnZ(-2*math.Pi/3)).After(vec.Shift(vec.P{Z: 1})))
	c := mustCompile(t, "boxes", Union{low, high})
	// x = -1, x = 1, z = 0 are shared; y = -1, 1, -2, 2 and z = -2, 2 are not
	if got := c.Surfaces(); got != 9 {
		t.Errorf("%d surfaces, want 9", got)
	}
}

func TestCompileRefuses(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]Field{
		"nothing":           nil,
		"no part":           Union{},
		"missing part":      Union{Sphere{1}, nil},
		"bad radius":        Sphere{nan},
		"negative box":      Box{vec.P{X: -1, Y: 1, Z: 1}},
		"bad place":         At(Sphere{1}, vec.Shift(vec.P{X: nan})),
		"all of space":      Intersection{},
		"cut of a bad cone": Difference{Sphere{1}, []Field{Cone{}}},
	} {
		if _, err := Compile(f); err == nil {
			t.Errorf("%s: compiled", name)
		}
	}
}
