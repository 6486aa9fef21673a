package proof

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
)

// coarse is the tolerance of models in these tests: what they look for is far
// larger.
const coarse = 0.02

func prove(t *testing.T, src, name string, o Options) *Report {
	t.Helper()
	return proveAt(t, coarse, src, name, o)
}

// proveAt is prove with a mesh of the tolerance.
func proveAt(t *testing.T, tol float64, src, name string, o Options) *Report {
	t.Helper()
	p, diags := piece.Read([]byte(src), name, nil)
	if p == nil {
		t.Fatal(diags)
	}
	m, err := build.Make(context.Background(), p, build.Options{Tol: tol})
	if err != nil {
		t.Fatal(err)
	}
	r, err := Prove(context.Background(), m, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

var (
	expect = regexp.MustCompile(`expect: (fail|caution|note) ([a-z ]+)`)
	with   = regexp.MustCompile(`with: ([a-z, ]+)`) // what cannot but come along
	twin   = regexp.MustCompile(`^(\s*\w+\s*= )(.*?)(\s*#.*)twin: (.*)$`)
)

// Each faulty recipe raises the remark meant for it, with its grade and on its
// line, and no other fail or caution than it names; its twin, in which one literal is mended,
// raises none of that kind.
func TestFaulty(t *testing.T) {
	files, err := filepath.Glob("../../testdata/faulty/*.hcl")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d faulty recipes, %v", len(files), err)
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".hcl"), func(t *testing.T) {
			t.Parallel()
			src, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			lines := strings.Split(string(src), "\n")
			grade, check, also, at, mended := "", "", "", 0, false
			for i, l := range lines {
				if m := expect.FindStringSubmatch(l); m != nil {
					grade, check, at = m[1], strings.TrimSpace(m[2]), i+1
				}
				if m := with.FindStringSubmatch(l); m != nil {
					also = m[1]
				}
				if m := twin.FindStringSubmatch(l); m != nil {
					lines[i], mended = m[1]+m[4], true
				}
			}
			if at == 0 || !mended {
				t.Fatal("the recipe does not say what it expects, or what mends it")
			}
			found := false
			var group []Group // of the check: all that the twin is asked
			for _, r := range prove(t, string(src), f, Options{}).Remarks {
				if r.Check == check && r.Grade.String() == grade && r.Span.Line == at {
					found, group = true, []Group{r.Group}
					continue
				}
				unresolved := r.Group == Mesh && r.Grade == Caution // the mesh is coarse here
				if r.Grade <= Caution && !unresolved && !strings.Contains(also, r.Check) {
					t.Errorf("also: %s %s, line %d: %s", r.Grade, r.Key(), r.Span.Line, r.Says)
				}
			}
			if !found {
				t.Errorf("no %s %s on line %d", grade, check, at)
			}
			for _, r := range prove(t, strings.Join(lines, "\n"), f, Options{Only: group}).Remarks {
				if r.Check == check {
					t.Errorf("the twin has it, too: %s %s, line %d: %s", r.Grade, r.Key(), r.Span.Line, r.Says)
				}
			}
		})
	}
}
