package draft

import (
	"image/color"
	"math"
	"strconv"
	"sync"

	"github.com/tdewolff/canvas"

	"waxwright/geom/vec"
	"waxwright/recipes/typeface"
)

// The heights of capitals, mm, of ISO 3098-1: figures, and letters of views.
const (
	small = 1.8
	large = 2.5
)

// capShare is the height of the capitals of the Go fonts as a share of the em,
// by their own tables: 1480 of 2048.
const capShare = 1480.0 / 2048

const ptPerMM = 72 / 25.4

// face returns the font for capitals of that height in mm.
func face(f typeface.Faces, height float64, bold bool, c color.RGBA) *canvas.FontFace {
	style := canvas.FontRegular
	if bold {
		style = canvas.FontBold
	}
	return f.Text.Face(height/capShare*ptPerMM, style, c)
}

// label is a line of text. Its baseline begins at at and runs right, or up if
// upright.
type label struct {
	text    string
	at      vec.P2
	height  float64 // of capitals, mm
	upright bool
	bold    bool
	ink     color.RGBA
}

// ruler measures text: one set of fonts for all drawings, used by one at a time.
var ruler struct {
	sync.Mutex
	faces  typeface.Faces
	widths map[ruled]float64 // at a height of 1 mm
}

type ruled struct {
	text string
	bold bool
}

// width is the length of the text on paper, mm.
func (l label) width() float64 {
	ruler.Lock()
	defer ruler.Unlock()
	if ruler.widths == nil {
		ruler.faces, ruler.widths = typeface.New(), map[ruled]float64{}
	}
	k := ruled{l.text, l.bold}
	w, ok := ruler.widths[k]
	if !ok {
		const big = 100 // mm, so that rounding to the font's grid does not show
		w = face(ruler.faces, big, l.bold, ink).TextWidth(l.text) / big
		ruler.widths[k] = w
	}
	return w * l.height
}

// tail is how far letters reach under the baseline, as a share of the height.
const tail = 0.28

// box is what the text covers.
func (l label) box() vec.Box2 {
	w := l.width()
	if l.upright {
		return vec.Box2{
			Min: vec.P2{X: l.at.X - l.height, Y: l.at.Y},
			Max: vec.P2{X: l.at.X + tail*l.height, Y: l.at.Y + w},
		}
	}
	return vec.Box2{
		Min: vec.P2{X: l.at.X, Y: l.at.Y - tail*l.height},
		Max: vec.P2{X: l.at.X + w, Y: l.at.Y + l.height},
	}
}

// centred puts the middle of the text's capitals at p.
func (l label) centred(p vec.P2) label {
	half := vec.P2{X: l.width() / 2, Y: l.height / 2}
	if l.upright {
		half = vec.P2{X: -l.height / 2, Y: l.width() / 2}
	}
	l.at = p.Sub(half)
	return l
}

func (l label) draw(c *canvas.Context, p placing) {
	line := canvas.NewTextLine(face(p.faces, l.height*p.times, l.bold, l.ink), l.text, canvas.Left)
	at := p.at(l.at)
	if !l.upright {
		c.DrawText(at.X, at.Y, line)
		return
	}
	c.Push()
	c.Translate(at.X, at.Y)
	c.Rotate(90)
	c.DrawText(0, 0, line)
	c.Pop()
}

func (l label) moved(d vec.P2) mark {
	l.at = l.at.Add(d)
	return l
}

// figure writes a length with the digits that a gauge shows, no more.
func figure(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*100)/100, 'f', -1, 64)
}
