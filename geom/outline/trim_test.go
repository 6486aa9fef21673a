package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
)

// A moved side lies where it should, and all else stays on its line or circle.
func TestTrimmed(t *testing.T) {
	o, err := New(Loop{
		{At: vec.P2{X: 0.5, Y: -1}}, {At: vec.P2{X: 2, Y: -1}}, {At: vec.P2{X: 2.5, Y: 1}, Bulge: 0.3}, {At: vec.P2{X: 1, Y: 2}},
		{At: vec.P2{X: 1, Y: 0}}, {At: vec.P2{X: 0.5, Y: 0}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range []Part{o.Whole(), o.WholeMeridian()} {
		old := part.Spans()
		rapid.Check(t, func(t *rapid.T) {
			by := make([]float64, len(old))
			for i := range by {
				if old[i].Line() {
					by[i] = rapid.Float64Range(-0.1, 0.1).Draw(t, "by")
				}
			}
			moved, ok := part.Trimmed(by)
			if !ok {
				t.Fatalf("not moved: %v", by)
			}
			for i, s := range moved.Spans() {
				for k := range 5 {
					if d, _ := old[i].full(s.Point(float64(k) / 4)); math.Abs(d-by[i]) > 1e-12 {
						t.Fatalf("span %d is off by %g", i, d-by[i])
					}
				}
			}
		})
	}
}

// What would change how spans follow each other is not moved.
func TestNotTrimmed(t *testing.T) {
	round, err := RoundedRect(2, 2, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	square, err := RoundedRect(2, 2, 0)
	if err != nil {
		t.Fatal(err)
	}
	whole := square.Whole()
	for name, part := range map[string]Part{"smooth": round.Whole(), "path": PathPart(square.Loops[0], true)} {
		by := make([]float64, len(part.Spans()))
		for i, s := range part.Spans() {
			if s.Line() {
				by[i] = 0.1
				break
			}
		}
		if _, ok := part.Trimmed(by); ok {
			t.Errorf("%s is moved", name)
		}
	}
	if _, ok := whole.Trimmed([]float64{-2.5, 0, 0, 0}); ok {
		t.Error("a square without sides")
	}
	if _, ok := whole.Trimmed([]float64{-1.5, 0, 0, 0}); !ok {
		t.Error("a square is not moved")
	}
}
