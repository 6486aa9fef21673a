package papers

import "strings"

func (c *compositor) table(t table, width float64) []slip {
	wide, pad := c.widths(t, width), cellPad*c.tight
	row := func(cells []string, l *letter) slip {
		s, x := slip{h: l.lead + 2*pad}, 0.0
		tall := 0 // titles stand on the line under them
		for i, cell := range cells {
			if l == c.head {
				tall = max(tall, len(l.wrap(cell, wide[i]+0.01)))
			}
		}
		for i, cell := range cells {
			switch {
			case t.cols[i].align == tick && l == c.body:
				const side = 3.0
				s.marks = append(s.marks, mark{kind: boxMark, x: x + wide[i] - side, y: pad + (l.lead-side)/2, w: side, h: side, pen: 0.2, ink: quiet})
			case cell != "":
				l, drop := l, 0.0
				if t.cols[i].align == note && l == c.body {
					l, drop = c.quiet, c.body.rise-c.quiet.rise
				}
				lines := l.wrap(cell, wide[i]+0.01)
				drop += float64(max(0, tall-len(lines))) * l.lead
				for j, line := range lines {
					at := x
					if !t.cols[i].align.words() {
						at += wide[i] - l.width(line)
					}
					y := pad + drop + float64(j)*l.lead
					s.marks = append(s.marks, text(l, line, at, y))
					s.h = max(s.h, y+l.lead+pad)
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

// widths shares the width of a table among its columns: figures never break, but
// the words over them do; the widest words give way first, and what is left goes to
// the last column of words.
func (c *compositor) widths(t table, width float64) []float64 {
	want, least := make([]float64, len(t.cols)), make([]float64, len(t.cols))
	for i, col := range t.cols {
		cells := func(l *letter, s string) {
			want[i] = max(want[i], l.width(s))
			if col.align.words() {
				least[i] = max(least[i], min(l.longest(s), 0.35*width))
			} else {
				least[i] = want[i]
			}
		}
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
		want[i] = max(want[i], c.head.width(col.title))
		least[i] = max(least[i], min(c.head.longest(col.title), 0.35*width))
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
