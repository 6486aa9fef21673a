package papers

import (
	"image/color"
	"strings"

	"github.com/tdewolff/canvas"

	"waxwright/recipes/typeface"
)

// The colours of sheets: black on white, and one accent, that of sealing wax.
var (
	black  = color.RGBA{R: 26, G: 23, B: 21, A: 255}
	quiet  = color.RGBA{R: 104, G: 97, B: 90, A: 255}
	hair   = color.RGBA{R: 205, G: 199, B: 191, A: 255}
	accent = color.RGBA{R: 146, G: 52, B: 38, A: 255}
)

// point is one point, 1/72 inch, in mm.
const point = inch / 72

// letter is a kind of letter: a face, and how far its lines stand apart.
type letter struct {
	face *canvas.FontFace
	lead float64 // from baseline to baseline, mm
	rise float64 // from the top of a line to its baseline, mm
	wide map[string]float64
}

// leading is the distance of lines as a share of the size of their letters.
const leading = 1.38

func newLetter(f *canvas.FontFamily, pt float64, ink color.RGBA, style canvas.FontStyle) *letter {
	lead := pt * point * leading
	face := f.Face(pt, ink, style)
	m := face.Metrics()
	return &letter{face: face, lead: lead, rise: (lead + m.Ascent - m.Descent) / 2, wide: map[string]float64{}}
}

// width returns the width of a line, mm.
func (l *letter) width(s string) float64 {
	w, ok := l.wide[s]
	if !ok {
		w = l.face.TextWidth(s)
		l.wide[s] = w
	}
	return w
}

// wrap breaks text into lines no wider than width; a word that is too long for
// any line is broken where it has to be.
func (l *letter) wrap(s string, width float64) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(s) {
		if line != "" && l.width(line+" "+w) <= width {
			line += " " + w
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for l.width(w) > width {
			head := l.fit(w, width)
			lines = append(lines, w[:head])
			w = w[head:]
		}
		line = w
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// fit returns how many bytes of a word fit into the width, at least one letter.
func (l *letter) fit(w string, width float64) int {
	last := 0
	for i := range w {
		if i > 0 {
			if l.face.TextWidth(w[:i]) > width {
				break
			}
			last = i
		}
	}
	if last == 0 {
		for i := range w {
			if i > 0 {
				return i
			}
		}
		return len(w)
	}
	return last
}

// longest returns the width of the widest word, mm.
func (l *letter) longest(s string) float64 {
	wide := 0.0
	for _, w := range strings.Fields(s) {
		wide = max(wide, l.width(w))
	}
	return wide
}

// letters are all letters of the sheets.
type letters struct {
	faces                                                                  typeface.Faces
	title, name, heading, body, strong, quiet, head, tag, mono, monoStrong *letter
}

func newLetters() letters {
	f := typeface.New()
	return letters{
		faces:      f,
		title:      newLetter(f.Text, 17, black, canvas.FontBold),
		name:       newLetter(f.Text, 17, accent, canvas.FontRegular),
		heading:    newLetter(f.Text, 10.5, black, canvas.FontBold),
		body:       newLetter(f.Text, 8.5, black, canvas.FontRegular),
		strong:     newLetter(f.Text, 8.5, black, canvas.FontBold),
		quiet:      newLetter(f.Text, 7.25, quiet, canvas.FontRegular),
		head:       newLetter(f.Text, 7.25, quiet, canvas.FontRegular),
		tag:        newLetter(f.Text, 8.5, accent, canvas.FontBold),
		mono:       newLetter(f.Mono, 6.75, quiet, canvas.FontRegular),
		monoStrong: newLetter(f.Mono, 6.75, black, canvas.FontRegular),
	}
}
