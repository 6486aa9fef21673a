package delaunay

import (
	"cmp"
	"math/big"
	"slices"
	"testing"
)

// fataler is what *testing.T and *rapid.T have in common.
type fataler interface {
	Helper()
	Fatalf(format string, args ...any)
}

// hull returns twice the area of the convex hull of points and how many
// distinct ones lie on its border (A. M. Andrew's monotone chain, 1979).
func hull(points []Point) (area int64, border int) {
	ps := slices.Clone(points)
	slices.SortFunc(ps, func(a, b Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	ps = slices.Compact(ps)
	half := func(less func(int64) bool) []Point {
		var h []Point
		for _, p := range ps {
			for len(h) > 1 && less(orient(h[len(h)-2], h[len(h)-1], p)) {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		return h
	}
	low := half(func(s int64) bool { return s < 0 })
	high := half(func(s int64) bool { return s > 0 })
	o := ps[0]
	for i := range low[1:] {
		area += orient(o, low[i], low[i+1])
	}
	for i := range high[1:] {
		area -= orient(o, high[i], high[i+1])
	}
	return area, len(low) + len(high) - 2
}

// check asserts everything that the package guarantees of t. The points are
// those that t was made of.
func check(tb fataler, t *Triangulation, fixed [][2]int32) {
	tb.Helper()
	covers(tb, t, fixed)
	for id := range t.Triangles {
		tr := &t.Triangles[id]
		for i, e := range tr.N {
			to := &t.Triangles[e.Triangle()]
			if tr.Ghost() || to.Ghost() || tr.Fixed>>i&1 != 0 {
				continue
			}
			if q := to.V[e.Slot()]; inCircle(t.Points[tr.V[0]], t.Points[tr.V[1]], t.Points[tr.V[2]], t.Points[q]) {
				tb.Fatalf("edge opposite %d is not Delaunay: %v and %v", i, tr.V, to.V)
			}
		}
	}
}

// covers asserts what holds after Flip, too.
func covers(tb fataler, t *Triangulation, fixed [][2]int32) {
	tb.Helper()
	used := make([]bool, len(t.Points))
	real, area := 0, int64(0)
	edges := map[[2]int32]bool{} // with whether it is fixed
	for id := range t.Triangles {
		tr := &t.Triangles[id]
		if tr.Ghost() && tr.Inside {
			tb.Fatalf("ghost %d is inside", id)
		}
		for i, e := range tr.N {
			to := &t.Triangles[e.Triangle()]
			a, b := t.Ends(EdgeOf(int32(id), i))
			c, d := t.Ends(e)
			if to.N[e.Slot()] != EdgeOf(int32(id), i) || a != d || b != c || to.Fixed>>e.Slot()&1 != tr.Fixed>>i&1 {
				tb.Fatalf("edge %d-%d of %d: the neighbour has %d-%d", a, b, id, c, d)
			}
			if a >= 0 && b >= 0 {
				edges[[2]int32{a, b}] = tr.Fixed>>i&1 != 0
			}
		}
		if tr.Ghost() {
			continue
		}
		real++
		s := t.side(tr.V[0], tr.V[1], tr.V[2])
		if s <= 0 {
			tb.Fatalf("triangle %v has area %d", tr.V, s)
		}
		area += s
		for _, v := range tr.V {
			used[v] = true
		}
	}
	want, border := hull(t.Points)
	if area != want {
		tb.Fatalf("area %d, of the hull %d", area, want)
	}
	n := len(t.Points) - len(t.Twins)
	if real != 2*n-2-border || len(t.Triangles)-real != border {
		tb.Fatalf("%d triangles, %d ghosts of %d vertices, %d on the hull", real, len(t.Triangles)-real, n, border)
	}
	for _, w := range t.Twins {
		if w.Of >= w.Point || t.Points[w.Of] != t.Points[w.Point] || used[w.Point] {
			tb.Fatalf("%d is no twin of %d", w.Point, w.Of)
		}
		used[w.Point] = true
	}
	for v, ok := range used {
		if !ok {
			tb.Fatalf("vertex %d has no triangle", v)
		}
		if at := t.at[v+1]; at >= 0 && !slices.Contains(t.Triangles[at].V[:], int32(v)) {
			tb.Fatalf("vertex %d is not at %v", v, t.Triangles[at].V)
		}
	}
	for _, f := range fixed {
		if !edges[f] || !edges[[2]int32{f[1], f[0]}] {
			tb.Fatalf("segment %v is not fixed", f)
		}
	}
	count := 0
	for _, is := range edges {
		if is {
			count++
		}
	}
	distinct := map[[2]int32]bool{}
	for _, f := range fixed {
		distinct[[2]int32{min(f[0], f[1]), max(f[0], f[1])}] = true
	}
	if count != 2*len(distinct) {
		tb.Fatalf("%d sides of edges are fixed, not %d", count, 2*len(distinct))
	}
}

// pieces adds the edges of a path.
func pieces(to [][2]int32, path []int32) [][2]int32 {
	for i := range path[1:] {
		to = append(to, [2]int32{path[i], path[i+1]})
	}
	return to
}

// bigCircle is inCircle with numbers of any size.
func bigCircle(a, b, c, p Point) bool {
	sub := func(q Point) (x, y, s *big.Int) {
		x, y = big.NewInt(int64(q.X)-int64(p.X)), big.NewInt(int64(q.Y)-int64(p.Y))
		return x, y, new(big.Int).Add(new(big.Int).Mul(x, x), new(big.Int).Mul(y, y))
	}
	cross := func(ax, ay, bx, by *big.Int) *big.Int {
		return new(big.Int).Sub(new(big.Int).Mul(ax, by), new(big.Int).Mul(ay, bx))
	}
	ax, ay, as := sub(a)
	bx, by, bs := sub(b)
	cx, cy, cs := sub(c)
	sum := new(big.Int).Mul(as, cross(bx, by, cx, cy))
	sum.Add(sum, new(big.Int).Mul(bs, cross(cx, cy, ax, ay)))
	sum.Add(sum, new(big.Int).Mul(cs, cross(ax, ay, bx, by)))
	return sum.Sign() > 0
}

func mustBuild(tb testing.TB, points []Point) *Triangulation {
	tb.Helper()
	t, err := New(points)
	if err != nil {
		tb.Fatal(err)
	}
	return t
}
