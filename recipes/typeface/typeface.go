// Package typeface is the one home of the letters on papers and drawings: the Go
// fonts (Bigelow & Holmes, 2016; free licence), embedded in the program.
//
// Guaranteed: nothing is taken from the machine, so a sheet looks the same and
// has the same bytes everywhere. Not guaranteed: letters beyond Latin, Greek and
// Cyrillic; what a font lacks is drawn as an empty box, and told by Lacks.
//
// Font sizes are points (1/72 inch), widths and heights of text mm, as canvas
// has them.
package typeface

import (
	"fmt"
	"math"
	"slices"
	"unicode"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
)

// Faces are the fonts of one document. They are not to be used from two
// goroutines at once: each document gets its own by New.
type Faces struct {
	Text *canvas.FontFamily // regular, bold, italic, bold italic
	Mono *canvas.FontFamily // regular, bold: digests and file names
}

// New loads the fonts. It takes some milliseconds.
func New() Faces {
	f := Faces{Text: canvas.NewFontFamily("Go"), Mono: canvas.NewFontFamily("Go Mono")}
	for _, l := range []struct {
		to    *canvas.FontFamily
		ttf   []byte
		style canvas.FontStyle
	}{
		{f.Text, goregular.TTF, canvas.FontRegular},
		{f.Text, gobold.TTF, canvas.FontBold},
		{f.Text, goitalic.TTF, canvas.FontItalic},
		{f.Text, gobolditalic.TTF, canvas.FontBold | canvas.FontItalic},
		{f.Mono, gomono.TTF, canvas.FontRegular},
		{f.Mono, gomonobold.TTF, canvas.FontBold},
	} {
		if err := l.to.LoadFont(l.ttf, 0, l.style); err != nil {
			panic(fmt.Sprintf("typeface: a font that is part of the program can't be read: %v", err))
		}
	}
	return f
}

// Lacks returns the letters of a text that one of the fonts does not have, each
// once, in the order of the text. What does not print is not missed.
func (f Faces) Lacks(s string) []rune {
	var out []rune
	for _, r := range s {
		if !unicode.IsPrint(r) || slices.Contains(out, r) {
			continue
		}
		for _, family := range []*canvas.FontFamily{f.Text, f.Mono} {
			if family.Face(10, canvas.Black, canvas.FontRegular).Font.GlyphIndex(r) == 0 {
				out = append(out, r)
				break
			}
		}
	}
	return out
}

// Box is where a line of text is drawn: what its letters cover at most, mm.
// It is as wide as the text and reaches from the lowest to the highest letters
// of the font, whichever letters the text has.
type Box struct{ X0, Y0, X1, Y1 float64 }

// BoxAt returns the box of a line of text whose baseline starts at (x, y), y up.
func BoxAt(face *canvas.FontFace, s string, x, y float64) Box {
	m := face.Metrics()
	return Box{x, y - math.Abs(m.Descent), x + face.TextWidth(s), y + m.Ascent}
}

// Meets says whether two boxes share more than their borders.
func (b Box) Meets(c Box) bool {
	return b.X0 < c.X1 && c.X0 < b.X1 && b.Y0 < c.Y1 && c.Y0 < b.Y1
}
