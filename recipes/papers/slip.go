package papers

import (
	"image/color"
	"slices"
	"strings"
)

// slip is a strip of a sheet that is not broken: marks from its upper left
// corner, x to the right, y down, mm.
type slip struct {
	h     float64
	gap   float64 // air above it, but not at the top of a page
	marks []mark
	keep  bool  // it does not stand last on a page
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
type compositor struct{ letters }

func newCompositor() *compositor { return &compositor{newLetters()} }

// reading is how long a line of running text is at most, in sizes of its letters:
// some 85 letters, which the eye still finds its way back from.
const reading = 44

// Air between things, mm.
const (
	betweenBlocks  = 3.2
	overHeading    = 5.2
	underHeading   = 1.2
	betweenColumns = 7.0
	cellPad        = 1.1 // above and below the text of a table's row
	gutter         = 3.4 // between columns of a table
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
	return all
}

func (c *compositor) block(b block, width float64) []slip {
	switch b := b.(type) {
	case heading:
		return []slip{{h: c.heading.lead, gap: overHeading, keep: true, marks: []mark{text(c.heading, b.text, 0, 0)}}}
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
	for _, it := range b.list {
		s := slip{gap: 1.2}
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
		if it.note != "" {
			for _, line := range c.quiet.wrap(it.note, width-indent) {
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

func (c *compositor) table(t table, width float64) []slip {
	wide := c.widths(t, width)
	row := func(cells []string, l *letter) slip {
		s, x := slip{h: l.lead + 2*cellPad}, 0.0
		for i, cell := range cells {
			switch {
			case t.cols[i].align == tick && l == c.body:
				const side = 3.0
				s.marks = append(s.marks, mark{kind: boxMark, x: x + wide[i] - side, y: cellPad + (l.lead-side)/2, w: side, h: side, pen: 0.2, ink: quiet})
			case cell != "":
				l, drop := l, 0.0
				if t.cols[i].align == note && l == c.body {
					l, drop = c.quiet, c.body.rise-c.quiet.rise
				}
				for j, line := range l.wrap(cell, wide[i]+0.01) {
					at := x
					if !t.cols[i].align.words() {
						at += wide[i] - l.width(line)
					}
					y := cellPad + drop + float64(j)*l.lead
					s.marks = append(s.marks, text(l, line, at, y))
					s.h = max(s.h, y+l.lead+cellPad)
				}
			}
			x += wide[i] + gutter
		}
		return s
	}
	titles := make([]string, len(t.cols))
	for i, col := range t.cols {
		titles[i] = col.title
	}
	var all []slip
	var head *slip
	if strings.Join(titles, "") != "" {
		h := row(titles, c.head)
		h.keep = true
		h.marks = append(h.marks, rule(0, h.h, width, 0.25, black))
		head = &h
		all = append(all, h)
	}
	for _, r := range t.rows {
		s := row(r, c.body)
		s.head = head
		s.marks = append(s.marks, rule(0, s.h, width, 0.12, hair))
		all = append(all, s)
	}
	if t.foot != nil {
		if len(t.rows) > 0 { // the last line is that of the sum
			last := &all[len(all)-1]
			last.marks[len(last.marks)-1] = rule(0, last.h, width, 0.25, black)
			last.keep = true
		}
		all = append(all, row(t.foot, c.strong))
	}
	if len(all) <= together {
		for i := range all[:max(0, len(all)-1)] {
			all[i].keep = true
		}
	}
	return all
}

// widths shares the width of a table among its columns: figures never break,
// the widest words give way first, and what is left goes to the last column of
// words.
func (c *compositor) widths(t table, width float64) []float64 {
	want, least := make([]float64, len(t.cols)), make([]float64, len(t.cols))
	for i, col := range t.cols {
		cells := func(l *letter, s string) {
			want[i] = max(want[i], l.width(s))
			if col.align.words() {
				least[i] = max(least[i], min(l.longest(s), 0.35*width))
			}
		}
		cells(c.head, col.title)
		of := c.body
		if col.align == note {
			of = c.quiet
		}
		for _, r := range t.rows {
			cells(of, r[i])
		}
		if t.foot != nil {
			cells(c.strong, t.foot[i])
		}
		if !col.align.words() {
			least[i] = want[i]
		}
		if col.align == tick {
			want[i], least[i] = max(want[i], 4), max(want[i], 4)
		}
	}
	room := width - gutter*float64(len(t.cols)-1)
	need := 0.0
	for _, w := range want {
		need += w
	}
	if need > room {
		return squeeze(want, least, room)
	}
	for i := len(want) - 1; i >= 0; i-- {
		if t.cols[i].align.words() {
			want[i] += room - need
			break
		}
	}
	return want
}

// squeeze makes the widest columns narrower, all down to the same width but none
// under its least, until they fit into the room. Where even the least do not fit
// they stand over its edge.
func squeeze(want, least []float64, room float64) []float64 {
	down := func(to float64) (wide []float64, sum float64) {
		for i, w := range want {
			wide = append(wide, max(least[i], min(w, to)))
			sum += wide[i]
		}
		return wide, sum
	}
	low, high := 0.0, room
	for range 40 { // halved to far under a micron
		mid := (low + high) / 2
		if _, sum := down(mid); sum > room {
			high = mid
		} else {
			low = mid
		}
	}
	wide, _ := down(low)
	return wide
}
