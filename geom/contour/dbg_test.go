package contour

import (
	"context"
	"fmt"
	"sort"
	"testing"

	"waxwright/geom/contour/contourtest"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

func TestDbgFaults(t *testing.T) {
	c, _ := sdf.Compile(contourtest.B1())
	m, _ := newMesher(c, Options{Cell: 0.1})
	if err := m.sweep(context.Background()); err != nil {
		t.Fatal(err)
	}
	m.probe(context.Background(), m.blocks)
	hist := map[string]int{}
	ex := map[string]vec.P{}
	for _, b := range m.blocks {
		for _, f := range b.faults {
			k := fmt.Sprintf("%s", f.why)
			hist[k]++
			ex[k] = f.at
		}
	}
	var ks []string
	for k := range hist {
		ks = append(ks, k)
	}
	sort.Strings(ks)
	for _, k := range ks {
		fmt.Println(hist[k], k, ex[k])
	}
}

func TestDbgLevels(t *testing.T) {
	c, _ := sdf.Compile(contourtest.B1())
	m, _ := newMesher(c, Options{})
	m.sweep(context.Background())
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
	show("swept")
	m.balance(context.Background())
	show("balanced")
	m.refine(context.Background())
	show("refined")
	hist := map[string]int{}
	ex := map[string]vec.P{}
	for _, b := range m.blocks {
		for _, f := range b.faults {
			k := fmt.Sprintf("%s", f.why)
			hist[k]++
			ex[k] = f.at
		}
	}
	var ks []string
	for k := range hist {
		ks = append(ks, k)
	}
	sort.Strings(ks)
	for _, k := range ks {
		fmt.Println(hist[k], k, ex[k])
	}
}
