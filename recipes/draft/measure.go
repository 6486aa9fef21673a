package draft

import (
	"fmt"
	"math"

	"waxwright/geom/drawing"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// measurer puts dimensions and notes on the views.
type measurer struct {
	m                    *build.Model
	bodies               []build.Body
	front, side, section *view
	metal                *mesh.Tree // as worn
}

// measure says all that is said on the views: overall sizes on the model
// itself, the rest from the recipe, at the places where it is drawn.
func measure(m *build.Model, bodies []build.Body, front, side, section *view) {
	metal := &mesh.Mesh{}
	for _, b := range bodies {
		if b.Stone == nil {
			metal.Append(b.Mesh.Transform(b.Place))
		}
	}
	q := measurer{m, bodies, front, side, section, mesh.NewTree(metal)}
	q.overall(front, drawing.Front, true)
	q.overall(side, drawing.Side, false)
	q.stones()
	for i, o := range m.Piece.Owners {
		switch o.Role {
		case piece.PostRole:
			q.post(o)
		case piece.BailRole:
			b, _ := lang.Find[*piece.Bail](m.Piece.Recipe, o.Address)
			q.ring(i, "bail", b.Bore, b.Wire)
		case piece.LinkRole:
			b, _ := lang.Find[*piece.Link](m.Piece.Recipe, o.Address)
			q.ring(i, "link", b.Bore, b.Wire)
		}
	}
	if section != nil {
		q.sheets()
	}
}

// overall dimensions a view across, and up if asked.
func (q *measurer) overall(v *view, w drawing.View, up bool) {
	var ends [4]vec.P2 // left, right, low, high
	first := true
	for _, b := range q.bodies {
		for _, p := range b.Mesh.V {
			f := w.Flat(b.Place.Point(p))
			if first {
				ends, first = [4]vec.P2{f, f, f, f}, false
			}
			// of places equally far, the one nearest to the dimension line
			if f.X < ends[0].X || f.X == ends[0].X && f.Y < ends[0].Y {
				ends[0] = f
			}
			if f.X > ends[1].X || f.X == ends[1].X && f.Y < ends[1].Y {
				ends[1] = f
			}
			if f.Y < ends[2].Y || f.Y == ends[2].Y && f.X < ends[2].X {
				ends[2] = f
			}
			if f.Y > ends[3].Y || f.Y == ends[3].Y && f.X < ends[3].X {
				ends[3] = f
			}
		}
	}
	v.dims = append(v.dims, dim{a: ends[0], b: ends[1], text: figure(ends[1].X - ends[0].X)})
	if up {
		v.dims = append(v.dims, dim{a: ends[2], b: ends[3], upright: true, text: figure(ends[3].Y - ends[2].Y)})
	}
}

// groups lists the stones by group, in the order of the recipe.
func groups(m *build.Model, bodies []build.Body) (names []string, by map[string][]build.Body) {
	by = map[string][]build.Body{}
	for _, b := range bodies {
		if b.Stone != nil {
			by[b.Stone.Group] = append(by[b.Stone.Group], b)
		}
	}
	for _, n := range m.Piece.Recipe.Names() {
		if len(by[n]) > 0 {
			names = append(names, n)
		}
	}
	return names, by
}

// stones notes the size of each group at one of its stones, and the radius of
// rings on the circle through their middles.
func (q *measurer) stones() {
	names, by := groups(q.m, q.bodies)
	for _, g := range names {
		block, _ := lang.Find[*piece.Stones](q.m.Piece.Recipe, g)
		all := by[g]
		at := all[0]
		for _, b := range all { // the one nearest to the notes, in the upper half
			if score(b.Place.O) > score(at.Place.O) {
				at = b
			}
		}
		text := across(at)
		if len(all) > 1 {
			text = fmt.Sprintf("%d \u00d7 %s", len(all), text)
		}
		edge := q.bare(at)
		q.front.notes = append(q.front.notes, note{at: drawing.Front.Flat(edge), text: text + " " + block.Name})
		if block.Layout != "ring" || len(all) < 3 {
			continue
		}
		var c vec.P
		for _, b := range all {
			c = c.Add(b.Place.O.Mul(1 / float64(len(all))))
		}
		circle := disc(drawing.Front.Flat(c), block.Radius)
		q.front.rings = append(q.front.rings, circle)
		// between two stones, low on the right
		mid, low, most := drawing.Front.Flat(c), circle[0], -1.0
		for _, p := range circle {
			if f := p.Sub(mid); f.X > 0.5*block.Radius && f.Y < 0 && apart(p, all) > most {
				low, most = p, apart(p, all)
			}
		}
		q.front.notes = append(q.front.notes, note{at: low, text: "R " + figure(block.Radius) + " " + block.Name})
	}
}

func score(p vec.P) float64 { return p.X + 0.8*p.Y }

// apart is how far a place of the front is from the nearest of the stones.
func apart(p vec.P2, all []build.Body) float64 {
	far := math.Inf(1)
	for _, b := range all {
		far = min(far, drawing.Front.Flat(b.Place.O).Sub(p).Len())
	}
	return far
}

// across writes the size of a stone: its diameter, or length by width.
func across(b build.Body) string {
	g := b.Stone.Cut.Girdle()
	if len(g.Loops) == 1 {
		if _, r, ok := g.Loops[0].Circle(); ok {
			return "\u00d8" + figure(2*r)
		}
	}
	s := g.Bounds().Size()
	return figure(max(s.X, s.Y)) + " \u00d7 " + figure(min(s.X, s.Y))
}

// rim is the place on a stone's girdle at a bearing as worn, in the stone's
// frame.
func rim(b build.Body, bearing float64) vec.P {
	way := vec.Bearing(1, bearing)
	own := b.Place.Inverse().Dir(vec.P{X: way.X, Y: way.Y}).XY()
	best, at := math.Inf(-1), vec.P2{}
	for _, l := range polygons(b.Stone.Cut.Girdle()) {
		for _, p := range l {
			if d := p.Dot(own); d > best {
				best, at = d, p
			}
		}
	}
	return at.At(0)
}

// bare is a place on a stone's girdle that is seen from the front, up right if
// it can be; where none is, up right.
func (q *measurer) bare(b build.Body) vec.P {
	for _, degrees := range []float64{45, 60, 30, 75, 15, 90, 105, 120} {
		p := b.Place.Point(rim(b, degrees*math.Pi/180))
		if _, hit := q.metal.Ray(p, drawing.Front.Toward, farAway); !hit {
			return p
		}
	}
	return b.Place.Point(rim(b, math.Pi/4))
}

// farAway is more than any piece is deep, mm (build.MaxSide).
const farAway = 2 * build.MaxSide

// casting returns the casting of the model that an owner's metal belongs to.
func (q *measurer) casting(o piece.Owner) *build.Casting {
	for i := range q.m.Castings {
		if c := &q.m.Castings[i]; c.Of == o.Casting && !c.Mirrored {
			return c
		}
	}
	return nil
}

// place takes the own frame of an owner's part to the piece as worn.
func (q *measurer) place(o piece.Owner) vec.Place {
	return q.m.Worn(q.casting(o)).After(o.Place)
}

// post dimensions the length and the wire of a post on the side.
func (q *measurer) post(o piece.Owner) {
	b, _ := lang.Find[*piece.Post](q.m.Piece.Recipe, o.Address)
	at := q.place(o)
	foot, tip := drawing.Side.Flat(at.Point(vec.P{})), drawing.Side.Flat(at.Point(vec.P{Z: -b.Length}))
	low := vec.P2{Y: -b.Wire / 2}
	if math.Abs(tip.Y-foot.Y) < 0.5*b.Length { // it lies across the view
		q.side.dims = append(q.side.dims, dim{a: foot.Add(low), b: tip.Add(low), text: "post " + figure(b.Length)})
	}
	mid := foot.Lerp(tip, 0.6)
	q.side.notes = append(q.side.notes, note{at: mid.Add(vec.P2{Y: b.Wire / 2}), text: "post \u00d8" + figure(b.Wire)})
}

// ring notes the bore and the wire of a bail or a link, in the view where it is
// seen most nearly as a ring. Equal rings are one note.
func (q *measurer) ring(i int, what string, bore, wire float64) {
	o := q.m.Piece.Owners[i]
	count := 0
	for j, other := range q.m.Piece.Owners {
		if other.Role != o.Role {
			continue
		}
		var b, w float64
		if o.Role == piece.BailRole {
			k, _ := lang.Find[*piece.Bail](q.m.Piece.Recipe, other.Address)
			b, w = k.Bore, k.Wire
		} else {
			k, _ := lang.Find[*piece.Link](q.m.Piece.Recipe, other.Address)
			b, w = k.Bore, k.Wire
		}
		if b == bore && w == wire {
			if j < i {
				return
			}
			count++
		}
	}
	at := q.place(o)
	axis := at.Dir(vec.P{Z: 1})
	v, w := q.front, drawing.Front
	if math.Abs(axis.Dot(drawing.Side.Toward)) > math.Abs(axis.Dot(drawing.Front.Toward)) {
		v, w = q.side, drawing.Side
	}
	out := w.Right.Add(w.Up) // up right, in the ring's own plane
	out = out.Sub(axis.Mul(axis.Dot(out))).Unit()
	text := fmt.Sprintf("%s \u00d8%s inside, wire \u00d8%s", what, figure(bore), figure(wire))
	if count > 1 {
		text = fmt.Sprintf("%d %ss \u00d8%s inside, wire \u00d8%s", count, what, figure(bore), figure(wire))
	}
	v.notes = append(v.notes, note{at: w.Flat(at.O.Add(out.Mul(bore/2 + wire))), text: text})
}

// sheets dimensions plates and galleries on the section, each thickness once.
func (q *measurer) sheets() {
	seen := map[string]bool{}
	for _, o := range q.m.Piece.Owners {
		var from, to float64
		var text string
		switch o.Role {
		case piece.PlateRole:
			b, _ := lang.Find[*piece.Plate](q.m.Piece.Recipe, o.Address)
			from, to, text = 0, -b.Thickness, "plate "+figure(b.Thickness)
		case piece.GalleryRole:
			b, _ := lang.Find[*piece.Gallery](q.m.Piece.Recipe, o.Address)
			p, _ := lang.Find[*piece.Plate](q.m.Piece.Recipe, b.Behind.Address)
			from, to = -p.Thickness, b.Back()
			text = "gallery " + figure(from-to)
		default:
			continue
		}
		c := q.casting(o)
		at := q.m.Worn(c)
		if seen[text] || math.Abs(at.Dir(vec.P{Z: 1}).Z) < 0.999999 {
			continue // said, or it does not face the viewer
		}
		flat := func(z float64) float64 { return drawing.Side.Flat(at.Point(vec.P{Z: z})).X }
		a, okA := q.lowest(flat(from))
		b, okB := q.lowest(flat(to))
		if !okA || !okB {
			continue // the section misses it
		}
		seen[text] = true
		q.section.dims = append(q.section.dims, dim{a: a, b: b, text: text})
	}
}

// lowest returns the lowest place of cut metal at x, where an extension line
// begins.
func (q *measurer) lowest(x float64) (vec.P2, bool) {
	best, found := vec.P2{X: x, Y: math.Inf(1)}, false
	for _, l := range q.section.metal {
		for _, p := range l {
			if math.Abs(p.X-x) < drawing.Slack && p.Y < best.Y {
				best.Y, found = p.Y, true
			}
		}
	}
	return best, found
}
