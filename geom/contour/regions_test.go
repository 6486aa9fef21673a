package contour

import (
	"context"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Members are numbered from 0 on, in their order.
func TestNumbering(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := rapid.SliceOfNDistinct(rapid.Uint32Range(0, 299), 3, 60, rapid.ID).Draw(t, "members")
		n := numbering{bits: make([]uint64, 5)}
		for i := range all {
			n.add([3]uint32{all[i], all[(i+1)%len(all)], all[(i+2)%len(all)]})
		}
		n.count()
		slices.Sort(all)
		if n.size() != len(all) {
			t.Fatalf("%d members, want %d", n.size(), len(all))
		}
		for i, v := range all {
			if !n.has(v) || n.number(v) != uint32(i) {
				t.Fatalf("member %d: in it %v, number %d, want %d", v, n.has(v), n.number(v), i)
			}
		}
	})
}

// What is left after the holes are filled are the things that are no holes.
func TestFill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "things")
		holes := rapid.SliceOfNDistinct(rapid.Uint32Range(0, uint32(n-1)), 0, n, rapid.ID).Draw(t, "holes")
		var things, want []int
		for i := range n {
			things = append(things, i)
			if !slices.Contains(holes, uint32(i)) {
				want = append(want, i)
			}
		}
		fill(holes, n, func(from, to uint32) { things[to] = things[from] })
		things = things[:len(want)]
		slices.Sort(things)
		if !slices.Equal(things, want) {
			t.Fatalf("left are %v, want %v", things, want)
		}
	})
}

// Bad triangles far apart are of different regions, those beside each other of
// one; and no vertex of one region has a triangle with one of another.
func TestRegions(t *testing.T) {
	const side = 40 // a sheet of squares cut in two
	out := &mesh.Mesh{}
	for i := range side * side {
		out.V = append(out.V, vec.P{X: float64(i % side), Y: float64(i / side)})
	}
	for y := range side - 1 {
		for x := range side - 1 {
			a := uint32(y*side + x)
			out.T = append(out.T, [3]uint32{a, a + 1, a + side}, [3]uint32{a + 1, a + side + 1, a + side})
		}
	}
	at := func(x, y int) uint32 { return uint32(2 * (y*(side-1) + x)) }
	m := &mesher{opt: Options{Workers: 2}}
	td := &tidier{m: m, out: out}
	bad := []uint32{at(5, 5), at(30, 30), at(6, 5), at(30, 8)}
	held := out.T[at(30, 8)][:]
	got := td.regions(context.Background(), bad, held)
	want := [][]uint32{{at(5, 5), at(6, 5)}, {at(30, 30)}}
	if !slices.EqualFunc(got, want, slices.Equal) {
		t.Fatalf("regions %v, want %v: all of the last one's corners are held", got, want)
	}
	for i, tr := range out.T {
		for _, v := range tr {
			if td.near.has(v) && !slices.Contains(td.around(v), uint32(i)) {
				t.Fatalf("vertex %d does not know its triangle %d", v, i)
			}
		}
	}
	for _, v := range held {
		if td.around(v) != nil {
			t.Errorf("vertex %d is held, and has triangles that may change", v)
		}
	}
}
