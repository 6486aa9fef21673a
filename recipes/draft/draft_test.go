package draft

import (
	"bytes"
	"context"
	"flag"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"
	"github.com/tdewolff/canvas/renderers/svg"

	"waxwright/geom/picture"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/recipes/typeface"
)

var eye = flag.String("look", "", "write drawings for people to look at into this `folder`")

// tol is coarse, so that the tests are quick: lines are true to the mesh.
const tol = 0.01

// modelOf models a recipe roughly: its stones are what is looked at.
func modelOf(t testing.TB, src string) *build.Model {
	t.Helper()
	p, diags := piece.ReadFor([]byte(src), "test.hcl", piece.Options{For: piece.Finished})
	if diags.Faulty() {
		t.Fatal(diags)
	}
	m, err := build.Make(context.Background(), p, build.Options{Tol: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// examples and castings are the models of all examples, finished and for
// casting, made once.
var (
	examples = sync.OnceValue(func() map[string]*build.Model { return made(piece.Finished) })
	castings = sync.OnceValue(func() map[string]*build.Model { return made(piece.ForCasting) })
)

func made(state piece.For) map[string]*build.Model {
	files, _ := filepath.Glob("../../examples/*/*.hcl")
	all := map[string]*build.Model{}
	for _, f := range files {
		src, err := os.ReadFile(f)
		if err != nil {
			panic(err)
		}
		p, diags := piece.ReadFor(src, f, piece.Options{For: state})
		if diags.Faulty() {
			panic(diags)
		}
		m, err := build.Make(context.Background(), p, build.Options{Tol: tol})
		if err != nil {
			panic(err)
		}
		all[strings.TrimSuffix(filepath.Base(f), ".hcl")] = m
	}
	return all
}

// svgOf draws a drawing as SVG.
func svgOf(t testing.TB, d *Drawing) []byte {
	t.Helper()
	c := canvas.New(d.W, d.H)
	d.Draw(canvas.NewContext(c), typeface.New(), 0, 0, 1)
	var b bytes.Buffer
	r := svg.New(&b, d.W, d.H, &svg.Options{SizeUnits: "mm", ImageEncoding: canvas.Lossless})
	c.RenderTo(r)
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// show writes a drawing for the eye, as it comes out of every format.
func show(t *testing.T, name string, d *Drawing) {
	t.Helper()
	const rim = 5
	c := canvas.New(d.W+2*rim, d.H+2*rim)
	x := canvas.NewContext(c)
	x.SetFillColor(color.White)
	x.DrawPath(0, 0, canvas.Rectangle(c.W, c.H))
	d.Draw(x, typeface.New(), rim, rim, 1)
	img := rasterizer.Draw(c, canvas.DPMM(8), canvas.DefaultColorSpace)
	f, err := os.Create(filepath.Join(*eye, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := picture.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// Drawings to judge by eye: go test -run Look -look FOLDER.
func TestLook(t *testing.T) {
	if *eye == "" {
		t.Skip("for the eye: go test -run Look -look FOLDER")
	}
	for name, m := range examples() {
		d, err := Views(context.Background(), m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		show(t, name+"-views", d)
		if d, err = StoneMap(context.Background(), m, Options{Width: 90}); err != nil {
			t.Fatal(err)
		}
		show(t, name+"-map", d)
		if d, err = KeepFree(context.Background(), castings()[name], Options{}); err != nil {
			t.Fatal(err)
		}
		show(t, name+"-keep", d)
	}
}

func BenchmarkViews(b *testing.B) {
	m := examples()["marigold"]
	for b.Loop() {
		if _, err := Views(context.Background(), m, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
