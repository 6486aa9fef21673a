package typeface_test

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"math"
	"strings"
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

// The font that is left without its day has the check sums that the OpenType
// specification asks for: the whole sums up to 0xB1B0AFBA.
func TestUndate(t *testing.T) {
	font := bytes.Clone(goregular.TTF)
	if !typeface.Undate(font) {
		t.Fatal("a font is not taken for one")
	}
	for len(font)%4 != 0 {
		font = append(font, 0)
	}
	if got := checkSum(font); got != 0xB1B0AFBA {
		t.Errorf("the font sums up to %#x", got)
	}
	n := int(binary.BigEndian.Uint16(font[4:]))
	for i := range n {
		r := font[12+16*i:]
		at, size := binary.BigEndian.Uint32(r[8:]), binary.BigEndian.Uint32(r[12:])
		table := font[at : at+(size+3)&^3]
		if string(r[:4]) == "head" {
			table = bytes.Clone(table)
			clear(table[8:12])
		}
		if got := checkSum(table); got != binary.BigEndian.Uint32(r[4:]) {
			t.Errorf("table %s sums up to %#x, and says %#x", r[:4], got, binary.BigEndian.Uint32(r[4:]))
		}
	}
	if typeface.Undate([]byte("no font at all")) || typeface.Undate(nil) {
		t.Error("anything is taken for a font")
	}
}

func checkSum(b []byte) uint32 {
	sum := uint32(0)
	for ; len(b) >= 4; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	return sum
}

// What a page is given is a font with the letters asked for, as another reader
// sees them, and no others.
func TestCSS(t *testing.T) {
	css, err := typeface.New().CSS("Gold 0.45")
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Split(css, "base64,")
	if len(parts) != 4 {
		t.Fatalf("%d fonts", len(parts)-1)
	}
	for _, p := range parts[1:] {
		data, _, _ := strings.Cut(p, ")")
		ttf, err := base64.StdEncoding.DecodeString(data)
		if err != nil {
			t.Fatal(err)
		}
		f, err := opentype.Parse(ttf)
		if err != nil {
			t.Fatal(err)
		}
		for r, want := range map[rune]bool{'G': true, '5': true, 'x': false} {
			g, err := f.GlyphIndex(nil, r)
			if err != nil || (g != 0) != want {
				t.Errorf("%q has glyph %d, %v", r, g, err)
			}
		}
	}
}

// What the Go fonts say of themselves: Latin, Greek and Cyrillic, no han.
func TestLacks(t *testing.T) {
	f := typeface.New()
	if l := f.Lacks("Żółw Łódź ő ß Ω Ж × Ø ± ° – „“ ³ ² µ"); len(l) != 0 {
		t.Errorf("the fonts lack %q", l)
	}
	if l := f.Lacks("a 漢\t漢 ☘ b"); string(l) != "漢☘" {
		t.Errorf("the fonts lack %q, want 漢 and ☘", l)
	}
}
