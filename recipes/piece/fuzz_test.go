package piece

import (
	"os"
	"path/filepath"
	"testing"
)

// FuzzRead: whatever the bytes, there is a piece with metal in bounds, or at
// least one fault, and never a panic.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("../../examples/*/*.hcl")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range append(files, "testdata/window.hcl") {
		src, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	f.Add([]byte(sound))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, diags := Read(src, "fuzz.hcl", nil)
		if (p == nil) != diags.Faulty() {
			t.Fatalf("piece %v, faults %v", p != nil, diags)
		}
		if p == nil {
			return
		}
		for _, c := range p.Castings {
			if b := c.Metal.Bounds(); !b.Finite() || b.IsEmpty() {
				t.Fatalf("%s has bounds %v", c.Name, b)
			}
		}
	})
}
