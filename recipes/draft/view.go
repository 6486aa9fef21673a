package draft

import (
	"context"
	"fmt"
	"math"
	"slices"

	"waxwright/geom/drawing"
	"waxwright/geom/outline"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
)

// view is one view of the model: what is drawn, in mm of the model in the
// picture plane, and what is to be said of it.
type view struct {
	name  string
	lines []drawing.Line // of metal and stones
	metal [][]vec.P2     // borders of cut metal
	stone [][]vec.P2     // borders of cut stones
	rings [][]vec.P2     // centre lines
	cut   *float64       // where the section runs, along x
	dims  []dim
	notes []note
	gems  []bool // by item, for lines
	box   vec.Box2
}

// items are the bodies as things to draw.
func items(bodies []build.Body) []drawing.Item {
	all := make([]drawing.Item, len(bodies))
	for i, b := range bodies {
		all[i] = drawing.Item{Mesh: b.Mesh, Place: b.Place, Draw: true}
		if b.Stone != nil {
			all[i].Sharp = facetEdge
		}
	}
	return all
}

// facetEdge is the angle from which on the edges of stones are drawn, radians:
// 6 degrees, under what facets turn from each other, over the flat bits of a
// girdle.
const facetEdge = 6 * math.Pi / 180

// look draws the bodies as seen in a view.
func look(ctx context.Context, bodies []build.Body, v drawing.View, name string) (*view, error) {
	lines, err := drawing.Lines(ctx, items(bodies), v)
	if err != nil {
		return nil, fmt.Errorf("view %s: %w", name, err)
	}
	w := &view{name: name, lines: lines, box: vec.Empty2()}
	for _, b := range bodies {
		w.gems = append(w.gems, b.Stone != nil)
		for _, p := range b.Mesh.V {
			w.box = w.box.With(v.Flat(b.Place.Point(p)))
		}
	}
	return w, nil
}

// cutAt cuts the bodies at a depth of the view.
func cutAt(bodies []build.Body, v drawing.View, depth float64, name string) (*view, error) {
	loops, err := drawing.Section(items(bodies), v, depth)
	if err != nil {
		return nil, fmt.Errorf("section %s: %w", name, err)
	}
	w := &view{name: name, box: vec.Empty2()}
	for _, l := range loops {
		for _, p := range l.Points {
			w.box = w.box.With(p)
		}
		if bodies[l.Item].Stone != nil {
			w.stone = append(w.stone, l.Points)
		} else {
			w.metal = append(w.metal, l.Points)
		}
	}
	return w, nil
}

// plan lays the view out at scale k; nil where something finds no room.
func (w *view) plan(k float64) *plan {
	p := newPlan()
	box := vec.Box2{Min: w.box.Min.Mul(k), Max: w.box.Max.Mul(k)}
	if len(w.metal) > 0 {
		p.hatched(scaledAll(w.metal, k))
	}
	for _, l := range w.stone {
		p.outline(scaled(l, k), middle)
	}
	for _, l := range w.lines {
		s := stroke{points: scaled(l.Points, k), pen: narrow}
		if !w.gems[l.Item] {
			s.pen = middle
			if l.Kind == drawing.Silhouette {
				s.pen = wide
			}
		} else if l.Kind == drawing.Silhouette {
			s.pen = middle
		}
		p.add(s)
		p.lie(s.points, false)
	}
	for _, r := range w.rings {
		p.outline(scaled(r, k), chain)
	}
	if w.cut != nil {
		p.cutLine(*w.cut*k, box)
	}
	left := p.dimension(w.dims, vec.Box2{Min: p.box.Min, Max: box.Max}, k)
	notes := w.notes
	for _, d := range left { // no room for a line: it is said in words
		notes = append(notes, note{at: d.b, text: d.text})
	}
	if !p.annotate(notes, box, k, false) {
		return nil
	}
	name := label{text: w.name, height: large, bold: true, ink: ink}
	name = name.centred(vec.P2{X: box.Center().X, Y: box.Max.Y + 2 + large})
	if w.cut != nil { // well clear of the letter of the section, on its left
		name.at.X = min(box.Min.X, *w.cut*k-asideOfCut-name.width())
	}
	for !p.room(name.box()) {
		name.at.Y++
	}
	p.text(name)
	return p
}

// asideOfCut is how far the name of a view stays from the line of a section, mm:
// chosen by eye, so that the two are not read as one word.
const asideOfCut = 6.0

// cutLine marks where a section is cut: a chain line, wide at its ends, with
// arrows the way that the section is seen, and its letter (ISO 128-3).
func (p *plan) cutLine(x float64, box vec.Box2) {
	const past, thick, long = 1.2, 3.2, 4.5
	for _, end := range [2]struct{ y, way float64 }{{box.Max.Y + past, 1}, {box.Min.Y - past, -1}} {
		at := vec.P2{X: x, Y: end.y + end.way*thick/2}
		p.line(wide, vec.P2{X: x, Y: end.y}, vec.P2{X: x, Y: end.y + end.way*thick})
		from := at.Add(vec.P2{X: long})
		p.line(narrow, at, from)
		p.arrow(at, from)
		l := label{text: "A", height: large, bold: true, ink: ink}
		p.text(l.centred(vec.P2{X: x, Y: end.y + end.way*(thick+1+large/2)}))
	}
	axis := []vec.P2{{X: x, Y: box.Max.Y + past}, {X: x, Y: box.Min.Y - past}}
	p.add(stroke{points: axis, pen: chain})
	p.lie(axis, false)
}

// hatched draws cut metal: lines at 45 degrees (ISO 128-3) and a wide border.
func (p *plan) hatched(loops [][]vec.P2) {
	for _, s := range hatch(loops, hatchStep) {
		p.add(stroke{points: []vec.P2{s.a, s.b}, pen: narrow})
	}
	for _, l := range loops {
		p.outline(l, wide)
	}
}

// hatchStep is the distance of the lines of a hatching, mm on paper: common
// practice, no source.
const hatchStep = 1.0

// hatch returns the stretches of lines at 45 degrees, step apart, that lie
// within the loops (even-odd). The lines are those of one grid through the
// origin, so that all cut faces of one metal match.
func hatch(loops [][]vec.P2, step float64) []segment {
	// in u along the lines and v across them
	turn := func(q vec.P2) vec.P2 { return vec.P2{X: (q.X + q.Y) * math.Sqrt2 / 2, Y: (q.Y - q.X) * math.Sqrt2 / 2} }
	back := func(q vec.P2) vec.P2 { return vec.P2{X: (q.X - q.Y) * math.Sqrt2 / 2, Y: (q.X + q.Y) * math.Sqrt2 / 2} }
	rows := map[int][]float64{}
	low, high := math.MaxInt, math.MinInt
	for _, l := range loops {
		for i := range l {
			a, b := turn(l[i]), turn(l[(i+1)%len(l)])
			if a.Y > b.Y {
				a, b = b, a
			}
			for r := int(math.Ceil(a.Y / step)); float64(r)*step < b.Y; r++ { // a row through b belongs to the next
				y := float64(r) * step
				rows[r] = append(rows[r], a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
				low, high = min(low, r), max(high, r)
			}
		}
	}
	var all []segment
	for r := low; r <= high; r++ {
		xs := rows[r]
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			y := float64(r) * step
			all = append(all, segment{back(vec.P2{X: xs[i], Y: y}), back(vec.P2{X: xs[i+1], Y: y})})
		}
	}
	return all
}

// disc is a circle as a polygon whose sides nowhere lie deeper than a micron
// or two inside it at the sizes of paper.
func disc(c vec.P2, r float64) []vec.P2 {
	const n = 120
	ps := make([]vec.P2, n)
	for i := range ps {
		ps[i] = c.Add(vec.Bearing(r, 2*math.Pi*float64(i)/n))
	}
	return ps
}

// polygons draws an outline as closed polygons, within about a micron at the
// sizes of stones.
func polygons(o outline.Outline) [][]vec.P2 {
	var all [][]vec.P2
	for _, l := range o.Loops {
		n := 120
		ps := make([]vec.P2, n)
		for i := range ps {
			ps[i], _ = l.At(l.Length() * float64(i) / float64(n))
		}
		all = append(all, ps)
	}
	return all
}

func scaled(ps []vec.P2, k float64) []vec.P2 {
	out := make([]vec.P2, len(ps))
	for i, p := range ps {
		out[i] = p.Mul(k)
	}
	return out
}

func scaledAll(ls [][]vec.P2, k float64) [][]vec.P2 {
	out := make([][]vec.P2, len(ls))
	for i, l := range ls {
		out[i] = scaled(l, k)
	}
	return out
}
