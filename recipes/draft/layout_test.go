package draft

import (
	"context"
	"fmt"
	"testing"

	"waxwright/geom/vec"
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
