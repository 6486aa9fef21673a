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
