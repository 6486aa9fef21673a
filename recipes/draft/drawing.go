// Package draft draws a model on paper: the dimensioned drawing, the map of
// its stones, and what a caster is to keep free of supports and sprues.
//
// Each is a Drawing: marks with a natural size in mm that know nothing of file
// formats. Drawn on a canvas, the same marks become SVG, PDF or pixels.
//
// Guarantees: lengths in the picture plane are true to the scale that the
// drawing states, and lines lie on the model's own edges; no text overlaps a
// text or a line of the drawing, whatever the piece; figures are those of the
// model and its recipe; the same model gives the same marks. Not guaranteed:
// that all that could be dimensioned is.
//
// Lengths are mm: of the model where a comment says so, else on paper. On
// paper x runs right and y up from the lower left corner.
package draft

import (
	"image/color"
	"math"
	"slices"

	"github.com/tdewolff/canvas"

	"waxwright/geom/vec"
	"waxwright/recipes/typeface"
)

// Drawing is a finished drawing at its natural size.
type Drawing struct {
	W, H  float64 // mm on paper
	Scale float64 // mm on paper for a mm of the model; 0 where there is none
	marks []mark
	texts []vec.Box2 // of every text
	lines []segment  // that texts keep clear of
}

// Draw draws the drawing with its lower left corner at x, y of c, times times
// its natural size, in the letters of the document. The scale bar stays true;
// a stated scale holds at times 1.
func (d *Drawing) Draw(c *canvas.Context, f typeface.Faces, x, y, times float64) {
	c.Push()
	defer c.Pop()
	for _, m := range d.marks {
		m.draw(c, placing{vec.P2{X: x, Y: y}, times, f})
	}
}

// mark is one thing on paper.
type mark interface {
	draw(*canvas.Context, placing)
	moved(vec.P2) mark
}

// placing takes the drawing's coordinates to those of the canvas.
type placing struct {
	o     vec.P2
	times float64
	faces typeface.Faces
}

func (p placing) at(q vec.P2) vec.P2 { return p.o.Add(q.Mul(p.times)) }

func (p placing) path(qs []vec.P2, closed bool) *canvas.Path {
	path := &canvas.Path{}
	for i, q := range qs {
		q = p.at(q)
		if i == 0 {
			path.MoveTo(q.X, q.Y)
		} else {
			path.LineTo(q.X, q.Y)
		}
	}
	if closed {
		path.Close()
	}
	return path
}

// pen is how a line looks.
type pen struct {
	width  float64 // mm
	ink    color.RGBA
	dashes []float64 // mm; nil for a full line
}

// ink and paper of all drawings; quiet is for what helps reading.
var (
	ink   = color.RGBA{R: 28, G: 26, B: 24, A: 255}
	quiet = color.RGBA{R: 110, G: 104, B: 96, A: 255}
)

// The pens: the wide and the narrow line of ISO 128-2, line group 0.35; 0.25
// stands between them, for creases.
var (
	wide   = pen{width: 0.35, ink: ink}
	middle = pen{width: 0.18, ink: ink}
	narrow = pen{width: 0.13, ink: ink}
	chain  = pen{width: 0.13, ink: quiet, dashes: []float64{4, 0.8, 0.6, 0.8}} // ISO 128-2 type 04, shortened for small drawings
)

// stroke is a line.
type stroke struct {
	points []vec.P2
	closed bool
	pen    pen
}

func (s stroke) draw(c *canvas.Context, p placing) {
	c.SetFillColor(canvas.Transparent)
	c.SetStrokeColor(s.pen.ink)
	c.SetStrokeWidth(s.pen.width * p.times)
	c.SetStrokeCapper(canvas.RoundCap)
	c.SetStrokeJoiner(canvas.RoundJoin)
	if s.pen.dashes != nil {
		d := make([]float64, len(s.pen.dashes))
		for i, l := range s.pen.dashes {
			d[i] = l * p.times
		}
		c.DrawPath(0, 0, p.path(s.points, s.closed).Dash(0, d...))
		return
	}
	for _, r := range s.runs() {
		c.DrawPath(0, 0, p.path(r, false))
	}
}

// bend is how much a line may turn and still be drawn in one: canvas, when it
// paints pixels, fills lines that come back to themselves.
const bend = 2 * math.Pi / 3

// runs splits the line where it has turned enough; round caps close the joints.
func (s stroke) runs() [][]vec.P2 {
	ps := s.points
	if s.closed && len(ps) > 0 {
		ps = append(slices.Clone(ps), ps[0])
	}
	var all [][]vec.P2
	from, turned := 0, 0.0
	for i := 1; i+1 < len(ps); i++ {
		a, b := ps[i].Sub(ps[i-1]), ps[i+1].Sub(ps[i])
		turned += math.Abs(math.Atan2(a.Cross(b), a.Dot(b)))
		if turned > bend {
			all = append(all, ps[from:i+1])
			from, turned = i, 0
		}
	}
	return append(all, ps[from:])
}

func (s stroke) moved(d vec.P2) mark {
	s.points = shifted(s.points, d)
	return s
}

// area is a filled surface, holes by the even-odd rule.
type area struct {
	loops [][]vec.P2
	fill  color.RGBA
}

func (a area) draw(c *canvas.Context, p placing) {
	c.SetFillColor(a.fill)
	c.SetStrokeColor(canvas.Transparent)
	c.SetFillRule(canvas.EvenOdd)
	whole := &canvas.Path{}
	for _, l := range a.loops {
		whole = whole.Append(p.path(l, true))
	}
	c.DrawPath(0, 0, whole)
	c.SetFillRule(canvas.NonZero)
}

func (a area) moved(d vec.P2) mark {
	loops := make([][]vec.P2, len(a.loops))
	for i, l := range a.loops {
		loops[i] = shifted(l, d)
	}
	a.loops = loops
	return a
}

func shifted(ps []vec.P2, d vec.P2) []vec.P2 {
	out := make([]vec.P2, len(ps))
	for i, p := range ps {
		out[i] = p.Add(d)
	}
	return out
}
