package papers

import (
	"fmt"
	"strings"
)

// Paper is a size of paper, upright, mm.
type Paper struct {
	Name          string
	Width, Height float64
}

// The papers: A4 of ISO 216, and letter, ANSI/ASME Y14.1 size A, 8.5 by 11 inches.
var (
	A4     = Paper{"A4", 210, 297}
	Letter = Paper{"letter", 8.5 * inch, 11 * inch}
)

// width is how wide sheets are set on the paper, mm; the zero Paper is A4.
func (p Paper) width() float64 {
	if p.Width == 0 {
		p = A4
	}
	return p.Width - 2*marginX
}

// underPictures is how much of a job sheet's first page stands over its drawing,
// and at its foot, mm.
const underPictures = 192

// left is how high the drawing may be there.
func (p Paper) left() float64 {
	if p.Height == 0 {
		p = A4
	}
	return p.Height - underPictures
}

// PaperNames lists the papers, the default first.
func PaperNames() []string { return []string{A4.Name, Letter.Name} }

// PaperNamed returns the paper of that name, large and small letters alike.
func PaperNamed(name string) (Paper, error) {
	for _, p := range []Paper{A4, Letter} {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
	}
	return Paper{}, fmt.Errorf("no paper is called %q", name)
}
