package patch

import (
	"context"
	"errors"
	"math"
	"testing"

	"waxwright/geom/contour"
	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/sdf"
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
// nearly does: every draw is what its volume and genus say, or is refused; then
// it is contoured to be so (of those draws that take long, one here).
func TestDisplaced(t *testing.T) {
	accepted := 0
	for i, p := range []float64{1e-8, 1e-6, 1e-4, 1e-3, 1e-2} {
		d := &displacer{p: p, k: uint32(i)}
		c := compiled(t, d.field(contourtest.B1()))
		m, _, err := Mesh(context.Background(), c, Options{})
		var r *Refused
		switch {
		case err == nil:
			accepted++
		case !errors.As(err, &r):
			t.Fatal(err)
		case p != 1e-6:
			t.Logf("%g: %v", p, err)
			continue
		default:
			t.Logf("%g is contoured: %v", p, err)
			if m, _, err = contour.Mesh(context.Background(), c, contour.Options{}); err != nil {
				t.Fatal(err)
			}
		}
		j := manifold.Judge(m)
		t.Logf("%g: %d triangles, genus %d, volume %.3f", p, len(m.T), j.Genus(), j.Volume)
		if !j.OK() || len(j.Bodies) != 1 || p < 1e-3 && j.Genus() != contourtest.B1Genus {
			t.Errorf("displaced by %g: %s", p, j.String())
		}
		if off := math.Abs(j.Volume - contourtest.B1Volume); off > 0.3+p*contourtest.B1Area {
			t.Errorf("displaced by %g the volume is %g", p, j.Volume)
		}
	}
	t.Log(accepted, "accepted")
}
