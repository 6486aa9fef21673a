package draft

import (
	"context"
	"fmt"

	"waxwright/geom/drawing"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
)

// Options say how large a drawing may be. The zero Options are those of a
// sheet of A4 across.
type Options struct {
	Width, Height float64 // room on paper, mm; 0: 180 and 120
}

func (o Options) room() (w, h float64, err error) {
	w, h = o.Width, o.Height
	if w == 0 {
		w = 180
	}
	if h == 0 {
		h = 120
	}
	if !(w >= 40 && w <= 2000 && h >= 40 && h <= 2000) {
		return 0, 0, fmt.Errorf("draft: no room of %g x %g mm: 40 to 2000 each way are drawn", w, h)
	}
	return w, h, nil
}

// scales are those of ISO 5455, largest first, and between them plain numbers:
// jewels are small, and so are sheets.
var scales = []float64{20, 15, 10, 8, 6, 5, 4, 3, 2.5, 2, 1.5, 1, 0.5, 0.2, 0.1}

// Views draws the model of a piece to scale, front, right side (third angle,
// ISO 5456-2), and a section through its deepest stone, or through its middle
// where it has none, with its dimensions.
// The finished piece is what should be drawn: dimensions are those of the
// recipe, and metal for casting stands prouder by the growth for its finish. Of
// a pair the first is drawn. It fails when the room is too small for any scale,
// and when ctx ends.
func Views(ctx context.Context, m *build.Model, o Options) (*Drawing, error) {
	width, height, err := o.room()
	if err != nil {
		return nil, err
	}
	bodies := m.Bodies(false)
	front, err := look(ctx, bodies, drawing.Front, "front")
	if err != nil {
		return nil, err
	}
	side, err := look(ctx, bodies, drawing.Side, "right side")
	if err != nil {
		return nil, err
	}
	views := []*view{front, side}
	at := front.box.Center().X // of a piece without stones, its middle
	if stone, ok := deepest(bodies); ok {
		at = stone.X
	}
	section, err := cutAt(bodies, drawing.Side, at, "A\u2013A")
	if err != nil {
		return nil, err
	}
	if section.box.Finite() {
		front.cut = &at
		views = append(views, section)
	} else {
		section = nil
	}
	measure(m, bodies, front, side, section)
	for _, k := range scales {
		if p := arrange(views, k, width, height); p != nil {
			return p.drawing(k), nil
		}
	}
	return nil, fmt.Errorf("draft: %g x %g mm of paper are too small for the drawing", width, height)
}

// deepest returns the middle of the stone that reaches deepest under its
// girdle: the first of those that do.
func deepest(bodies []build.Body) (vec.P, bool) {
	deep, at, found := -1.0, vec.P{}, false
	for _, b := range bodies {
		if b.Stone != nil && b.Stone.Cut.Deep() > deep {
			deep, at, found = b.Stone.Cut.Deep(), b.Place.O, true
		}
	}
	return at, found
}

// viewsApart is the air between views, mm.
const viewsApart = 8

// arrange sets the views side by side, or the last below the others, or each
// below the other, at scale k, with the scale bar at the foot. It returns nil where the room is too small.
func arrange(views []*view, k, width, height float64) *plan {
	if w := float64(views[0].box.Size().X) * k; w > width {
		return nil
	}
	plans := make([]*plan, len(views))
	for i, v := range views {
		if plans[i] = v.plan(k); plans[i] == nil {
			return nil
		}
	}
	last := len(plans) - 1
	rows := [][][]*plan{{plans}, {plans[:last], plans[last:]}, nil}
	for _, p := range plans {
		rows[2] = append(rows[2], []*plan{p})
	}
	for _, rows := range rows {
		whole := stack(rows)
		whole.bar(k)
		if s := whole.box.Size(); s.X <= width && s.Y <= height {
			return whole
		}
	}
	return nil
}

// stack sets rows of views one below the other. In a row all share the line
// y = 0 of the model, as views do that are projected from each other.
func stack(rows [][]*plan) *plan {
	whole := newPlan()
	for _, row := range rows {
		if len(row) == 0 {
			continue
		}
		line := newPlan()
		x := 0.0
		for _, p := range row {
			line.merge(p, vec.P2{X: x - p.box.Min.X})
			x += p.box.Size().X + viewsApart
		}
		d := vec.P2{}
		if whole.box.Finite() {
			d.Y = whole.box.Min.Y - viewsApart - line.box.Max.Y
		}
		whole.merge(line, d)
	}
	return whole
}

// bar draws a true scale bar under all, and says the scale.
func (p *plan) bar(k float64) {
	long := 50.0
	for _, l := range []float64{20, 10, 5, 2, 1} {
		if long*k > 45 {
			long = l
		}
	}
	o := vec.P2{X: p.box.Min.X, Y: p.box.Min.Y - 7}
	const high = 0.9
	const bits = 5
	for i := range bits {
		a := o.Add(vec.P2{X: long * k * float64(i) / bits})
		b := o.Add(vec.P2{X: long * k * float64(i+1) / bits, Y: high})
		if i%2 == 0 {
			p.add(area{loops: [][]vec.P2{{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}}, fill: ink})
		}
	}
	end := o.Add(vec.P2{X: long * k})
	p.line(narrow, o, end, end.Add(vec.P2{Y: high}), o.Add(vec.P2{Y: high}), o)
	ratio := figure(k) + " : 1"
	if k < 1 {
		ratio = "1 : " + figure(1/k)
	}
	p.text(label{
		text: figure(long) + " mm;  scale " + ratio + ", lengths in mm", height: small, ink: ink,
		at: vec.P2{X: end.X + 2, Y: o.Y + (high-small)/2},
	})
}
