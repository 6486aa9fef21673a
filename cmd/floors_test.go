// Package cmd_test holds the house in shape: imports go down only.
package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// floors lists every package from the ground up. A package may import those
// before it and nothing after it. A new package gets its place here.
var floors = []string{
	// geom knows nothing of the trade
	"geom/cost", "geom/crew", "geom/vec", "geom/outline", "geom/mesh/exact", "geom/mesh", "geom/mesh/meshtest", "geom/delaunay",
	"geom/sdf", "geom/sdf/sdftest", "geom/contour/contourtest", "geom/contour", "geom/manifold", "geom/mend", "geom/patch", "geom/wall",
	"geom/stl", "geom/threemf", "geom/picture", "geom/drawing",
	// solids knows stones and metal, and no recipe
	"solids/stock", "solids/stone", "solids/layout",
	"solids/plate", "solids/setting", "solids/gallery", "solids/finding",
	// recipes is the language and all that a recipe leads to
	"recipes/lang", "recipes/piece", "recipes/build", "recipes/proof", "recipes/typeface", "recipes/draft", "recipes/papers", "recipes/vary",
	// cmd is the command
	"cmd", "cmd/internal/bench", "cmd/internal/cli", "cmd/waxwright",
}

// homes says where a library is at home: nobody else imports it. What ends in
// a slash is a whole floor.
var homes = map[string]string{
	"github.com/hashicorp/hcl":   "recipes/lang",
	"github.com/zclconf/go-cty":  "recipes/lang",
	"github.com/hschendel/stl":   "geom/stl",
	"github.com/hpinc/go3mf":     "geom/threemf",
	"github.com/urfave/cli":      "cmd/",
	"github.com/schollz":         "cmd/",
	"github.com/fsnotify":        "cmd/",
	"golang.org/x/term":          "cmd/",
	"github.com/tdewolff/canvas": "recipes/",
	"net/http":                   "cmd/",
	"os/exec":                    "cmd/",
}

// source is one Go file.
type source struct {
	dir, name string
	test      bool
	file      *ast.File
}

// sources parses the imports of every Go file on the four floors.
func sources(t *testing.T) []source {
	t.Helper()
	var all []source
	for _, top := range []string{"geom", "solids", "recipes", "cmd"} {
		root := filepath.Join("..", top)
		err := filepath.WalkDir(root, func(name string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || filepath.Ext(name) != ".go" {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly|parser.ParseComments)
			if err != nil {
				return err
			}
			rel, _ := filepath.Rel("..", name)
			rel = filepath.ToSlash(rel)
			all = append(all, source{path.Dir(rel), rel, strings.HasSuffix(rel, "_test.go"), f})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(all) < 50 {
		t.Fatalf("only %d Go files were found", len(all))
	}
	return all
}

func TestFloors(t *testing.T) {
	for _, s := range sources(t) {
		here := slices.Index(floors, s.dir)
		if here < 0 {
			t.Errorf("%s: package %s has no place in the floors", s.name, s.dir)
			continue
		}
		for _, spec := range s.file.Imports {
			imported, _ := strconv.Unquote(spec.Path.Value)
			own, inside := strings.CutPrefix(imported, "waxwright/")
			if !inside {
				if home := homeOf(imported); !s.test && !strings.HasSuffix(s.dir, "test") && home != "" && s.dir != home && (!strings.HasSuffix(home, "/") || !strings.HasPrefix(s.dir+"/", home)) {
					t.Errorf("%s imports %s, which is at home in %s", s.name, imported, home)
				}
				continue
			}
			there := slices.Index(floors, own)
			if s.test && top(own) == top(s.dir) {
				continue // tests may look about on their own floor
			}
			if there >= here && own != s.dir {
				t.Errorf("%s imports %s, which stands above it", s.name, own)
			}
		}
	}
}

// homeOf returns where a library is at home, "" if anybody may import it.
func homeOf(imported string) string {
	for lib, home := range homes {
		if imported == lib || strings.HasPrefix(imported, lib+"/") {
			return home
		}
	}
	return ""
}

func top(dir string) string {
	t, _, _ := strings.Cut(dir, "/")
	return t
}

// TestPackagesSayWhatTheyAre wants one attached comment a package, and names
// that say something.
func TestPackagesSayWhatTheyAre(t *testing.T) {
	said := map[string]string{}
	for _, s := range sources(t) {
		if s.test {
			continue
		}
		if _, ok := said[s.dir]; !ok {
			said[s.dir] = ""
		}
		if slices.Contains([]string{"util", "utils", "common", "helpers", "types", "misc"}, s.file.Name.Name) {
			t.Errorf("%s: a package named %s says nothing", s.name, s.file.Name.Name)
		}
		if s.file.Doc == nil {
			continue
		}
		want := "Package " + s.file.Name.Name + " "
		if s.file.Name.Name == "main" {
			want = "Command " + path.Base(s.dir) + " "
		}
		if text := s.file.Doc.Text(); !strings.HasPrefix(text, want) {
			t.Errorf("%s: the comment of the package starts %q, not %q", s.name, text[:min(len(text), 30)], want)
		}
		if said[s.dir] != "" {
			t.Errorf("%s and %s both describe their package", said[s.dir], s.name)
		}
		said[s.dir] = s.name
	}
	for dir, by := range said {
		if by == "" {
			t.Errorf("package %s has no comment that says what it is", dir)
		}
	}
}
