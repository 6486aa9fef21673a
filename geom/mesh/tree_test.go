package mesh

import (
	"math"
	"reflect"
	"runtime"
	"testing"

	"pgregory.net/rapid"
	"waxwright/geom/vec"
)

// soup draws loose triangles: spread, in clusters, on one spot, in one plane.
func soup(t *rapid.T) *Mesh {
	m := &Mesh{}
	n := rapid.IntRange(1, 60).Draw(t, "triangles")
	kind := rapid.IntRange(0, 3).Draw(t, "kind")
	seed := rapid.Uint64().Draw(t, "seed")
	next := func() float64 { // splitmix64: many numbers for one draw
		seed += 0x9e3779b97f4a7c15
		z := seed
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		return float64(z>>11)/(1<<53)*2 - 1
	}
	for range n {
		c := vec.P{X: next(), Y: next(), Z: next()}.Mul(10)
		switch kind {
		case 1: // some far away, most close together
			c = c.Mul(math.Exp2(math.Floor(20 * next())))
		case 2: // all on one spot
			c = vec.P{X: 1, Y: 2, Z: 3}
		}
		v := uint32(len(m.V))
		for range 3 {
			p := c.Add(vec.P{X: next(), Y: next(), Z: next()})
			if kind == 3 {
				p.Z = 5
			}
			m.V = append(m.V, p)
		}
		m.T = append(m.T, [3]uint32{v, v + 1, v + 2})
	}
	return m
}

func somewhere(t *rapid.T, name string) vec.P {
	c := rapid.Float64Range(-12, 12)
	return vec.P{X: c.Draw(t, name+".x"), Y: c.Draw(t, name+".y"), Z: c.Draw(t, name+".z")}
}

func TestNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := soup(t)
		tree := NewTree(m)
		p := somewhere(t, "p")
		radius := rapid.Float64Range(0, 30).Draw(t, "radius")
		keep := func(id uint32) bool { return id%3 != 0 }
		for _, k := range []func(uint32) bool{nil, keep} {
			want := math.Inf(1)
			for i := range m.T {
				if k != nil && !k(uint32(i)) {
					continue
				}
				a, b, c := m.Corners(i)
				want = min(want, sampled(p, a, b, c))
			}
			hit, ok := tree.NearOf(p, radius, k)
			if !ok {
				if want < radius*(1-1e-9) {
					t.Fatalf("nothing within %g of %v, a triangle is at %g", radius, p, want)
				}
				continue
			}
			if hit.Dist > want*(1+1e-9)+1e-12 || hit.Dist > radius {
				t.Fatalf("nearest at %g, brute force %g, radius %g", hit.Dist, want, radius)
			}
			if d := hit.P.Sub(p).Len(); math.Abs(d-hit.Dist) > 1e-12*(1+d) {
				t.Fatalf("distance %g, but the point is at %g", hit.Dist, d)
			}
			a, b, c := m.Corners(int(hit.T))
			n := b.Sub(a).Cross(c.Sub(a)).Unit()
			if off := math.Abs(hit.P.Sub(a).Dot(n)); off > 1e-9 {
				t.Fatalf("the point is %g off its triangle", off)
			}
		}
	})
}

func TestAround(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := soup(t)
		p := somewhere(t, "p")
		radius := rapid.Float64Range(0, 30).Draw(t, "radius")
		seen := map[uint32]float64{}
		NewTree(m).Around(p, radius, func(h Hit) {
			if _, twice := seen[h.T]; twice {
				t.Fatalf("triangle %d twice", h.T)
			}
			seen[h.T] = h.Dist
		})
		for i := range m.T {
			a, b, c := m.Corners(i)
			want := nearOnTriangle(p, a, b, c).Sub(p).Len()
			if got, ok := seen[uint32(i)]; ok != (want <= radius) && math.Abs(want-radius) > 1e-9 || ok && math.Abs(got-want) > 1e-9 {
				t.Fatalf("triangle %d at %g: found %v at %g within %g", i, want, ok, got, radius)
			}
		}
	})
}

// sampled returns a distance from p to triangle abc that is at least the true
// one, found by halving the triangle: a check that shares nothing with
// nearOnTriangle.
func sampled(p, a, b, c vec.P) float64 {
	best := math.Inf(1)
	const n = 12
	for i := range n + 1 {
		for j := range n + 1 - i {
			u, v := float64(i)/n, float64(j)/n
			q := a.Mul(1 - u - v).Add(b.Mul(u)).Add(c.Mul(v))
			best = min(best, q.Sub(p).Len())
		}
	}
	return best
}

func TestNearIsNearest(t *testing.T) { // and not below what planes and sides allow
	a, b, c := vec.P{}, vec.P{X: 4}, vec.P{Y: 3}
	m := &Mesh{V: []vec.P{a, b, c}, T: [][3]uint32{{0, 1, 2}}}
	tree := NewTree(m)
	for _, k := range []struct{ p, want vec.P }{
		{vec.P{X: 1, Y: 1, Z: 7}, vec.P{X: 1, Y: 1}},                      // face
		{vec.P{X: 2, Y: -3, Z: 4}, vec.P{X: 2}},                           // side
		{vec.P{X: 2 + 3, Y: 1.5 + 4, Z: 1}, vec.P{X: 2, Y: 1.5}},          // long side
		{vec.P{X: 9, Y: -1, Z: 1}, vec.P{X: 4}},                           // corner
		{vec.P{X: -1, Y: -1}, vec.P{}}, {vec.P{X: -1, Y: 9}, vec.P{Y: 3}}, // corners
	} {
		hit, ok := tree.Near(k.p, 100)
		if !ok || hit.P.Sub(k.want).Len() > 1e-14 {
			t.Errorf("nearest to %v is %v, want %v", k.p, hit.P, k.want)
		}
		if _, ok := tree.Near(k.p, k.p.Sub(k.want).Len()*0.999); ok {
			t.Errorf("found %v beyond the radius", k.p)
		}
	}
}

func TestRay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := soup(t)
		tree := NewTree(m)
		o := somewhere(t, "o")
		id := rapid.IntRange(0, len(m.T)-1).Draw(t, "at")
		a, b, c := m.Corners(id)
		u, v := rapid.Float64Range(0.05, 0.45).Draw(t, "u"), rapid.Float64Range(0.05, 0.45).Draw(t, "v")
		target := a.Mul(1 - u - v).Add(b.Mul(u)).Add(c.Mul(v))
		if math.Abs(target.Sub(o).Unit().Dot(b.Sub(a).Cross(c.Sub(a)).Unit())) < 1e-3 {
			t.Skip("grazing")
		}
		dir := target.Sub(o).Mul(0.5)
		met := false
		first := math.Inf(1)
		tree.RayAll(o, dir, 3, func(h Hit) {
			met = met || h.T == uint32(id) && math.Abs(h.Dist-2) < 1e-6
			first = min(first, h.Dist)
		})
		if !met {
			t.Fatalf("the ray from %v misses triangle %d at %v", o, id, target)
		}
		hit, ok := tree.Ray(o, dir, 3)
		if !ok || hit.Dist != first {
			t.Fatalf("first hit at %v, the least of all is %v", hit.Dist, first)
		}
		if _, ok := tree.Ray(o, dir, first*0.999); ok {
			t.Fatal("hit beyond the reach")
		}
	})
}

// Rays through the edges and corners of a closed surface meet it.
func TestRayThroughEdges(t *testing.T) {
	m := &Mesh{
		V: []vec.P{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}},
		T: [][3]uint32{{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4}, {2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}},
	}
	tree := NewTree(m)
	for _, p := range m.V {
		for _, q := range m.V {
			for s := 0.0; s <= 1; s += 1.0 / 16 {
				d := p.Lerp(q, s)
				if d == (vec.P{}) {
					continue
				}
				if _, ok := tree.Ray(vec.P{}, d, 100); !ok {
					t.Fatalf("the ray along %v leaves the octahedron unseen", d)
				}
			}
		}
	}
}

func TestInBoxAndPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := soup(t)
		tree := NewTree(m)
		box := func(i int) vec.Box { a, b, c := m.Corners(i); return vec.BoxOf(a, b, c) }
		q := vec.BoxOf(somewhere(t, "p"), somewhere(t, "q"))
		seen := map[uint32]int{}
		tree.InBox(q, func(id uint32) bool { seen[id]++; return true })
		for i := range m.T {
			meets := !box(i).Intersect(q).IsEmpty()
			if n := seen[uint32(i)]; n > 1 || meets && n == 0 {
				t.Fatalf("triangle %d seen %d times, meets the box: %v", i, n, meets)
			}
		}
		pairs := map[[2]uint32]int{}
		for _, k := range tree.PairTasks() {
			tree.Pairs(k, func(a, b uint32) bool { pairs[[2]uint32{min(a, b), max(a, b)}]++; return true })
		}
		for i := range m.T {
			for j := range i {
				meets := !box(i).Intersect(box(j)).IsEmpty()
				if n := pairs[[2]uint32{uint32(j), uint32(i)}]; n > 1 || meets && n == 0 {
					t.Fatalf("pair %d, %d seen %d times, boxes meet: %v", j, i, n, meets)
				}
			}
		}
	})
}

// grid is a wavy sheet of 2*n*n triangles.
func grid(n int) *Mesh {
	m := &Mesh{}
	for j := range n + 1 {
		for i := range n + 1 {
			x, y := 20*float64(i)/float64(n), 20*float64(j)/float64(n)
			m.V = append(m.V, vec.P{X: x, Y: y, Z: math.Sin(x) * math.Cos(y)})
		}
	}
	for j := range n {
		for i := range n {
			a := uint32(j*(n+1) + i)
			b, c, d := a+1, a+uint32(n)+2, a+uint32(n)+1
			m.T = append(m.T, [3]uint32{a, b, c}, [3]uint32{a, c, d})
		}
	}
	return m
}

func TestTreeIsTheSameOnAnyNumberOfProcessors(t *testing.T) {
	m := grid(150)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := NewTree(m)
	for _, n := range []int{2, 5} {
		runtime.GOMAXPROCS(n)
		if many := NewTree(m); !reflect.DeepEqual(one, many) {
			t.Fatalf("the tree built on %d processors differs", n)
		}
	}
}

func BenchmarkTree(b *testing.B) {
	m := grid(710) // a million triangles
	tree := NewTree(m)
	b.Run("build 1M", func(b *testing.B) {
		for range b.N {
			NewTree(m)
		}
	})
	at := func(i int) vec.P {
		return vec.P{X: math.Mod(float64(i)*0.618, 20), Y: math.Mod(float64(i)*0.414, 20), Z: 1.5}
	}
	b.Run("near, 1.5 away", func(b *testing.B) {
		for i := range b.N {
			tree.Near(at(i), 5)
		}
	})
	b.Run("near, 0.01 away", func(b *testing.B) {
		for i := range b.N {
			p := at(i)
			p.Z = math.Sin(p.X)*math.Cos(p.Y) + 0.01
			tree.Near(p, 5)
		}
	})
	b.Run("ray", func(b *testing.B) {
		for i := range b.N {
			tree.Ray(at(i), vec.P{X: 0.1, Y: 0.2, Z: -1}, 5)
		}
	})
	b.Run("pairs 1M", func(b *testing.B) {
		for range b.N {
			n := 0
			for _, k := range tree.PairTasks() {
				tree.Pairs(k, func(_, _ uint32) bool { n++; return true })
			}
			b.ReportMetric(float64(n)/float64(len(m.T)), "pairs/triangle")
		}
	})
}
