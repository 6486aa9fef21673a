package wall

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// anywhere draws a rigid placement.
func anywhere(t *rapid.T) vec.Place {
	n := rapid.Float64Range(-1, 1)
	axis := vec.P{X: n.Draw(t, "x"), Y: n.Draw(t, "y"), Z: n.Draw(t, "z") + 2}.Unit()
	turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn")
	return vec.Shift(vec.P{X: 7 * n.Draw(t, "dx"), Y: -3, Z: 1}).After(vec.Turn(axis, turn))
}

// few bounds the cases of a test that measures whole meshes.
const few = 6

// check is rapid.Check with no more than few cases.
func check(t *testing.T, f func(t *rapid.T)) {
	t.Helper()
	n := 0
	rapid.Check(t, func(r *rapid.T) {
		if n++; n <= few {
			f(r)
		}
	})
}

// TestBoxes: a box is as thin as its shortest side, however it lies.
func TestBoxes(t *testing.T) {
	check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0.3, 1).Draw(t, "thickness")
		b := vec.Box{Max: vec.P{X: a + 1.5, Y: a + 2, Z: a}}
		s := solid{m: meshtest.Box(b).Transform(anywhere(t))}
		clear(t, "box", a-1e-3, s.thin(t, a-1e-3))
		clear(t, "box", a, s.thin(t, a))
		found(t, "box", a+1e-3, s.thin(t, a+1e-3), a, 1e-9)
		clear(t, "box", 3, s.gaps(t, 3))
	})
}

// TestShells: the space between two spheres or two tubes of one centre is as
// wide as their radii differ, be it metal or air.
func TestShells(t *testing.T) {
	check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.5, 1).Draw(t, "radius")
		w := rapid.Float64Range(0.3, 0.8).Draw(t, "wall")
		at := anywhere(t)
		ball := meshtest.Join(meshtest.Sphere(r+w, 48), meshtest.Sphere(r, 48).Flip())
		tube := meshtest.Tube(r+w, r, 3, 64)
		for what, m := range map[string]*mesh.Mesh{"sphere": ball, "tube": tube} {
			s := solid{m: m.Transform(at)}
			clear(t, what, w-0.01, s.thin(t, w-0.01))
			found(t, what, w+0.01, s.thin(t, w+0.01), w, 1e-3)
			s.m = s.m.Flip()
			clear(t, what+", flipped", w-0.01, s.gaps(t, w-0.01))
			found(t, what+", flipped", w+0.01, s.gaps(t, w+0.01), w, 1e-3)
		}
	})
}

// TestTorus: round wire bent to a ring is as thick as the wire; its hole is a
// gap as wide as it is.
func TestTorus(t *testing.T) {
	s := contoured(t, sdf.Torus{Major: 1.2, Minor: 0.4})
	clear(t, "wire", 0.8, s.thin(t, 0.8))
	found(t, "wire", 0.81, s.thin(t, 0.81), 0.8, 1e-6)
	clear(t, "hole", 1.6, s.gaps(t, 1.6))
	found(t, "hole", 1.62, s.gaps(t, 1.62), 1.6, 1e-3)
}

// kite returns an upright prism on a kite: the angle a at the origin, sides of
// length 4 to both sides of +x, and 110 degrees at their ends.
func kite(a float64) *mesh.Mesh {
	sin, cos := math.Sincos(a / 2)
	// the far corner: the angles of a kite add up to four right ones
	tip := 4*cos + 4*sin/math.Tan((140*math.Pi/180-a)/2)
	m := &mesh.Mesh{}
	for _, z := range []float64{0, 5} {
		m.V = append(m.V, vec.P{Z: z}, vec.P{X: 4 * cos, Y: -4 * sin, Z: z}, vec.P{X: tip, Z: z}, vec.P{X: 4 * cos, Y: 4 * sin, Z: z})
	}
	m.T = [][3]uint32{{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}}
	for i := range uint32(4) {
		j := (i + 1) % 4
		m.T = append(m.T, [3]uint32{i, j, j + 4}, [3]uint32{i, j + 4, i + 4})
	}
	return m
}

// TestWedges: sides that meet at less than 60 degrees are thin as far as the
// ball of the limit's diameter does not get, those at more never are.
func TestWedges(t *testing.T) {
	const limit, spacing = 0.5, 0.05
	check(t, func(t *rapid.T) {
		degrees := rapid.OneOf(rapid.Float64Range(10, 58), rapid.Float64Range(62, 78)).Draw(t, "angle")
		a := degrees * math.Pi / 180
		at := anywhere(t)
		spots, err := Thin(context.Background(), kite(a).Transform(at), nil, limit, Options{Spacing: spacing})
		if err != nil {
			t.Fatal(err)
		}
		if degrees > 60 {
			clear(t, "blunt wedge", limit, spots)
			return
		}
		if len(spots) == 0 || degrees > 35 && (len(spots) > 1 || !spots[0].Edge) {
			t.Fatalf("want a knife edge, got %+v", spots)
		}
		area := 0.0
		for _, s := range spots {
			area += s.Area
		}
		reach := limit / 2 / math.Tan(a/2)
		if got := area / 2 / 5; got > reach+spacing || got < reach-2*spacing {
			t.Errorf("wedge of %g degrees is thin up to %.3f from its edge, got %.3f", degrees, reach, got)
		}
	})
}

// TestPit: a drill's pointed pit comes as near to the floor as its tip.
func TestPit(t *testing.T) {
	block := sdf.At(box(6, 6, 2), vec.Shift(vec.P{Z: 1}))
	drill := sdf.Cone{R0: 0, Z0: 0.55, R1: 1.7, Z1: 2.25}
	s := contoured(t, sdf.Difference{From: block, Cut: []sdf.Field{drill}})
	for what, s := range map[string]solid{"pit": s, "pit, smoothed": {m: s.m}} {
		clear(t, what, 0.54, s.thin(t, 0.54))
		found(t, what, 0.56, s.thin(t, 0.56), 0.55, 2e-3)
	}
}

// TestOffsetNotches: two grooves that pass each other in a slab leave a slanting
// wall that no straight line through the slab shows.
func TestOffsetNotches(t *testing.T) {
	slab := box(8, 6, 2)
	cut := func(x, z float64) sdf.Field { return sdf.At(box(1, 8, 1.5), vec.Shift(vec.P{X: x, Z: z})) }
	// groove floors at z = 0.05 and -0.05, walls at x = 0.15 and -0.15
	s := contoured(t, sdf.Difference{From: slab, Cut: []sdf.Field{cut(0.65, 0.8), cut(-0.65, -0.8)}})
	want := math.Hypot(0.3, 0.1)
	clear(t, "notches", 0.25, s.thin(t, 0.25))
	spots := s.thin(t, 0.4)
	if len(spots) == 0 || spots[0].Width > want+1e-3 {
		t.Errorf("the corners of the notches are %.4f apart, got %+v", want, spots)
	}
}

// TestThickness: a wedge grows in the measure of the ray or the ball, whichever
// is less; the thick part of a plate with a step shows nothing.
func TestThickness(t *testing.T) {
	s := contoured(t, sdf.Union{
		sdf.At(box(4, 4, 0.6), vec.Shift(vec.P{X: -2, Z: 0.3})),
		sdf.At(box(4, 4, 2.5), vec.Shift(vec.P{X: 2, Z: 1.25})),
	})
	w, err := Thickness(context.Background(), s.m, s.n, 1, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(w) != len(s.m.V) {
		t.Fatalf("%d values for %d vertices", len(w), len(s.m.V))
	}
	for i, p := range s.m.V {
		switch {
		case p.X < -0.01 && math.Abs(w[i]-0.6) > 1e-6:
			t.Fatalf("at %v the plate is 0.6 thick, got %g", p, w[i])
		case p.X > 1.3 && !math.IsInf(w[i], 1):
			t.Fatalf("at %v the block is more than 1 thick, got %g", p, w[i])
		}
	}
}

// TestThicknessWhere: only the sides picked out are measured, and those as ever.
func TestThicknessWhere(t *testing.T) {
	s := contoured(t, box(4, 3, 0.6))
	above := func(_, n vec.P) bool { return n.Z > 0.5 }
	w, err := Thickness(context.Background(), s.m, s.n, 1, Options{Where: above})
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range s.m.V {
		want := math.Inf(1)
		if p.Z > 0 {
			want = 0.6
		}
		if w[i] != want && !(math.Abs(w[i]-want) < 1e-6) {
			t.Errorf("at %v %g was measured, want %g", p, w[i], want)
		}
	}
}

// TestThicknessAsked: shares of what is asked of each wall; of what is an edge by
// that measure, or not asked for, nothing.
func TestThicknessAsked(t *testing.T) {
	s := contoured(t, sdf.Union{
		sdf.Tag(sdf.At(box(4, 4, 0.5), vec.Shift(vec.P{X: -5})), 7),
		sdf.Tag(sdf.At(box(4, 4, 0.5), vec.Shift(vec.P{X: 5})), 8),
		sdf.Tag(box(2, 2, 0.5), 9),
	})
	asked := func(p, q vec.P, tags [2]uint32) Asked {
		if d := p.Sub(q).Len(); math.Abs(d-0.5) > 1e-6 {
			t.Errorf("the sides of a wall of 0.5 are %g apart", d)
		}
		return map[[2]uint32]Asked{{7, 7}: {Width: 0.4}, {8, 8}: {Width: 1}}[tags]
	}
	w, err := Thickness(context.Background(), s.m, s.n, 1.5, Options{Asked: asked})
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range s.m.V {
		want := math.Inf(1)
		switch {
		case p.X < -2:
			want = 1.25
		case p.X > 2:
			want = 0.5
		}
		if w[i] != want && !(math.Abs(w[i]-want) < 1e-6) {
			t.Errorf("at %v a share of %g was measured, want %g", p, w[i], want)
		}
	}
}

// TestOwners: limits by owner, and tags of both sides.
func TestOwners(t *testing.T) {
	s := contoured(t, sdf.Union{
		sdf.Tag(sdf.At(box(4, 4, 0.5), vec.Shift(vec.P{X: -5})), 7),
		sdf.Tag(sdf.At(box(4, 4, 0.5), vec.Shift(vec.P{X: 5})), 8),
	})
	spots := s.thin(t, 0.6)
	if len(spots) != 2 || spots[0].Tags == spots[1].Tags || spots[0].Tags[0] != spots[0].Tags[1] {
		t.Errorf("want one spot for each plate, got %+v", spots)
	}
	spots, err := Thin(context.Background(), s.m, s.n, 0.6, Options{Limit: func(a, b uint32) float64 {
		if a == 7 && b == 7 {
			return 0.4
		}
		return 0.55
	}})
	if err != nil || len(spots) != 1 || spots[0].Tags != [2]uint32{8, 8} {
		t.Errorf("want the plate with the higher limit only, got %+v, %v", spots, err)
	}
	spots, err = Thin(context.Background(), s.m, s.n, 0.6, Options{MinArea: 33})
	if err != nil || len(spots) != 0 {
		t.Errorf("32 mm2 are less than 33, got %+v, %v", spots, err)
	}
}

// TestZoneLimit: of two plates, one left and one right of x = 0, each is judged by the
// limit of its zone.
func TestZoneLimit(t *testing.T) {
	s := contoured(t, sdf.Union{
		sdf.At(box(4, 4, 0.4), vec.Shift(vec.P{X: -3})),
		sdf.At(box(4, 4, 0.6), vec.Shift(vec.P{X: 3})),
	})
	o := Options{Zone: func(p, _ vec.P, _ [2]uint32) int {
		if p.X < 0 {
			return 1
		}
		return 2
	}}
	for _, c := range []struct {
		limits [3]float64
		want   []int
	}{
		{[3]float64{0, 0.5, 0.7}, []int{1, 2}},
		{[3]float64{0, 0.3, 0.7}, []int{2}},
		{[3]float64{0, 0.5, 0.5}, []int{1}},
		{[3]float64{0, 0, 0}, nil},
	} {
		o.ZoneLimit = func(zone int) float64 { return c.limits[zone] }
		spots, err := Thin(context.Background(), s.m, s.n, 0.8, o)
		if err != nil {
			t.Fatal(err)
		}
		var got []int
		for _, s := range spots {
			got = append(got, s.Zone)
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("by the limits %v there is too little in the zones %v, want %v", c.limits[1:], got, c.want)
		}
	}
}

// TestSameForAnyWorkers: the answer depends on neither workers nor runs.
func TestSameForAnyWorkers(t *testing.T) {
	s := contoured(t, sdf.Union{
		sdf.Torus{Major: 2, Minor: 0.3},
		sdf.At(sdf.Cylinder{R: 0.35, Z0: -1, Z1: 1}, vec.Shift(vec.P{X: 2})),
		sdf.At(sdf.Cylinder{R: 0.2, Z0: -1, Z1: 1}, vec.Shift(vec.P{X: 1.4})),
		sdf.At(box(1, 4.2, 0.5), vec.Turn(vec.P{X: 0.6, Y: 0.8}, 1)),
	})
	var first []Spot
	for _, workers := range []int{1, 2, 5} {
		spots, err := Thin(context.Background(), s.m, s.n, 0.65, Options{Workers: workers})
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = spots
		}
		if !reflect.DeepEqual(first, spots) {
			t.Errorf("%d workers give another answer than 1", workers)
		}
	}
}

// TestCancel: a cancelled measurement returns the context's error, before the
// work and in the midst of it.
func TestCancel(t *testing.T) {
	s := solid{m: meshtest.Torus(8, 2, 400, 100)}
	ctx, cancel := context.WithCancel(context.Background())
	calls := 0
	_, err := Thin(ctx, s.m, nil, 3, Options{Workers: 2, Progress: func(done, total int) {
		if calls++; done < 1 || done > total {
			t.Errorf("progress %d of %d", done, total)
		}
		cancel()
	}})
	if !errors.Is(err, context.Canceled) || calls > 3 {
		t.Errorf("cancelled at the first block, got %v after %d", err, calls)
	}
	if _, err := Gaps(ctx, s.m, nil, 3, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled before the start, got %v", err)
	}
	ctx, cancel = context.WithTimeout(context.Background(), time.Nanosecond)
	defer cancel()
	if _, err := Thickness(ctx, s.m, nil, 3, Options{}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("timed out, got %v", err)
	}
}

// TestUnfit: bad arguments are errors, an empty mesh has no thin place.
func TestUnfit(t *testing.T) {
	ctx := context.Background()
	cube := meshtest.Cube(vec.P{}, 1)
	for _, limit := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Thin(ctx, cube, nil, limit, Options{}); err == nil {
			t.Errorf("no error for the limit %g", limit)
		}
	}
	for _, o := range []Options{{Angle: 1}, {Angle: 4}, {Slack: -1}, {Spacing: -1}, {Slack: math.NaN()}} {
		if _, err := Thin(ctx, cube, nil, 1, o); err == nil {
			t.Errorf("no error for %+v", o)
		}
	}
	cube.V[0].X = math.NaN()
	if _, err := Thin(ctx, cube, nil, 1, Options{}); err == nil {
		t.Error("no error for a vertex that is not finite")
	}
	if spots, err := Thin(ctx, &mesh.Mesh{}, nil, 1, Options{}); err != nil || len(spots) > 0 {
		t.Errorf("empty mesh: %v, %v", spots, err)
	}
	// flat, folded and double triangles are measured somehow, without a panic
	bad := &mesh.Mesh{V: []vec.P{{}, {X: 1}, {Y: 1}}, T: [][3]uint32{{0, 1, 2}, {0, 2, 1}, {0, 1, 2}, {0, 0, 1}, {1, 1, 1}}}
	if _, err := Thin(ctx, bad, nil, 1, Options{}); err != nil {
		t.Error(err)
	}
}

// TestMost: what is known of an owner beforehand changes no answer.
func TestMost(t *testing.T) {
	s := contoured(t, sdf.Union{
		sdf.Tag(sdf.At(box(4, 4, 0.5), vec.Shift(vec.P{X: -5})), 1),
		sdf.Tag(sdf.At(box(4, 4, 0.5), vec.Shift(vec.P{X: 0})), 2),
		sdf.Tag(sdf.At(box(4, 4, 0.7), vec.Shift(vec.P{X: 5})), 3),
	})
	limits := []float64{0, 0, 0.55, 0.75}
	o := Options{Limit: func(a, b uint32) float64 { return min(limits[a], limits[b]) }}
	plain, err := Thin(context.Background(), s.m, s.n, 0.8, o)
	if err != nil {
		t.Fatal(err)
	}
	o.Most = func(a uint32) float64 { return limits[a] }
	most, err := Thin(context.Background(), s.m, s.n, 0.8, o)
	if err != nil || len(most) != 2 || !reflect.DeepEqual(plain, most) {
		t.Errorf("want the same two spots, got %+v and %+v, %v", plain, most, err)
	}
}
