package papers

import (
	"context"
	"sync"
	"testing"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

// garden is a small piece with something for every sheet.
const garden = `piece "seed & <pod>" {
  alloy    = "silver-925"
  designer = "Hollow Lane studio"
  pair     = "mirrored"
  price {
    date      = "2026-11-01"
    currency  = "EUR"
    metal     = 2
    loss      = 10
    stones    = [3]
    setting   = 4
    casting   = 5
    finishing = 20
    mark_up   = 50
    tax       = 25
  }
}

dial "size" {
  value = 3
  range = [2, 4]
  note  = "stone across"
}

stones "dew" {
  layout = "one"
  gem    = "citrine"
  size   = dial.size
}

plate "pod" {
  form      = "circle"
  across    = 9
  thickness = 2.2
}

bezel "dew" {
  on    = plate.pod
  holds = stones.dew
}

link "top" {
  hangs_from = plate.pod
  at         = 90
  wire       = 0.9
  bore       = 3
}

post "ear" {
  on   = plate.pod
  wire = gauge(20)
  at   = 0
  out  = 2.5
}
`

// source models a recipe, coarsely.
func source(t testing.TB, src string) Source {
	t.Helper()
	model := func(state piece.For) *build.Model {
		p, diags := piece.ReadFor([]byte(src), "garden.hcl", piece.Options{For: state})
		if p == nil {
			t.Fatal(diags)
		}
		m, err := build.Make(context.Background(), p, build.Options{Tol: 0.1})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	s := Source{Cast: model(piece.ForCasting), Finished: model(piece.Finished), Name: "garden.hcl", Recipe: []byte(src)}
	var err error
	if s.Proof, err = proof.Prove(context.Background(), s.Cast, proof.Options{}); err != nil {
		t.Fatal(err)
	}
	return s
}

var gardenSource = sync.OnceValue(func() Source { return source(failing{}, garden) })

// failing is a test that panics where others fail.
type failing struct{ testing.TB }

func (failing) Helper()           {}
func (failing) Fatal(args ...any) { panic(args) }

var gardenPapers = sync.OnceValues(func() (*Papers, error) {
	return Gather(context.Background(), gardenSource(), Options{Date: "2026-11-25"})
})

var gardenArt = sync.OnceValues(func() (*Art, error) {
	return Draw(context.Background(), gardenSource(), Options{Pixels: 64})
})

// gathered are the papers of the garden, a copy for every test.
func gathered(t *testing.T) *Papers {
	t.Helper()
	p, err := gardenPapers()
	if err != nil {
		t.Fatal(err)
	}
	own := *p
	return &own
}

// files are those of the garden, with small pictures.
func files(t *testing.T, o Options) map[string][]byte {
	t.Helper()
	art, err := gardenArt()
	if err != nil {
		t.Fatal(err)
	}
	return rendered(t, gathered(t), art, o)
}

func rendered(t *testing.T, p *Papers, art *Art, o Options) map[string][]byte {
	t.Helper()
	all, err := Render(context.Background(), p, art, o)
	if err != nil {
		t.Fatal(err)
	}
	m := map[string][]byte{}
	for _, f := range all {
		m[f.Name] = f.Data
	}
	return m
}
