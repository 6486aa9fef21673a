package typeface_test

import (
	"math"
	"testing"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"

	"waxwright/recipes/typeface"
)

// The width of a line is the sum of the advances that another reader of the font
// finds.
func TestWidthAgainstOpentype(t *testing.T) {
	ttf, err := opentype.Parse(goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	const pt = 10.0
	face, err := opentype.NewFace(ttf, &opentype.FaceOptions{Size: pt, DPI: 7200})
	if err != nil {
		t.Fatal(err)
	}
	ours := typeface.New().Text.Face(pt, canvas.Black)
	for _, s := range []string{"0.45", "marigold pendant", "x1.020, do not scale again", "Ø 2.5 ± 0.05"} {
		want := 0.0
		for _, r := range s {
			a, ok := face.GlyphAdvance(r)
			if !ok {
				t.Fatalf("the font has no %q", r)
			}
			want += float64(a) / 64 / 7200 * 25.4
		}
		if got := ours.TextWidth(s); math.Abs(got-want) > 0.002*want {
			t.Errorf("%q is %.3f mm wide, want %.3f", s, got, want)
		}
	}
}

func TestBoxHoldsTheLetters(t *testing.T) {
	for _, f := range []*canvas.FontFace{
		typeface.New().Text.Face(9, canvas.Black),
		typeface.New().Text.Face(9, canvas.Black, canvas.FontBold),
		typeface.New().Mono.Face(9, canvas.Black),
	} {
		const s = "Åjgpq|Ø 0.45"
		box := typeface.BoxAt(f, s, 10, 20)
		r := canvas.NewTextLine(f, s, canvas.Left).OutlineBounds()
		if 10+r.X0 < box.X0-0.2 || 20+r.Y0 < box.Y0-1e-9 || 10+r.X1 > box.X1+0.2 || 20+r.Y1 > box.Y1+1e-9 {
			t.Errorf("letters at %v, box %v", r, box)
		}
	}
}

func TestMeets(t *testing.T) {
	a := typeface.Box{X0: 0, Y0: 0, X1: 2, Y1: 1}
	if !a.Meets(typeface.Box{X0: 1, Y0: 0.5, X1: 3, Y1: 3}) {
		t.Error("boxes that overlap do not meet")
	}
	if a.Meets(typeface.Box{X0: 2, Y0: 0, X1: 3, Y1: 1}) {
		t.Error("boxes that share a border meet")
	}
}
