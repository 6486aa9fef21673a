package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The drawing does not show the facets of a coarse model: it is the same at any
// tolerance.
func TestDrawingIsFine(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "ring.hcl")
	src := "piece \"ring\" {}\n\nlink \"ring\" {\n  hangs_from = plate.tag\n  wire = 0.9\n  bore = 3.2\n}\n\nplate \"tag\" {\n  form = \"circle\"\n  across = 9\n}\n"
	if err := os.WriteFile(file, []byte(src), 0o666); err != nil {
		t.Fatal(err)
	}
	drawing := func(tol string) string {
		out := filepath.Join(dir, tol)
		if code, _, talk := call(t, false, nil, "papers", file, "--only", "job", "--out", out, "--tolerance", tol); code != 0 {
			t.Fatal(talk)
		}
		html, err := os.ReadFile(filepath.Join(out, "ring-papers-job.html"))
		if err != nil {
			t.Fatal(err)
		}
		_, svg, _ := strings.Cut(string(html), "<svg")
		svg, _, ok := strings.Cut(svg, "</svg>")
		if !ok {
			t.Fatal("there is no drawing")
		}
		return svg
	}
	if drawing("0.005") != drawing("0.05") {
		t.Error("a coarser model has another drawing")
	}
}
