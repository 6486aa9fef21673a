package proof

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// BenchmarkChecks times each check on each example, as the command makes it.
func BenchmarkChecks(b *testing.B) {
	house, _ := stock.HouseNamed("practised")
	files, err := filepath.Glob("../../examples/*/*.hcl")
	if err != nil {
		b.Fatal(err)
	}
	for _, f := range files {
		src, err := os.ReadFile(f)
		if err != nil {
			b.Fatal(err)
		}
		p, diags := piece.Read(src, f, nil)
		if p == nil {
			b.Fatal(diags)
		}
		m, err := build.Make(context.Background(), p, build.Options{})
		if err != nil {
			b.Fatal(err)
		}
		name := filepath.Base(filepath.Dir(f))
		for _, c := range checks {
			b.Run(name+"/"+c.name, func(b *testing.B) {
				for b.Loop() {
					t := &bench{ctx: context.Background(), model: m, piece: p, house: house}
					if err := c.run(t); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
