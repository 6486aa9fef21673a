package piece

import (
	"os"
	"path/filepath"
	"testing"
)

func TestKinds(t *testing.T) {
	if err := error(nil); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, file string) *Piece {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p, diags := Read(src, filepath.Base(file), nil)
	if p == nil {
		for _, d := range diags {
			t.Errorf("%s\n\t%s\n\t%s", d, d.Line, d.Detail)
		}
		t.FailNow()
	}
	return p
}

func TestExamples(t *testing.T) {
	files, err := filepath.Glob("../../examples/*/*.hcl")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, f := range append(files, "testdata/window.hcl") {
		t.Run(filepath.Base(f), func(t *testing.T) {
			p := read(t, f)
			for _, c := range p.Castings {
				t.Log(c.Name, c.Metal.Bounds(), len(c.Stones), c.Hang.O)
			}
		})
	}
}
