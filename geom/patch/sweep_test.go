package patch

import (
	"context"
	"errors"
	"math"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// displacer moves every face of a solid by 0.2 to 1 times p, either way, as a
// hash of its number says.
type displacer struct {
	p    float64
	n, k uint32
}

func (d *displacer) by() float64 {
	d.n++
	h := d.n*2654435761 + d.k*40503
	h ^= h >> 15
	h *= 2246822519
	h ^= h >> 13
	v := d.p * (0.2 + 0.8*float64(h&0xffff)/0xffff)
	if h>>16&1 != 0 {
		return -v
	}
	return v
}

func (d *displacer) field(f sdf.Field) sdf.Field {
	all := func(in []sdf.Field) (out []sdf.Field) {
		for _, k := range in {
			out = append(out, d.field(k))
		}
		return out
	}
	switch f := f.(type) {
	case sdf.Union:
		return sdf.Union(all(f))
	case sdf.Intersection:
		return sdf.Intersection(all(f))
	case sdf.Difference:
		return sdf.Difference{From: d.field(f.From), Cut: all(f.Cut)}
	case sdf.Tagged:
		f.Of = d.field(f.Of)
		return f
	case sdf.Placed:
		f.Of = d.field(f.Of)
		return f
	case sdf.Cylinder:
		return sdf.Cylinder{R: f.R + d.by(), Z0: f.Z0 + d.by(), Z1: f.Z1 + d.by()}
	case sdf.Torus:
		return sdf.Torus{Major: f.Major + d.by(), Minor: f.Minor + d.by()}
	case sdf.Box:
		f.Half.X += d.by()
		f.Half.Y += d.by()
		f.Half.Z += d.by()
		return f
	case sdf.Capsule:
		f.R += d.by()
		return f
	case sdf.HalfSpace:
		f.D += d.by()
		return f
	case sdf.Prism:
		f.Z0 += d.by()
		f.Z1 += d.by()
		return f
	case sdf.Facets:
		planes := append([]sdf.HalfSpace(nil), f.Planes...)
		for i := range planes {
			planes[i].D += d.by()
		}
		return sdf.Facets{Planes: planes}
	}
	panic("a kind of field that B1 has not")
}

// The bench solid with every face a little displaced, so that what coincided
// nearly does, is accepted, as its volume and genus say.
func TestDisplaced(t *testing.T) {
	for i, p := range []float64{1e-9, 1e-6, 1e-4, 1e-3} {
		d := &displacer{p: p, k: uint32(i)}
		c := compiled(t, d.field(contourtest.B1()))
		m, r, err := Mesh(context.Background(), c, Options{})
		if err != nil {
			t.Errorf("displaced by %g: %v", p, err)
			continue
		}
		j := manifold.Judge(m)
		t.Logf("%g: %d triangles, genus %d, volume %.3f, moved by %.3g", p, len(m.T), j.Genus(), j.Volume, r.Moved)
		if !j.OK() || len(j.Bodies) != 1 || j.Genus() != contourtest.B1Genus {
			t.Errorf("displaced by %g: %s", p, j.String())
		}
		if off := math.Abs(j.Volume - contourtest.B1Volume); off > 0.3+p*contourtest.B1Area {
			t.Errorf("displaced by %g the volume is %g", p, j.Volume)
		}
		for _, v := range m.V {
			if far := c.Distance(v); far > DefaultTol {
				t.Fatalf("displaced by %g, a vertex is off by %g", p, far)
			}
		}
	}
}

// Steps that are much lower than the tolerance are gone; gaps and sheets are not.
func TestSnapped(t *testing.T) {
	box := func(x, y, z, h float64) sdf.Field {
		return sdf.At(sdf.Box{Half: vec.P{X: h, Y: h, Z: h}}, vec.Shift(vec.P{X: x, Y: y, Z: z}))
	}
	const little = 2e-5
	tube := func(r, gap float64) sdf.Field {
		return sdf.At(sdf.Cylinder{R: r, Z0: -2, Z1: 2}, vec.Shift(vec.P{X: 1 + r + gap}))
	}
	for _, c := range []struct {
		name          string
		f             sdf.Field
		volume        float64
		bodies, genus int
	}{
		{"step", sdf.Union{box(0, 0, 0, 1), box(1, 0, 1-0.5+little, 0.5)}, 8 + 0.5, 1, 0},
		{"three through a line", sdf.Intersection{box(0, 0, 0, 1), sdf.HalfSpace{N: vec.P{X: 0.6, Y: 0.8}, D: 1.4 - little}}, 8, 1, 0},
		{"four through a point", sdf.Intersection{box(0, 0, 0, 1), sdf.HalfSpace{N: vec.P{X: 1, Y: 1, Z: 1}.Unit(), D: math.Sqrt(3) - little}}, 8, 1, 0},
		{"rims", sdf.Union{sdf.Cylinder{R: 1, Z0: 0, Z1: 1}, sdf.Cylinder{R: 1 + little, Z0: -1, Z1: 0.5}}, 2 * math.Pi, 1, 0},
		{"a hole beside a side", sdf.Difference{From: box(0, 0, 0, 1), Cut: []sdf.Field{tube(0.5, -1-little)}}, 8 - math.Pi/2, 1, 1},
		{"gap", sdf.Union{box(0, 0, 0, 1), box(2+little, 0, 0, 1)}, 16, 2, 0},
		{"overlap", sdf.Union{box(0, 0, 0, 1), box(2-little, 0, 0, 1)}, 16, 1, 0},
		{"sheet", sdf.Difference{From: box(0, 0, 0, 1), Cut: []sdf.Field{box(little, 0, 0, 1)}}, 4 * little, 1, 0},
	} {
		m, r := meshed(t, c.f, 0)
		j := manifold.Judge(m)
		t.Logf("%s: moved by %g, %d triangles", c.name, r.Moved, len(m.T))
		if !j.OK() || len(j.Bodies) != c.bodies || j.Genus() != c.genus {
			t.Errorf("%s: moved by %g, %s", c.name, r.Moved, j.String())
		}
		if off := math.Abs(j.Volume - c.volume); off > j.Area*0.5*DefaultTol {
			t.Errorf("%s: volume is %g, not %g", c.name, j.Volume, c.volume)
		}
	}
}

// However thin a gap or a film is, neither is lost: where surfaces were snapped over
// it, the field is meshed as it was given, or refused.
func TestThin(t *testing.T) {
	const tol, r = 0.02, 0.1
	plate := sdf.At(sdf.Box{Half: vec.P{X: 30, Y: 30, Z: 1}}, vec.Shift(vec.P{Z: -1}))
	for _, thin := range []float64{0.4e-3, 2e-3} { // under both shares of the tolerance
		post := func(x, y float64) sdf.Field {
			return sdf.At(sdf.Cylinder{R: r, Z0: thin, Z1: 2}, vec.Shift(vec.P{X: x, Y: y}))
		}
		hole := func(x float64) sdf.Field {
			return sdf.At(sdf.Cylinder{R: r, Z0: -5, Z1: -thin}, vec.Shift(vec.P{X: x, Y: 1.23}))
		}
		for name, c := range map[string]struct {
			f             sdf.Field
			bodies, genus int
		}{
			"gap":  {sdf.Union{plate, post(3.21, 7.11), post(-11.3, 4.4)}, 3, 0},
			"film": {sdf.Difference{From: plate, Cut: []sdf.Field{hole(0.3), hole(4)}}, 1, 0},
		} {
			m, _, err := Mesh(context.Background(), compiled(t, c.f), Options{Tol: tol})
			var refused *Refused
			if errors.As(err, &refused) {
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			if j := manifold.Judge(m); len(j.Bodies) != c.bodies || j.Genus() != c.genus {
				t.Errorf("%s of %g mm: %d bodies of genus %d, not %d of %d", name, thin, len(j.Bodies), j.Genus(), c.bodies, c.genus)
			}
		}
	}
}
