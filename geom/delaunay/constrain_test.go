package delaunay

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Random segments are fixed, or refused with a reason that is true; what was
// fixed before stays so.
func TestConstrain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		reach := rapid.SampledFrom([]int32{3, 8, 100, Reach}).Draw(t, "reach")
		points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Point {
			return Point{rapid.Int32Range(-reach, reach).Draw(t, "x"), rapid.Int32Range(-reach, reach).Draw(t, "y")}
		}), 3, 80).Draw(t, "points")
		tri, err := New(points)
		if err != nil {
			return
		}
		var fixed [][2]int32
		vertex := rapid.IntRange(0, len(points)-1)
		for range rapid.IntRange(1, 12).Draw(t, "segments") {
			a := tri.Vertex(int32(vertex.Draw(t, "a")))
			b := tri.Vertex(int32(vertex.Draw(t, "b")))
			before := slices.Clone(tri.Triangles)
			path, err := tri.Constrain(a, b)
			var x *CrossingError
			switch {
			case a == b:
				if err == nil {
					t.Fatal("a segment without length")
				}
			case errors.As(err, &x):
				if x.A != a || x.B != b || !crosses(tri, x) || !isFixed(fixed, x.C, x.D) {
					t.Fatalf("%v is not so", err)
				}
				if !slices.Equal(before, tri.Triangles) {
					t.Fatal("refused, but changed")
				}
			case err != nil:
				t.Fatal(err)
			default:
				if path[0] != a || path[len(path)-1] != b {
					t.Fatalf("path %v from %d to %d", path, a, b)
				}
				for i := range path[1:] {
					if tri.side(a, b, path[i]) != 0 || !ahead(tri.Points[path[i]], tri.Points[b], tri.Points[path[i+1]]) {
						t.Fatalf("path %v leaves the segment", path)
					}
				}
				fixed = pieces(fixed, path)
			}
		}
		check(t, tri, fixed)
	})
}

func isFixed(fixed [][2]int32, a, b int32) bool {
	return slices.Contains(fixed, [2]int32{a, b}) || slices.Contains(fixed, [2]int32{b, a})
}

func crosses(t *Triangulation, x *CrossingError) bool {
	sign := func(a, b, c int32) int64 { return max(-1, min(1, t.side(a, b, c))) }
	return sign(x.A, x.B, x.C)*sign(x.A, x.B, x.D) < 0 && sign(x.C, x.D, x.A)*sign(x.C, x.D, x.B) < 0
}

func TestConstrainRefusals(t *testing.T) {
	tri := mustBuild(t, []Point{{0, 0}, {9, 0}, {9, 9}, {0, 9}, {0, 0}})
	if _, err := tri.Constrain(0, 2); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		a, b int32
		want string
	}{
		{1, 3, "segment 1-3: crosses the fixed edge 2-0"},
		{1, 1, "segment 1-1: has no length"},
		{1, 5, "segment 1-5: 5 is no vertex"},
		{-1, 2, "segment -1-2: -1 is no vertex"},
		{4, 2, "segment 4-2: 4 is a twin of 0"},
	} {
		if _, err := tri.Constrain(c.a, c.b); err == nil || err.Error() != c.want {
			t.Errorf("%d-%d: %v", c.a, c.b, err)
		}
	}
	check(t, tri, [][2]int32{{0, 2}})
}

// A segment through a cloud crosses hundreds of triangles, and edges that hang
// into what it crosses.
func TestConstrainFar(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	points := append(cloud(rng, 5000), Point{-Reach, -Reach}, Point{Reach, Reach}, Point{-Reach, Reach}, Point{Reach, -Reach})
	tri := mustBuild(t, points)
	path, err := tri.Constrain(5000, 5001)
	if err != nil {
		t.Fatal(err)
	}
	check(t, tri, pieces(nil, path))

	// Spikes from both sides that nearly touch the segment, all fixed first.
	points = points[:0]
	var fixed [][2]int32
	for i := range int32(300) {
		s := 1 - 2*(i%2)
		points = append(points, Point{i * 100, s * (1 + i%7)}, Point{i*100 + i%13, s * (5000 + i*37%900)})
		fixed = append(fixed, [2]int32{2 * i, 2*i + 1})
	}
	points = append(points, Point{-1, 0}, Point{30001, 0})
	tri = mustBuild(t, points)
	for _, f := range fixed {
		if _, err := tri.Constrain(f[0], f[1]); err != nil {
			t.Fatal(err)
		}
	}
	path, err = tri.Constrain(600, 601)
	if err != nil {
		t.Fatal(err)
	}
	check(t, tri, pieces(fixed, path))
}

// ring returns a star-shaped polygon, counter-clockwise, round a place. Its
// corners are less than 1.9 turns / n apart, so of 12 all edges are more than
// 0.87 of least from the middle, and of 8 more than 0.73.
func ring(rng *rand.Rand, x, y, least, most float64, n int) []Point {
	var ps []Point
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.9*rng.Float64()) / float64(n)
		r := least + (most-least)*rng.Float64()
		ps = append(ps, Point{int32(x + r*math.Cos(a)), int32(y + r*math.Sin(a))})
	}
	return ps
}

func shoelace(ps []Point) (twice int64) {
	for i, p := range ps {
		twice += orient(ps[0], p, ps[(i+1)%len(ps)])
	}
	return twice
}

// Random polygons with holes, islands in the holes and free points: the area
// inside is that of the polygons, exactly.
func TestFloodPolygons(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		var points []Point
		var edges [][2]int32
		want := int64(0)
		add := func(ps []Point, hole bool) {
			first, n := int32(len(points)), int32(len(ps))
			points = append(points, ps...)
			for i := range n {
				a, b := first+i, first+(i+1)%n
				if hole {
					a, b = b, a
				}
				edges = append(edges, [2]int32{a, b})
			}
			if hole {
				want -= shoelace(ps)
			} else {
				want += shoelace(ps)
			}
		}
		add(ring(rng, 0, 0, 4e8, 5e8, 12+rng.IntN(60)), false)
		for i := range rng.IntN(7) {
			x, y := 2e8*math.Cos(float64(i)), 2e8*math.Sin(float64(i))
			add(ring(rng, x, y, 4e7, 7e7, 8+rng.IntN(40)), true)
			if rng.IntN(2) == 0 {
				add(ring(rng, x, y, 1e6, 2e7, 8+rng.IntN(40)), false)
			}
		}
		points = append(points, cloud(rng, rng.IntN(200))...)
		tri, err := New(points)
		if err != nil {
			rt.Fatal(err)
		}
		var fixed [][2]int32
		for _, e := range edges {
			path, err := tri.Constrain(e[0], e[1])
			if err != nil {
				rt.Fatal(err)
			}
			fixed = pieces(fixed, path)
		}
		if err := tri.Flood(edges); err != nil {
			rt.Fatal(err)
		}
		check(rt, tri, fixed)
		if got := insideArea(tri); got != want {
			rt.Fatalf("twice the area inside is %d, of the polygons %d", got, want)
		}
		// One edge the other way round is a contradiction.
		i := rng.IntN(len(edges))
		edges[i][0], edges[i][1] = edges[i][1], edges[i][0]
		var leak *LeakError
		if err := tri.Flood(edges); !errors.As(err, &leak) {
			rt.Fatalf("a turned edge: %v", err)
		}
		if got := insideArea(tri); got != 0 {
			rt.Fatalf("area %d after a leak", got)
		}
		edges[i][0], edges[i][1] = edges[i][1], edges[i][0]
		// So is one that is missing, unless it is the only one of a fold.
		if err := tri.Flood(slices.Delete(edges, i, i+1)); !errors.As(err, &leak) {
			rt.Fatalf("a missing edge: %v", err)
		}
	})
}

func insideArea(t *Triangulation) (twice int64) {
	for _, tr := range t.Inside() {
		twice += t.side(tr.V[0], tr.V[1], tr.V[2])
	}
	return twice
}

// slit is a square with a slit across its middle.
var (
	slit      = []Point{{0, 0}, {8, 0}, {8, 8}, {0, 8}, {2, 4}, {4, 4}, {6, 4}}
	slitEdges = [][2]int32{{0, 1}, {1, 2}, {2, 3}, {3, 0}, {4, 6}, {6, 4}}
)

// What is fixed after a flood takes over what that told. Of the two segments,
// which cross, one at least is no edge before.
func TestFloodThenConstrain(t *testing.T) {
	for _, s := range [][2]int32{{0, 6}, {1, 4}} {
		tri := mustBuild(t, slit)
		for _, e := range slitEdges {
			if _, err := tri.Constrain(e[0], e[1]); err != nil {
				t.Fatal(err)
			}
		}
		if err := tri.Flood(slitEdges); err != nil {
			t.Fatal(err)
		}
		if _, err := tri.Constrain(s[0], s[1]); err != nil {
			t.Fatal(err)
		}
		if got := insideArea(tri); got != 128 {
			t.Errorf("twice the area is %d after %v", got, s)
		}
	}
}

func TestFloodSlit(t *testing.T) {
	tri := mustBuild(t, slit)
	for _, e := range slitEdges {
		if _, err := tri.Constrain(e[0], e[1]); err != nil {
			t.Fatal(err)
		}
	}
	edges := slices.Clone(slitEdges)
	if err := tri.Flood(edges); err != nil {
		t.Fatal(err)
	}
	if got := insideArea(tri); got != 128 {
		t.Errorf("twice the area is %d", got)
	}
	// A fixed edge that is not listed divides nothing.
	if err := tri.Flood(edges[:4]); err != nil || insideArea(tri) != 128 {
		t.Errorf("%d, %v", insideArea(tri), err)
	}
	// One way only it would have the outside on its right.
	err := tri.Flood(edges[:5])
	var leak *LeakError
	if !errors.As(err, &leak) || leak.Out[0] == Ghost {
		t.Errorf("a slit with one side: %v", err)
	}
	err = tri.Flood(edges[:3])
	if err == nil || err.Error() != "region: inside by the edge 0-1, outside by the edge 1-0" {
		t.Errorf("an open border: %v", err)
	}
	err = tri.Flood([][2]int32{{1, 0}, {0, 3}, {3, 2}, {2, 1}})
	if err == nil || err.Error() != "region: inside by the edge 0-3, but open to the outside of the hull" {
		t.Errorf("a border turned inside out: %v", err)
	}
	err = tri.Flood([][2]int32{{0, 2}})
	if err == nil || err.Error() != "edge 0-2: not fixed at vertex 0" {
		t.Errorf("an edge that is none: %v", err)
	}
}
