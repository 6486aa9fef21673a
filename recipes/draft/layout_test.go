package draft

import (
	"context"
	"fmt"
	"testing"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// tidy says what overlaps in a drawing: texts with texts, texts with lines, and
// anything with the edge of the paper.
func tidy(d *Drawing) (faults []string) {
	paper := vec.Box2{Max: vec.P2{X: d.W + 1e-9, Y: d.H + 1e-9}}
	for i, t := range d.texts {
		if t.Min.X < -1e-9 || t.Min.Y < -1e-9 || t.Max.X > paper.Max.X || t.Max.Y > paper.Max.Y {
			faults = append(faults, fmt.Sprintf("text %d reaches over the edge: %v", i, t))
		}
		for j := range i {
			if overlap(t, d.texts[j]) {
				faults = append(faults, fmt.Sprintf("texts %d and %d overlap at %v", j, i, t.Min))
			}
		}
		for _, l := range d.lines {
			if l.meets(t) {
				faults = append(faults, fmt.Sprintf("a line from %v to %v runs through text %d at %v", l.a, l.b, i, t))
			}
		}
	}
	return faults
}

// Drawings of all examples are tidy, at whatever size.
func TestTidy(t *testing.T) {
	for name, m := range examples() {
		for _, o := range []Options{{}, {Width: 270, Height: 180}, {Width: 120, Height: 160}, {Width: 90, Height: 90}} {
			for what, draw := range map[string]func(context.Context) (*Drawing, error){
				"views": func(c context.Context) (*Drawing, error) { return Views(c, m, o) },
				"map":   func(c context.Context) (*Drawing, error) { return StoneMap(c, m, o) },
			} {
				d, err := draw(context.Background())
				if err != nil {
					t.Errorf("%s, %s, %v: %v", name, what, o, err)
					continue
				}
				for _, f := range tidy(d) {
					t.Errorf("%s, %s, %v: %s", name, what, o, f)
				}
				w, h, _ := o.room()
				if d.W > w || d.H > h {
					t.Errorf("%s, %s: %g x %g mm in a room of %g x %g", name, what, d.W, d.H, w, h)
				}
			}
		}
	}
}

// The name of a view is not read in one with the letter of its section: they
// stand apart by the height of a letter or more, side by side.
func TestNameAsideOfSection(t *testing.T) {
	for name, m := range examples() {
		for _, o := range []Options{{}, {Width: 120, Height: 160}, {Width: 174, Height: 60}} {
			d, err := Views(context.Background(), m, o)
			if err != nil {
				t.Fatal(err)
			}
			var front vec.Box2
			var letters []vec.Box2
			for _, k := range d.marks {
				switch l, _ := k.(label); l.text {
				case "front":
					front = l.box()
				case "A":
					letters = append(letters, l.box())
				}
			}
			if len(letters) != 2 || front == (vec.Box2{}) {
				t.Fatalf("%s, %v: %d letters, the name at %v", name, o, len(letters), front)
			}
			for _, a := range letters {
				if a.Min.X-front.Max.X < large {
					t.Errorf("%s, %v: the name ends at %.1f mm, the letter begins at %.1f", name, o, front.Max.X, a.Min.X)
				}
			}
		}
	}
}

// rings is a round plate with two rings of stones.
const rings = `piece "rings" {}
stones "outer" {
  layout = "ring"
  gem    = "ruby"
  size   = 1.5
  count  = %d
  gap    = 0.5
}
stones "inner" {
  layout = "ring"
  gem    = "peridot"
  size   = 1
  count  = 5
  radius = 2
}
plate "p" {
  form   = "circle"
  across = 44
}
`

// A map shows every number of every group, and is tidy, for few stones and
// many, on paper wide and narrow.
func TestStoneMapNumbers(t *testing.T) {
	for _, n := range []int{12, 60} {
		m := modelOf(t, fmt.Sprintf(rings, n))
		c := &m.Piece.Castings[0]
		for _, g := range lang.All[*piece.Stones](m.Piece.Recipe) { // without the metal that would hold them
			gem, _ := stock.GemNamed(g.Gem)
			for i, at := range g.Places() {
				c.Stones = append(c.Stones, piece.Stone{Group: g.Address, N: i + 1, Cut: g.Stone(), Gem: gem, Place: at})
			}
		}
		for _, o := range []Options{{Width: 80}, {Width: 120, Height: 150}} {
			d, err := StoneMap(context.Background(), m, o)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range tidy(d) {
				t.Errorf("%d stones, %v: %s", n, o, f)
			}
			_, texts, _ := readSVG(t, svgOf(t, d))
			count := map[string]int{}
			for _, s := range texts {
				count[s]++
			}
			for i := 1; i <= n; i++ {
				want := 1
				if i <= 5 {
					want = 2
				}
				if got := count[fmt.Sprint(i)]; got != want {
					t.Errorf("%d stones, %v: the number %d stands %d times, want %d", n, o, i, got, want)
				}
			}
			if *eye != "" {
				show(t, fmt.Sprintf("rings-%d-%.0f", n, o.Width), d)
			}
		}
	}
	if _, err := StoneMap(context.Background(), modelOf(t, "piece \"bare\" {}\nplate \"p\" {\n form = \"circle\"\n across = 5\n}\n"), Options{}); err == nil {
		t.Error("a piece without stones has a map")
	}
}
