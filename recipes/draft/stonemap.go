package draft

import (
	"context"
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"waxwright/geom/drawing"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
)

// StoneMap draws the front of a piece with its stones numbered as in every
// remark, the groups told apart by a mark and a tint, with a legend. Numbers
// stand in the stones, or beside the piece where stones are too small for
// them. Of a pair the first is drawn. It fails for a piece without stones, when
// the room is too small for any scale, and when ctx ends.
func StoneMap(ctx context.Context, m *build.Model, o Options) (*Drawing, error) {
	width, height, err := o.room()
	if err != nil {
		return nil, err
	}
	bodies := m.Bodies(false)
	s := stoneMap{}
	s.names, s.by = groups(m, bodies)
	if len(s.names) == 0 {
		return nil, fmt.Errorf("draft: a map of a piece without stones")
	}
	if s.front, err = look(ctx, bodies, drawing.Front, "front"); err != nil {
		return nil, err
	}
	for _, k := range scales {
		for _, beside := range []bool{false, true} {
			p := s.plan(k, beside)
			if p == nil {
				continue
			}
			if size := p.box.Size(); size.X <= width && size.Y <= height {
				return p.drawing(k), nil
			}
		}
	}
	return nil, fmt.Errorf("draft: %g x %g mm of paper are too small for the stone map", width, height)
}

// stoneMap is what the map shows.
type stoneMap struct {
	names []string
	by    map[string][]build.Body
	front *view
}

// faint is the ink of the metal on the map.
var faint = color.RGBA{R: 150, G: 144, B: 136, A: 255}

// plan lays the map out at scale k: the metal below, the stones on it, then
// the legend. Numbers stand in their stones where there is room, or all beside
// the piece, where some do and the leaders of the others can't pass them. It
// returns nil where something finds no room.
func (s *stoneMap) plan(k float64, beside bool) *plan {
	p := newPlan()
	box := vec.Box2{Min: s.front.box.Min.Mul(k), Max: s.front.box.Max.Mul(k)}
	p.box = p.box.Union(box)
	var away []note // numbers that find no room in their stones
	shapes := map[string][][][]vec.P2{}
	for i, g := range s.names {
		for _, b := range s.by[g] {
			if facing(b) {
				shape := girdle(b, k)
				shapes[g] = append(shapes[g], shape)
				p.add(area{loops: shape, fill: tint(b)})
				p.mark(shape, i)
			}
		}
	}
	for _, l := range s.front.lines {
		if !s.front.gems[l.Item] {
			pen := pen{width: 0.13, ink: faint}
			if l.Kind == drawing.Silhouette {
				pen = middle
			}
			p.add(stroke{points: scaled(l.Points, k), pen: pen})
			p.lie(scaled(l.Points, k), false)
		}
	}
	for _, g := range s.names {
		j := 0
		for _, b := range s.by[g] {
			if !facing(b) {
				continue
			}
			l := inside(strconv.Itoa(b.Stone.N), shapes[g][j])
			j++
			if !beside && l.height >= legible && p.room(l.box()) {
				p.text(l)
			} else {
				away = append(away, note{at: drawing.Front.Flat(b.Place.O), text: l.text, bare: true})
			}
		}
	}
	var left, right []note
	for _, n := range away {
		if n.at.X < s.front.box.Center().X {
			left = append(left, n)
		} else {
			right = append(right, n)
		}
	}
	if !p.annotate(left, box, k, true) || !p.annotate(right, box, k, false) {
		return nil
	}
	s.legend(p)
	return p
}

// legible is the least height of a figure's capitals on the map, mm: 5 point
// type, the smallest that is read with ease (common practice, no source).
const legible = 1.25

// facing says whether a stone is seen from the front.
func facing(b build.Body) bool { return b.Place.Dir(vec.P{Z: 1}).Z > 0.2 }

// girdle is the outline of a stone as seen from the front, on paper.
func girdle(b build.Body, k float64) [][]vec.P2 {
	all := polygons(b.Stone.Cut.Girdle())
	for _, l := range all {
		for i, p := range l {
			l[i] = drawing.Front.Flat(b.Place.Point(p.At(0))).Mul(k)
		}
	}
	return all
}

// inside puts a number into the middle of a stone, as high as has room.
func inside(text string, shape [][]vec.P2) label {
	box := vec.Empty2()
	for _, p := range shape[0] {
		box = box.With(p)
	}
	l := label{text: text, height: 1, bold: true, ink: ink}
	room := 0.82 * min(box.Size().X, box.Size().Y)
	l.height = min(large, room/math.Hypot(1, l.width()))
	return l.centred(box.Center())
}

// tint is a stone's colour, light enough to print figures on.
func tint(b build.Body) color.RGBA {
	const share = 0.35
	c := b.Stone.Gem.Color
	mix := func(v uint8) uint8 { return uint8(math.Round(255 - share*(255-float64(v)))) }
	return color.RGBA{mix(c.R), mix(c.G), mix(c.B), 255}
}

// mark outlines a stone by the mark of its group, which is told in black and
// white too.
func (p *plan) mark(shape [][]vec.P2, group int) {
	ring := shape[0]
	c, n := vec.P2{}, float64(len(ring))
	for _, q := range ring {
		c = c.Add(q.Mul(1 / n))
	}
	shrunk := func(by float64) []vec.P2 {
		out := make([]vec.P2, len(ring))
		for i, q := range ring {
			d := c.Sub(q)
			out[i] = q.Add(d.Unit().Mul(min(by, d.Len()/2)))
		}
		return out
	}
	full := pen{width: 0.25, ink: ink}
	switch group % 6 {
	case 0:
		p.outline(ring, full)
	case 1: // twice
		p.outline(ring, full)
		p.outline(shrunk(0.55), pen{width: 0.13, ink: ink})
	case 2: // dashed
		p.outline(ring, pen{width: 0.35, ink: ink, dashes: []float64{1.1, 0.9}})
	case 3: // heavy
		p.outline(shrunk(0.3), pen{width: 0.6, ink: ink})
	case 4: // dotted
		p.outline(ring, pen{width: 0.4, ink: ink, dashes: []float64{0.01, 0.9}})
	case 5: // heavy outside a light line
		p.outline(shrunk(0.25), pen{width: 0.5, ink: ink})
		p.outline(shrunk(0.85), pen{width: 0.13, ink: ink})
	}
}

// outline draws a closed line of a view.
func (p *plan) outline(ps []vec.P2, pen pen) {
	p.add(stroke{points: ps, closed: true, pen: pen})
	p.lie(ps, true)
}

// legend explains marks and numbers under the map, a line a group.
func (s *stoneMap) legend(p *plan) {
	const step, swatch = 5.6, 1.9
	y := p.box.Min.Y - 6
	x := p.box.Min.X
	for i, g := range s.names {
		all := s.by[g]
		at := vec.P2{X: x + swatch, Y: y}
		shape := [][]vec.P2{disc(at, swatch)}
		p.add(area{loops: shape, fill: tint(all[0])})
		p.mark(shape, i)
		l := label{text: groupLine(g, all), height: small, ink: ink}
		l = l.centred(at)
		l.at.X = at.X + swatch + 1.6
		p.text(l)
		y -= step
	}
}

// groupLine says what a group is: its numbers, cut, size and gem.
func groupLine(group string, all []build.Body) string {
	name := strings.TrimPrefix(group, "stones.")
	low, high, hidden := all[0].Stone.N, all[0].Stone.N, 0
	for _, b := range all {
		low, high = min(low, b.Stone.N), max(high, b.Stone.N)
		if !facing(b) {
			hidden++
		}
	}
	numbers := strconv.Itoa(low)
	if high > low {
		numbers = fmt.Sprintf("%d to %d", low, high)
	}
	text := fmt.Sprintf("%s %s: %s, %s", name, numbers, across(all[0]), all[0].Stone.Gem.Title())
	if hidden > 0 {
		text += fmt.Sprintf("; %d not seen from the front", hidden)
	}
	return text
}
