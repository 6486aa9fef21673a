package build

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waxwright/geom/cost"
	"waxwright/recipes/piece"
)

// The time from a recipe's piece to judged meshes, at the default tolerance.
func BenchmarkMake(b *testing.B) {
	recipes, err := filepath.Glob("../../examples/*/*.hcl")
	if err != nil || len(recipes) == 0 {
		b.Fatalf("%d examples: %v", len(recipes), err)
	}
	for _, file := range recipes {
		b.Run(strings.TrimSuffix(filepath.Base(file), ".hcl"), func(b *testing.B) {
			src, err := os.ReadFile(file)
			if err != nil {
				b.Fatal(err)
			}
			p, diags := piece.Read(src, file, nil)
			if diags.Faulty() {
				b.Fatal(diags)
			}
			start := cost.Start()
			triangles := 0
			for b.Loop() {
				m, err := Make(context.Background(), p, Options{})
				if err != nil {
					b.Fatal(err)
				}
				triangles = 0
				for _, c := range m.Castings {
					triangles += len(c.Mesh.T)
				}
			}
			start.Report(b)
			b.ReportMetric(float64(triangles), "triangles")
		})
	}
}
