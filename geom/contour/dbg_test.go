package contour

import (
	"context"
	"fmt"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/sdf"
)

func TestDbgLevels(t *testing.T) {
	c, _ := sdf.Compile(contourtest.B1())
	m, _ := newMesher(c, Options{})
	show := func(what string) {
		var cells, blocks, faults [20]int
		for _, b := range m.blocks {
			cells[b.level] += len(b.cells)
			blocks[b.level]++
			faults[b.level] += len(b.faults)
		}
		fmt.Println(what)
		for l := range cells {
			if blocks[l] > 0 {
				fmt.Printf("  level %d h %.4f blocks %d cells %d faults %d\n", l, m.cell(uint8(l)), blocks[l], cells[l], faults[l])
			}
		}
	}
	m.build(context.Background())
	show("built")
	hist := map[string]int{}
	for _, b := range m.blocks {
		for _, f := range b.faults {
			hist[fmt.Sprint(f.tags)]++
		}
	}
	fmt.Println(hist)
}

func TestDbgOver(t *testing.T) {
	c, _ := sdf.Compile(contourtest.B1())
	m, class, _, _ := raw(context.Background(), c, Options{})
	n := 0
	for i, tr := range m.T {
		p := m.V[tr[0]].Add(m.V[tr[1]]).Add(m.V[tr[2]]).Mul(1.0 / 3)
		d := c.Dist(p)
		if d < 0.005 && d > -0.005 {
			continue
		}
		n++
		if n%4 == 0 {
			q, _, tag := c.Nearest(p)
			a, b, e := m.V[tr[0]], m.V[tr[1]], m.V[tr[2]]
			fmt.Printf("%.4f tag %d near %d at %.4v proj %.4f edges %.4f %.4f %.4f class %d %d %d  vd %.5f %.5f %.5f\n", d, m.Tag[i], tag, p, q.Sub(p).Len(), a.Sub(b).Len(), b.Sub(e).Len(), e.Sub(a).Len(), class[tr[0]], class[tr[1]], class[tr[2]], c.Dist(a), c.Dist(b), c.Dist(e))
		}
	}
}
