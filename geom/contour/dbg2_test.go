package contour

import (
	"context"
	"fmt"
	"testing"
	"time"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/manifold"
	"waxwright/geom/sdf"
)

func TestDbgJudge(t *testing.T) {
	c, _ := sdf.Compile(contourtest.B1())
	for _, o := range []Options{{Cell: 0.1}, {}} {
		m, _, _, _ := raw(context.Background(), c, o)
		s := time.Now()
		r := manifold.Judge(m)
		fmt.Println(time.Since(s), len(m.T), r.Count, len(r.Bodies), r.Genus())
		for _, b := range r.Bodies[1:] {
			fmt.Println("body", b.Volume, b.Genus, b.Box, b.Tags)
		}
		n := map[string]int{}
		for _, d := range r.Defects {
			if d.Kind == manifold.Crossing || d.Kind == manifold.Degenerate {
				n[fmt.Sprint(d.Kind, d.Tags)]++
				if n[fmt.Sprint(d.Kind, d.Tags)] == 1 {
					fmt.Println(d.Kind, d.At, d.Tags, d.Size)
				}
			}
		}
		fmt.Println(n)
	}
}
