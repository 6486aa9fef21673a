package papers

import (
	"fmt"

	"github.com/tdewolff/canvas"

	"waxwright/recipes/typeface"
)

// page is one page of paper with what stands on it, y down from its upper edge.
type page struct {
	paper Paper
	marks []mark
}

// Margins of a page, mm.
const (
	marginX      = 18.0
	marginTop    = 15.0
	marginBottom = 18.0
)

// pages sets sheets on paper: each begins a page of its own.
func (c *compositor) pages(p *Papers, all []sheet, paper Paper) []page {
	var out []page
	for _, s := range all {
		from := len(out)
		out = append(out, c.sheet(p, s, paper)...)
		for i := range out[from:] {
			c.foot(p, &out[from+i], fmt.Sprintf("%s, page %d of %d", s.title, i+1, len(out)-from))
		}
	}
	return out
}

// tighter is how far a sheet is drawn together, step by step, to save its last
// page: chosen by eye, as far as it still looks at ease.
var tighter = []float64{0.85, 0.7, 0.6}

// sheet sets one sheet, with less air and smaller pictures where that saves a page,
// or by its close blocks. Where nothing does, the last page gets what fills it a
// little.
func (c *compositor) sheet(p *Papers, s sheet, paper Paper) []page {
	usual := c.broken(p, s, paper, 0)
	if len(usual) == 1 {
		return usual
	}
	if out := c.saved(p, s, paper, len(usual)); out != nil {
		return out
	}
	return c.balanced(p, s, paper, usual)
}

// scant is the share of its height down to which a last page is filled at least,
// where a part of the sheet can be carried over: chosen by eye.
const scant = 1.0 / 3

// balanced carries parts of a sheet over to its last page, the latest first, until
// that is no more nearly empty.
func (c *compositor) balanced(p *Papers, s sheet, paper Paper, usual []page) []page {
	slips := c.set(s.blocks, paper.width())
	for i := len(slips) - 1; i > 0 && usual[len(usual)-1].low() < scant*paper.Height; i-- {
		if !slips[i].begin {
			continue
		}
		if out := c.broken(p, s, paper, i); len(out) == len(usual) { // else it stands on the last page already, or leaves too much empty
			usual = out
		}
	}
	return usual
}

// low is how far down a page something stands, but for its foot.
func (pg *page) low() float64 {
	y := 0.0
	for _, m := range pg.marks {
		if m.y < pg.paper.Height-marginBottom {
			y = max(y, m.y+m.h)
		}
	}
	return y
}

// closed says whether a sheet is set by its close blocks.
func (c *compositor) closed(p *Papers, s sheet, paper Paper) bool {
	if s.close == nil {
		return false
	}
	out := c.sheet(p, s, paper)
	s.close = nil
	return len(out) < len(c.sheet(p, s, paper))
}

// saved sets a sheet in less room if it then takes fewer pages than usual; else it
// returns nil.
func (c *compositor) saved(p *Papers, s sheet, paper Paper, usual int) []page {
	defer func() { c.tight = 1 }()
	for _, c.tight = range tighter {
		if out := c.broken(p, s, paper, 0); len(out) < usual {
			return out
		}
	}
	if s.close == nil {
		return nil
	}
	s.blocks = s.close
	for _, c.tight = range append([]float64{1}, tighter...) {
		if out := c.broken(p, s, paper, 0); len(out) < usual {
			return out
		}
	}
	return nil
}

// broken sets one sheet, as tight as it is told to, and breaks it into pages, one
// of which begins with the slip at first; 0 for none.
func (c *compositor) broken(p *Papers, s sheet, paper Paper, first int) []page {
	width, bottom := paper.width(), paper.Height-marginBottom
	var out []page
	var y float64
	open := func() {
		out = append(out, page{paper: paper})
		y = c.top(p, s, &out[len(out)-1], len(out) == 1)
	}
	put := func(s *slip) {
		pg := &out[len(out)-1]
		for _, m := range s.marks {
			pg.marks = append(pg.marks, m.moved(marginX, y))
		}
		y += s.h
	}
	open()
	slips := c.set(s.blocks, width)
	fresh := true // nothing stands on the page yet
	for i := 0; i < len(slips); {
		end := i + 1 // slips that stay together
		h := slips[i].h
		for end < len(slips) && slips[end-1].keep {
			h += slips[end].gap + slips[end].h
			end++
		}
		if gap := slips[i].gap; !fresh {
			if y+gap+h > bottom || i == first {
				open()
				fresh = true
				if slips[i].head != nil {
					put(slips[i].head)
					fresh = false
				}
			} else {
				y += gap
			}
		}
		for from := i; i < end; i++ {
			if i > from {
				y += slips[i].gap
			}
			put(&slips[i])
		}
		fresh = false
	}
	return out
}

// top sets the head of a page and returns where the text begins.
func (c *compositor) top(p *Papers, s sheet, pg *page, first bool) float64 {
	right := pg.paper.Width - marginX
	if !first {
		y := marginTop
		pg.marks = append(pg.marks,
			text(c.strong, p.Piece.Title, marginX, y),
			text(c.body, s.title, right-c.body.width(s.title), y),
			rule(marginX, y+c.body.lead+1, right-marginX, 0.25, accent))
		return y + c.body.lead + 6
	}
	y := marginTop
	room := right - marginX - c.name.width(s.title) - gutter
	lines := c.title.wrap(p.Piece.Title, room)
	for i, line := range lines {
		pg.marks = append(pg.marks, text(c.title, line, marginX, y+float64(i)*c.title.lead))
	}
	pg.marks = append(pg.marks, text(c.name, s.title, right-c.name.width(s.title), y))
	y += float64(len(lines)) * c.title.lead
	pg.marks = append(pg.marks, rule(marginX, y+1.5, right-marginX, 0.7, accent))
	y += 3
	under := p.Piece.Designer
	if p.Date != "" {
		pg.marks = append(pg.marks, text(c.quiet, p.Date, right-c.quiet.width(p.Date), y))
	}
	if under != "" {
		pg.marks = append(pg.marks, text(c.quiet, under, marginX, y))
	}
	if under != "" || p.Date != "" {
		y += c.quiet.lead
	}
	return y + 4
}

// foot sets the foot of a page.
func (c *compositor) foot(p *Papers, pg *page, says string) {
	right := pg.paper.Width - marginX
	y := pg.paper.Height - marginBottom + 5
	pg.marks = append(pg.marks,
		rule(marginX, y, right-marginX, 0.12, hair),
		text(c.mono, p.Mark(), marginX, y+1.2),
		text(c.quiet, says, right-c.quiet.width(says), y+1))
}

// draw puts the page on a canvas.
func (pg *page) draw(c *canvas.Context, f typeface.Faces) {
	for _, m := range pg.marks {
		up := pg.paper.Height - m.y
		switch m.kind {
		case textMark:
			c.DrawText(m.x, up-m.letter.rise, canvas.NewTextLine(m.letter.face, m.text, canvas.Left))
		case ruleMark:
			c.SetFillColor(canvas.Transparent)
			c.SetStrokeColor(m.ink)
			c.SetStrokeWidth(m.pen)
			c.DrawPath(m.x, up, canvas.Line(m.w, 0))
		case boxMark:
			c.SetFillColor(canvas.Transparent)
			c.SetStrokeColor(m.ink)
			c.SetStrokeWidth(m.pen)
			c.DrawPath(m.x, up-m.h, canvas.Rectangle(m.w, m.h))
		case artMark:
			m.art.draw(c, f, m.x, up-m.h, m.w)
		}
	}
}

// covers is what a mark covers on its page, y up.
func (pg *page) covers(m mark) typeface.Box {
	up := pg.paper.Height - m.y
	switch m.kind {
	case textMark:
		return typeface.BoxAt(m.letter.face, m.text, m.x, up-m.letter.rise)
	case ruleMark:
		return typeface.Box{X0: m.x, Y0: up - m.pen/2, X1: m.x + m.w, Y1: up + m.pen/2}
	}
	return typeface.Box{X0: m.x, Y0: up - m.h, X1: m.x + m.w, Y1: up}
}
