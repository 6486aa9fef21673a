package delaunay_test

import (
	"fmt"

	"waxwright/geom/delaunay"
)

// A plate with a hole: the border runs counter-clockwise and the hole
// clockwise, so that metal is on the left of both.
func Example() {
	points := []delaunay.Point{
		{X: 0, Y: 0}, {X: 90, Y: 0}, {X: 90, Y: 90}, {X: 0, Y: 90},
		{X: 30, Y: 30}, {X: 30, Y: 60}, {X: 60, Y: 60}, {X: 60, Y: 30},
	}
	edges := [][2]int32{{0, 1}, {1, 2}, {2, 3}, {3, 0}, {4, 5}, {5, 6}, {6, 7}, {7, 4}}
	t, err := delaunay.New(points)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range edges {
		if _, err := t.Constrain(e[0], e[1]); err != nil {
			fmt.Println(err)
			return
		}
	}
	if err := t.Flood(edges); err != nil {
		fmt.Println(err)
		return
	}
	n := 0
	for range t.Inside() {
		n++
	}
	fmt.Println(n, "triangles of metal")

	// A point more, where the metal is.
	v, err := t.Insert(delaunay.Point{X: 15, Y: 45}, 0)
	fmt.Println("vertex", v, err)
	// Output:
	// 8 triangles of metal
	// vertex 8 <nil>
}
