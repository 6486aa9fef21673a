package delaunay

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// coord draws coordinates, of all sizes and often the same.
func coord(reach int32) *rapid.Generator[int32] {
	return rapid.OneOf(
		rapid.Int32Range(-reach, reach),
		rapid.Int32Range(-3, 3),
		rapid.SampledFrom([]int32{-reach, reach}),
	)
}

func drawPoint(t *rapid.T) Point {
	return Point{coord(Reach).Draw(t, "x"), coord(Reach).Draw(t, "y")}
}

func TestInCircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c, p := drawPoint(t), drawPoint(t), drawPoint(t), drawPoint(t)
		if got := inCircle(a, b, c, p); got != bigCircle(a, b, c, p) {
			t.Fatalf("inCircle(%v, %v, %v, %v) = %v", a, b, c, p, got)
		}
		// The widest circle there is, all four within a step of it.
		near := func(x, y int32) Point {
			d := rapid.Int32Range(-1, 1)
			return Point{x - x/Reach + d.Draw(t, "dx"), y - y/Reach + d.Draw(t, "dy")}
		}
		a, b, c, p = near(-Reach, -Reach), near(Reach, -Reach), near(Reach, Reach), near(-Reach, Reach)
		if got := inCircle(a, b, c, p); got != bigCircle(a, b, c, p) {
			t.Fatalf("inCircle(%v, %v, %v, %v) = %v", a, b, c, p, got)
		}
	})
	if inCircle(Point{1, 0}, Point{0, 1}, Point{-1, 0}, Point{0, -1}) {
		t.Error("a point on the circle is inside")
	}
}

func TestBuildRandom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		reach := rapid.SampledFrom([]int32{2, 10, 1000, Reach}).Draw(t, "reach")
		points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Point {
			return Point{coord(reach).Draw(t, "x"), coord(reach).Draw(t, "y")}
		}), 0, 120).Draw(t, "points")
		tri, err := New(points)
		if errors.Is(err, ErrFlat) {
			if len(tri.Triangles) != 0 {
				t.Fatalf("flat, with %d triangles", len(tri.Triangles))
			}
			if area, _ := hullOf(points); area != 0 {
				t.Fatalf("flat, with area %d", area)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		check(t, tri, nil)
		for i := range points {
			if v := tri.Vertex(int32(i)); points[v] != points[i] {
				t.Fatalf("vertex of point %d is %d", i, v)
			}
		}
	})
}

func hullOf(points []Point) (int64, int) {
	if len(points) == 0 {
		return 0, 0
	}
	return hull(points)
}

// shapes are sets of points that are known to be hard.
func shapes() map[string][]Point {
	all := map[string][]Point{}
	add := func(name string, p Point) { all[name] = append(all[name], p) }
	for i := range int32(4000) {
		x := i - 2000
		add("parabola", Point{x, x * x / 4})
		add("line and a point", Point{x * 1000, 0})
		add("two rows", Point{i / 2 * 100, i % 2})
		add("wide rows", Point{i / 2, i % 2 * Reach})
		a := float64(i) * math.Pi / 2000
		r := float64(Reach - 1)
		add("circle and its middle", Point{int32(math.Round(r * math.Cos(a))), int32(math.Round(r * math.Sin(a)))})
		add("grid", Point{i % 63 * 1000, i / 63 * 1000})
		add("sheared grid", Point{i%63*1000 + i/63*437, i / 63 * 1000})
		add("spiral", Point{int32(float64(i) * 9e4 * math.Cos(a*40)), int32(float64(i) * 9e4 * math.Sin(a*40))})
		add("rings", Point{int32(math.Round(float64(i%4+1) * 1e8 * math.Cos(a))), int32(math.Round(float64(i%4+1) * 1e8 * math.Sin(a)))})
	}
	add("line and a point", Point{17, 999})
	add("circle and its middle", Point{})
	// All whole points on the circle of radius 5 * 13 * 17 * 29, 108 of them.
	const r = 5 * 13 * 17 * 29
	for x := int32(-r); x <= r; x++ {
		y := int32(math.Round(math.Sqrt(float64(r*r) - float64(x)*float64(x))))
		if int64(x)*int64(x)+int64(y)*int64(y) == r*r {
			add("on one circle", Point{x, y})
			if y != 0 {
				add("on one circle", Point{x, -y})
			}
		}
	}
	return all
}

func TestBuildShapes(t *testing.T) {
	for name, points := range shapes() {
		t.Run(name, func(t *testing.T) {
			check(t, mustBuild(t, points), nil)
		})
	}
	if n := len(shapes()["on one circle"]); n != 4*81 {
		t.Errorf("%d points on the circle", n) // 4 * 3 * 3 * 3 * 3, Jacobi's two-square theorem
	}
}

func TestBuildErrors(t *testing.T) {
	var tri Triangulation
	for _, points := range [][]Point{nil, {{1, 2}}, {{1, 2}, {3, 4}}, {{0, 0}, {1, 1}, {2, 2}, {1, 1}}, {{7, 7}, {7, 7}, {7, 7}}} {
		if err := tri.Build(points); !errors.Is(err, ErrFlat) || len(tri.Triangles)+len(tri.Points) != 0 {
			t.Errorf("%v: %v", points, err)
		}
	}
	err := tri.Build([]Point{{0, 0}, {1, 0}, {0, Reach + 1}})
	if err == nil || err.Error() != "point 2: (0, 536870913) is out of reach, which is 536870912" {
		t.Errorf("out of reach: %v", err)
	}
	if _, err := tri.Insert(Point{}, 0); !errors.Is(err, ErrFlat) {
		t.Errorf("insert into nothing: %v", err)
	}
}

// The result is the same however the memory was used before.
func TestBuildAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var again Triangulation
	for range 20 {
		points := cloud(rng, 3+rng.IntN(300))
		if err := again.Build(points); err != nil {
			t.Fatal(err)
		}
		fresh := mustBuild(t, points)
		if !slices.Equal(fresh.Triangles, again.Triangles) || !slices.Equal(fresh.Points, again.Points) {
			t.Fatal("another result in used memory")
		}
	}
}

// cloud returns n random points of a fixed sequence.
func cloud(rng *rand.Rand, n int) []Point {
	points := make([]Point, n)
	for i := range points {
		points[i] = Point{rng.Int32N(2*Reach) - Reach, rng.Int32N(2*Reach) - Reach}
	}
	return points
}

func TestInsert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		reach := rapid.SampledFrom([]int32{4, 30, Reach}).Draw(t, "reach")
		tri, err := New([]Point{{-reach, -reach}, {reach, -reach}, {reach, reach}, {-reach, reach}})
		if err != nil {
			t.Fatal(err)
		}
		fixed := [][2]int32{{0, 1}, {1, 2}, {2, 3}, {3, 0}, {0, 2}}
		for _, f := range fixed {
			if _, err := tri.Constrain(f[0], f[1]); err != nil {
				t.Fatal(err)
			}
		}
		if err := tri.Flood([][2]int32{{0, 1}, {1, 2}, {2, 0}}); err != nil {
			t.Fatal(err)
		}
		for range rapid.IntRange(1, 60).Draw(t, "n") {
			p := Point{coord(reach).Draw(t, "x"), coord(reach).Draw(t, "y")}
			near := rapid.IntRange(0, len(tri.Triangles)-1).Draw(t, "near")
			n := len(tri.Points)
			v, err := tri.Insert(p, int32(near))
			var on *FixedError
			if errors.As(err, &on) {
				if len(tri.Points) != n {
					t.Fatal("refused, but changed")
				}
				a, b := tri.Points[on.A], tri.Points[on.B]
				if orient(a, b, p) != 0 {
					t.Fatalf("%v is not on %v-%v", p, a, b)
				}
				check(t, tri, fixed)
				if v, err = tri.Cut(p, int32(near)); err == nil {
					k := slices.IndexFunc(fixed, func(f [2]int32) bool {
						return f == [2]int32{on.A, on.B} || f == [2]int32{on.B, on.A}
					})
					fixed[k] = [2]int32{on.A, v}
					fixed = append(fixed, [2]int32{v, on.B})
				}
			}
			if err != nil {
				t.Fatal(err)
			}
			if tri.Points[v] != p || int(v) > n {
				t.Fatalf("vertex %d of %d is %v, not %v", v, n, tri.Points[v], p)
			}
		}
		check(t, tri, fixed)
		// Right of the diagonal it is inside, handed on through all changes.
		for _, tr := range tri.Real() {
			low := int64(0)
			for _, v := range tr.V {
				low += int64(tri.Points[v].X) - int64(tri.Points[v].Y)
			}
			if tr.Inside != (low > 0) {
				t.Fatalf("triangle %v: inside is %v", tr.V, tr.Inside)
			}
		}
	})
	tri := mustBuild(t, []Point{{0, 0}, {4, 0}, {0, 4}})
	if _, err := tri.Insert(Point{3, 3}, 0); !errors.Is(err, ErrOutside) {
		t.Errorf("outside: %v", err)
	}
	if _, err := tri.Insert(Point{2, 2}, 0); err != nil {
		t.Errorf("on the hull: %v", err)
	}
	check(t, tri, nil)
}

// Edges flipped at random, with points added between, leave a triangulation; an
// edge flipped twice is what it was.
func TestFlip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		reach := rapid.SampledFrom([]int32{4, 30, Reach}).Draw(t, "reach")
		points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Point {
			return Point{coord(reach).Draw(t, "x"), coord(reach).Draw(t, "y")}
		}), 4, 40).Draw(t, "points")
		tri, err := New(points)
		if err != nil {
			return
		}
		var fixed [][2]int32
		if a, b := tri.Vertex(0), tri.Vertex(1); a != b {
			path, err := tri.Constrain(a, b)
			if err != nil {
				t.Fatal(err)
			}
			fixed = pieces(fixed, path)
		}
		for range rapid.IntRange(1, 40).Draw(t, "n") {
			if rapid.IntRange(0, 3).Draw(t, "insert") == 0 {
				var on *FixedError
				_, err := tri.Insert(Point{coord(reach).Draw(t, "x"), coord(reach).Draw(t, "y")}, 0)
				if err != nil && !errors.Is(err, ErrOutside) && !errors.As(err, &on) {
					t.Fatal(err)
				}
				continue
			}
			e := EdgeOf(int32(rapid.IntRange(0, len(tri.Triangles)-1).Draw(t, "triangle")), rapid.IntRange(0, 2).Draw(t, "slot"))
			a, b := tri.Ends(e)
			before := slices.Clone(tri.Triangles)
			d, ok := tri.Flip(e)
			if !ok {
				if !slices.Equal(before, tri.Triangles) {
					t.Fatal("not flipped, but changed")
				}
				continue
			}
			covers(t, tri, fixed)
			if d, ok = tri.Flip(d); !ok {
				t.Fatal("can't be flipped back")
			}
			if x, y := tri.Ends(d); [2]int32{min(a, b), max(a, b)} != [2]int32{min(x, y), max(x, y)} {
				t.Fatalf("%d-%d was flipped twice and is %d-%d", a, b, x, y)
			}
			tri.Flip(d)
		}
		covers(t, tri, fixed)
	})
}
