package contour

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

func copied(m *mesh.Mesh) *mesh.Mesh {
	return &mesh.Mesh{V: slices.Clone(m.V), T: slices.Clone(m.T), Tag: slices.Clone(m.Tag)}
}

// reduced returns a reduced copy of a specimen.
func reduced(t testing.TB, s *specimen, o reduceOptions) *mesh.Mesh {
	t.Helper()
	m := copied(&s.mesh)
	code, err := sdf.Compile(s.field)
	if err != nil {
		t.Fatal(err)
	}
	if err := reduce(context.Background(), m, s.class, fieldSurface{code}, o); err != nil {
		t.Fatal(err)
	}
	return m
}

// scatter calls f for about n points spread evenly over a mesh.
func scatter(m *mesh.Mesh, n int, f func(p vec.P)) {
	rnd := rand.New(rand.NewPCG(1, 2))
	total := m.Area()
	left := 0.0
	for i := range m.T {
		a, b, c := m.Corners(i)
		left += b.Sub(a).Cross(c.Sub(a)).Len() / 2 / total * float64(n)
		for ; left > 0; left-- {
			u, v := rnd.Float64(), rnd.Float64()
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			f(a.Add(b.Sub(a).Mul(u)).Add(c.Sub(a).Mul(v)))
		}
	}
}

// outOfPlace returns the largest distance between a mesh and the surface of a
// field, and of points of the surface (those of a finer mesh) from the mesh.
func outOfPlace(t testing.TB, m, fine *mesh.Mesh, field sdf.Field) (off, missed float64) {
	t.Helper()
	code, err := sdf.Compile(field)
	if err != nil {
		t.Fatal(err)
	}
	const points = 3000
	scatter(m, points, func(p vec.P) {
		q, _, _ := code.Nearest(p)
		off = max(off, q.Sub(p).Len())
	})
	tree := mesh.NewTree(m)
	scatter(fine, points, func(p vec.P) {
		q, _, _ := code.Nearest(p)
		hit, _ := tree.Near(q, math.Inf(1))
		missed = max(missed, hit.Dist)
	})
	return off, missed
}

// sound fails t unless the judge finds nothing wrong with m, also as a file
// holds it.
func sound(t testing.TB, name string, m *mesh.Mesh) {
	t.Helper()
	for _, m := range []*mesh.Mesh{m, m.Float32().Weld()} {
		if r := manifold.Judge(m); !r.OK() {
			t.Errorf("%s: %s", name, r.String())
		}
	}
}

func TestReduce(t *testing.T) {
	for _, s := range specimens(0.08) {
		for _, tol := range []float64{0.005, 0.02} {
			m := reduced(t, &s, reduceOptions{tol: tol, workers: 2})
			meshtest.Conform(t, m, meshtest.Want{Genus: &s.genus, Bodies: s.parts})
			sound(t, s.name, m)
			if d := math.Abs(m.Volume() - s.mesh.Volume()); d > tol*s.mesh.Area() {
				t.Errorf("%s at %g: volume changed by %g mm3", s.name, tol, d)
			}
			if len(m.T)*s.fold > len(s.mesh.T) {
				t.Errorf("%s at %g: %d triangles are left of %d", s.name, tol, len(m.T), len(s.mesh.T))
			}
			off, missed := outOfPlace(t, m, &s.mesh, s.field)
			if off > tol || missed > tol {
				t.Errorf("%s at %g: %g mm off the surface, which is %g mm off the mesh", s.name, tol, off, missed)
			}
		}
	}
}

// The vertices that are left are some of the first ones, and none moved.
func TestReduceKeepsPlaces(t *testing.T) {
	s := can(0.1)
	first := map[vec.P]bool{}
	for _, p := range s.mesh.V {
		first[p] = true
	}
	m := reduced(t, &s, reduceOptions{tol: 0.01})
	for _, p := range m.V {
		if !first[p] {
			t.Fatalf("vertex at %v is new", p)
		}
	}
}

// Creases stay where they are: straight ones to the last digit, round ones
// within the tolerance.
func TestReduceCreases(t *testing.T) {
	const tol = 0.005
	for _, c := range []struct {
		s     specimen
		crack func(a float64) vec.P // the true crease, for a in 0..1
		far   float64
	}{
		{boxOfCells(0.1), func(a float64) vec.P { return vec.P{X: 2, Y: 1.5, Z: 2*a - 1} }, 1e-12},
		{perforated(0.05, 1, 1), func(a float64) vec.P { return vec.P{X: 2*a - 1, Y: 1, Z: 0.8} }, 1e-12},
		{can(0.05), func(a float64) vec.P { return turned(1, 2*math.Pi*a, 3) }, tol},
		{perforated(0.05, 1, 1), func(a float64) vec.P { return turned(0.6, 2*math.Pi*a, 0.8) }, tol},
	} {
		m := reduced(t, &c.s, reduceOptions{tol: tol})
		tree := mesh.NewTree(m)
		for i := range 500 {
			p := c.crack(float64(i) / 500)
			if hit, _ := tree.Near(p, math.Inf(1)); hit.Dist > c.far {
				t.Fatalf("%s: the crease at %v is %g off the mesh", c.s.name, p, hit.Dist)
			}
		}
	}
}

// A border of owners that no crease marks stays where it is to seamDrift.
func TestReduceSeams(t *testing.T) {
	s := boxOfCells(0.05)
	border := func(p vec.P) float64 { return p.X - 0.3*math.Sin(2*p.Y) } // not along the cells
	area := func(m *mesh.Mesh, tag uint32) (sum float64) {
		for i, g := range m.Tag {
			if g == tag {
				a, b, c := m.Corners(i)
				sum += b.Sub(a).Cross(c.Sub(a)).Len() / 2
			}
		}
		return sum
	}
	for i := range s.mesh.T {
		a, b, c := s.mesh.Corners(i)
		s.mesh.Tag[i] = 8
		if border(a.Add(b).Add(c).Mul(1.0/3)) > 0 {
			s.mesh.Tag[i] = 9
		}
	}
	m := reduced(t, &s, reduceOptions{tol: 0.005})
	const length = 2*3.2 + 2*2 // of the border round the box, a little less
	if d := math.Abs(area(m, 9) - area(&s.mesh, 9)); d > length*seamDrift/2 {
		t.Errorf("area of an owner changed by %g mm2", d)
	}
	for i, tag := range m.Tag {
		a, b, c := m.Corners(i)
		p := a.Add(b).Add(c).Mul(1.0 / 3)
		if d := border(p); math.Abs(d) > 2*seamDrift && d > 0 != (tag == 9) {
			t.Errorf("a triangle at %v has owner %d", p, tag)
		}
	}
	if len(m.T)*20 > len(s.mesh.T) {
		t.Errorf("%d triangles are left of %d", len(m.T), len(s.mesh.T))
	}
}

func TestReduceSameBytes(t *testing.T) {
	for _, s := range []specimen{ring(0.03), perforated(0.04, 2, 2)} {
		one := reduced(t, &s, reduceOptions{tol: 0.005, workers: 1})
		for _, w := range []int{2, 5} {
			m := reduced(t, &s, reduceOptions{tol: 0.005, workers: w})
			if !slices.Equal(m.V, one.V) || !slices.Equal(m.T, one.T) || !slices.Equal(m.Tag, one.Tag) {
				t.Errorf("%s: %d workers make another mesh than one", s.name, w)
			}
		}
	}
}

func TestReduceCancel(t *testing.T) {
	s := ball(0.1)
	code, err := sdf.Compile(s.field)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	m := copied(&s.mesh)
	o := reduceOptions{tol: 0.01, progress: func(done, total int) { cancel() }}
	if err := reduce(ctx, m, s.class, fieldSurface{code}, o); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled, reduce returns %v", err)
	}
	if !slices.Equal(m.T, s.mesh.T) || !slices.Equal(m.V, s.mesh.V) {
		t.Error("a reduction that failed changed the mesh")
	}
}

func TestReduceRefuses(t *testing.T) {
	s := ball(0.5)
	code, err := sdf.Compile(s.field)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		tol    float64
		change func(m *mesh.Mesh)
	}{
		{"a hole", 0.01, func(m *mesh.Mesh) { m.T[3] = m.T[0] }},
		{"a pinch", 0.01, func(m *mesh.Mesh) { *m = *pinched(m) }},
		{"an index too many", 0.01, func(m *mesh.Mesh) { m.T[3][1] = uint32(len(m.V)) }},
		{"a flipped triangle", 0.01, func(m *mesh.Mesh) { m.T[3][1], m.T[3][2] = m.T[3][2], m.T[3][1] }},
		{"a vertex nowhere", 0.01, func(m *mesh.Mesh) { m.V[7].Y = math.Inf(1) }},
		{"no tolerance", 0, func(*mesh.Mesh) {}},
		{"a tolerance that is none", math.NaN(), func(*mesh.Mesh) {}},
	} {
		m := copied(&s.mesh)
		m.Tag = nil
		c.change(m)
		if err := reduce(context.Background(), m, make([]uint8, len(m.V)), fieldSurface{code}, reduceOptions{tol: c.tol}); err == nil {
			t.Errorf("%s is not refused", c.name)
		}
	}
}

func TestReduceNothing(t *testing.T) {
	code, err := sdf.Compile(sdf.Sphere{R: 1})
	if err != nil {
		t.Fatal(err)
	}
	var m mesh.Mesh
	if err := reduce(context.Background(), &m, nil, fieldSurface{code}, reduceOptions{tol: 0.01}); err != nil {
		t.Error(err)
	}
}

// pinched joins two copies of a mesh in one vertex.
func pinched(m *mesh.Mesh) *mesh.Mesh {
	n := copied(m)
	off := uint32(len(m.V))
	n.V = append(n.V, m.V...)
	for _, t := range m.T {
		for k := range t {
			if t[k] += off; t[k] == off {
				t[k] = 0
			}
		}
		n.T = append(n.T, t)
	}
	return n
}

// A vertex is slit in two, and the slit covered by a flap that folds flat: the
// reduction closes it.
func TestReduceCures(t *testing.T) {
	s := ball(0.2)
	n, err := newNet(context.Background(), s.mesh.V, s.mesh.T, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []uint32{50, 120, 200} {
		m := &s.mesh
		v := uint32(len(m.V))
		m.V = append(m.V, m.V[w], m.V[w].Add(vec.P{X: 0.02, Y: 0.03, Z: -0.01}).Unit().Mul(1.5))
		u := v + 1
		e := n.out[w]
		a, b := n.dest(e), uint32(0)
		for i := 0; ; i++ { // the triangles from the third on go to v
			if i == 3 {
				b = n.dest(e)
			}
			if i >= 3 {
				for k, c := range m.T[e/3] {
					if c == w {
						m.T[e/3][k] = v
					}
				}
			}
			if e = n.turn(e); e == n.out[w] {
				break
			}
		}
		m.T = append(m.T, [3]uint32{a, w, u}, [3]uint32{w, b, u}, [3]uint32{b, v, u}, [3]uint32{v, a, u})
		m.Tag = append(m.Tag, 7, 7, 7, 7)
		s.class = append(s.class, 2, 0)
		s.class[w] = 2
	}
	if r := manifold.Judge(&s.mesh); r.Count[manifold.Folded] == 0 {
		t.Fatalf("the slits are not to be seen: %s", r.String())
	}
	sound(t, "slit ball", reduced(t, &s, reduceOptions{tol: 0.01}))
}

// Heaps of balls: the mesh is a sphere blown onto them, so that it knows
// nothing of their creases and starts some way off.
func TestReduceHeaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var field sdf.Union
		var at []vec.P
		var radius []float64
		for range rapid.IntRange(1, 5).Draw(t, "balls") {
			r := rapid.Float64Range(0.5, 1).Draw(t, "radius")
			d := blown(rapid.IntRange(0, 2).Draw(t, "axis"), rapid.SampledFrom([]float64{-1, 1}).Draw(t, "sign"),
				rapid.Float64Range(-1, 1).Draw(t, "u"), rapid.Float64Range(-1, 1).Draw(t, "v"))
			d = d.Mul(r * rapid.Float64Range(0, 0.7).Draw(t, "out")) // each holds the origin
			field = append(field, sdf.At(sdf.Sphere{R: r}, vec.Shift(d)))
			at, radius = append(at, d), append(radius, r)
		}
		q := &quilt{}
		q.sphere(1, rapid.Float64Range(0.1, 0.3).Draw(t, "cell"), 1)
		for i, p := range q.V { // to where its ray leaves the last ball
			far := 0.0
			for k, c := range at {
				b := p.Dot(c)
				far = max(far, b+math.Sqrt(b*b-c.Len2()+radius[k]*radius[k]))
			}
			q.V[i] = p.Mul(far)
		}
		class := make([]uint8, len(q.V))
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		for i := range class { // and some are held
			class[i] = [8]uint8{6: 1, 7: 2}[rnd.IntN(8)]
		}
		tol := rapid.Float64Range(0.002, 0.05).Draw(t, "tol")
		s := specimen{"heap", q.Mesh, class, field, 0, 1, 1}
		code, err := sdf.Compile(field)
		if err != nil {
			t.Fatal(err)
		}
		m := copied(&s.mesh)
		if err := reduce(context.Background(), m, class, fieldSurface{code}, reduceOptions{tol: tol}); err != nil {
			t.Fatal(err)
		}
		if r := manifold.Judge(m); !r.OK() || r.Genus() != 0 || len(r.Bodies) != 1 {
			t.Fatalf("from %d triangles %d: %s", len(s.mesh.T), len(m.T), r.String())
		}
		was, is := 0.0, 0.0
		scatter(&s.mesh, 1000, func(p vec.P) { was = max(was, math.Abs(code.Dist(p))) })
		scatter(m, 1000, func(p vec.P) { is = max(is, math.Abs(code.Dist(p))) })
		if is > was*1.2+tol { // the thousand points may miss the worst of it
			t.Fatalf("from %g off the surface to %g at tolerance %g", was, is, tol)
		}
	})
}

func BenchmarkReduce(b *testing.B) {
	s := perforated(0.013, 2, 2)
	code, err := sdf.Compile(s.field)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		m := copied(&s.mesh)
		b.StartTimer()
		if err := reduce(context.Background(), m, s.class, fieldSurface{code}, reduceOptions{tol: 0.005}); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(s.mesh.T)), "triangles-in")
		b.ReportMetric(float64(len(m.T)), "triangles")
	}
}
