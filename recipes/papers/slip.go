package papers

import (
	"image/color"
	"slices"
)

// slip is a strip of a sheet that is not broken: marks from its upper left
// corner, x to the right, y down, mm.
type slip struct {
	h     float64
	gap   float64 // air above it, but not at the top of a page
	marks []mark
	keep  bool  // it does not stand last on a page
	begin bool  // a part of the sheet, or one more of a list, begins with it
	head  *slip // is set again above it where it begins a page
}

// mark is one thing on paper: a line of text, a rule, a box, a figure.
type mark struct {
	kind       markKind
	x, y, w, h float64 // what it covers; of text the whole line
	text       string
	letter     *letter
	ink        color.RGBA
	pen        float64 // width of rules and boxes
	art        art
}

type markKind uint8

const (
	textMark markKind = iota
	ruleMark          // from x, y to x+w, y
	boxMark           // a square to tick
	artMark
)

func (m mark) moved(dx, dy float64) mark { m.x += dx; m.y += dy; return m }

// text makes a line of text with its upper left corner at x, y.
func text(l *letter, s string, x, y float64) mark {
	return mark{kind: textMark, x: x, y: y, w: l.width(s), h: l.lead, text: s, letter: l}
}

// rule makes a level line.
func rule(x, y, w, pen float64, ink color.RGBA) mark {
	return mark{kind: ruleMark, x: x, y: y, w: w, pen: pen, ink: ink}
}

// compositor sets blocks into slips.
type compositor struct {
	letters
	tight float64 // air and photos are as large as usual times this
}

func newCompositor() *compositor { return &compositor{newLetters(), 1} }

// reading is how long a line of running text is at most, in sizes of its letters:
// some 85 letters, which the eye still finds its way back from.
const reading = 44

// Air between things, mm.
const (
	betweenBlocks  = 3.2
	overHeading    = 5.2
	underHeading   = 1.2
	betweenColumns = 7.0
	cellPad        = 0.95 // above and below the text of a table's row
	gutter         = 3.4  // between columns of a table
)

// set lays blocks out for a width.
func (c *compositor) set(blocks []block, width float64) []slip {
	var all []slip
	under := false // a heading
	for _, b := range blocks {
		s := c.block(b, width)
		switch {
		case len(s) == 0:
			continue
		case under:
			s[0].gap = underHeading
		case s[0].gap == 0:
			s[0].gap = betweenBlocks
		}
		_, under = b.(heading)
		all = append(all, s...)
	}
	for i := range all {
		all[i].gap *= c.tight
	}
	return all
}

func (c *compositor) block(b block, width float64) []slip {
	switch b := b.(type) {
	case heading:
		return []slip{{h: c.heading.lead, gap: overHeading, keep: true, begin: true, marks: []mark{text(c.heading, b.text, 0, 0)}}}
	case para:
		l := c.body
		switch {
		case b.quiet:
			l = c.quiet
		case b.strong:
			l = c.strong
		}
		s := c.lines(l, b.text, width)
		if b.quiet {
			s[0].gap = betweenBlocks / 2
		}
		return s
	case facts:
		return c.facts(b, width)
	case items:
		return c.items(b, width)
	case table:
		return c.table(b, width)
	case figures:
		return c.figures(b, width)
	case columns:
		return c.columns(b, width)
	}
	panic("papers: a block that nobody sets")
}

// lines sets running text, at most as wide as is easy to read.
func (c *compositor) lines(l *letter, s string, width float64) []slip {
	var all []slip
	lines := l.wrap(s, min(width, reading*l.face.Size))
	for i, line := range lines {
		all = append(all, slip{h: l.lead, marks: []mark{text(l, line, 0, 0)}, keep: i == 0 && len(lines) > 1 || i == len(lines)-2})
	}
	return all
}

func (c *compositor) facts(b facts, width float64) []slip {
	word, says := c.head, c.body
	if b.mono {
		word, says = c.monoStrong, c.mono
	}
	wide := 0.0
	for _, r := range b.rows {
		wide = max(wide, word.width(r[0]))
	}
	wide = min(wide, 0.45*width)
	var all []slip
	for _, r := range b.rows {
		s := slip{}
		drop := max(0, says.rise-word.rise)
		for i, line := range word.wrap(r[0], wide) {
			s.marks = append(s.marks, text(word, line, 0, drop+float64(i)*says.lead))
			s.h = max(s.h, float64(i+1)*says.lead)
		}
		for i, line := range says.wrap(r[1], width-wide-gutter) {
			s.marks = append(s.marks, text(says, line, wide+gutter, float64(i)*says.lead))
			s.h = max(s.h, float64(i+1)*says.lead)
		}
		s.h += 0.5
		all = append(all, s)
	}
	if len(all) <= together {
		for i := range all[:max(0, len(all)-1)] {
			all[i].keep = true
		}
	}
	return all
}

// highest is how high a slip of columns may be, mm: it fits under the head of a
// sheet on the lowest paper.
const highest = 200

// together is how many lines of facts, or rows of a table, are kept on one page.
const together = 12

func (c *compositor) items(b items, width float64) []slip {
	wide := 0.0
	for _, it := range b.list {
		wide = max(wide, c.tag.width(it.tag))
	}
	indent := 0.0
	if wide > 0 {
		wide = min(wide, 0.3*width)
		indent = wide + gutter
	}
	var all []slip
	for n, it := range b.list {
		s := slip{gap: 1.2, begin: n > 0}
		for i, line := range c.tag.wrap(it.tag, max(wide, 1)) {
			if line != "" {
				s.marks = append(s.marks, text(c.tag, line, 0, float64(i)*c.tag.lead))
				s.h = max(s.h, float64(i+1)*c.tag.lead)
			}
		}
		y := 0.0
		for _, line := range c.body.wrap(it.text, width-indent) {
			s.marks = append(s.marks, text(c.body, line, indent, y))
			y += c.body.lead
		}
		for _, note := range it.notes {
			for _, line := range c.quiet.wrap(note, width-indent) {
				s.marks = append(s.marks, text(c.quiet, line, indent, y))
				y += c.quiet.lead
			}
		}
		s.h = max(s.h, y)
		all = append(all, s)
	}
	return all
}

// figures sets figures side by side, all as high as the lowest cell allows.
func (c *compositor) figures(b figures, width float64) []slip {
	if !slices.ContainsFunc(b.list, func(f figure) bool { return f.art != nil }) {
		return nil
	}
	cell := (width - betweenColumns*float64(len(b.list)-1)) / float64(len(b.list))
	s := slip{}
	for i, f := range b.list {
		if f.art == nil {
			continue
		}
		if p, ok := f.art.(photo); ok {
			f.art = p.smaller(c.tight)
		}
		w, h := f.art.size(cell)
		x := float64(i)*(cell+betweenColumns) + (cell-w)/2
		s.marks = append(s.marks, mark{kind: artMark, x: x, w: w, h: h, art: f.art})
		s.h = max(s.h, h)
	}
	base := s.h
	for i, f := range b.list {
		if f.art == nil || f.caption == "" {
			continue
		}
		for j, line := range c.quiet.wrap(f.caption, cell) {
			x := float64(i)*(cell+betweenColumns) + (cell-c.quiet.width(line))/2
			y := base + 0.8 + float64(j)*c.quiet.lead
			s.marks = append(s.marks, text(c.quiet, line, x, y))
			s.h = max(s.h, y+c.quiet.lead)
		}
	}
	return []slip{s}
}

// columns sets blocks side by side into one slip; what would be too high for a
// page is set one after the other.
func (c *compositor) columns(b columns, width float64) []slip {
	shares := 0.0
	for _, p := range b.parts {
		shares += p.share
	}
	room := width - betweenColumns*float64(len(b.parts)-1)
	out, x := slip{}, 0.0
	for _, p := range b.parts {
		w := room * p.share / shares
		y := 0.0
		for i, s := range c.set(p.blocks, w) {
			if i > 0 {
				y += s.gap
			}
			for _, m := range s.marks {
				out.marks = append(out.marks, m.moved(x, y))
			}
			y += s.h
		}
		out.h = max(out.h, y)
		x += w + betweenColumns
	}
	if out.h > highest {
		var all []slip
		for _, p := range b.parts {
			all = append(all, c.set(p.blocks, width)...)
		}
		return all
	}
	return []slip{out}
}
