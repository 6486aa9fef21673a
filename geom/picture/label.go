package picture

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strconv"

	"golang.org/x/image/font"

	"waxwright/geom/vec"
)

// Pin is a label pinned to a place: a dot on the place, hollow where a body
// hides it, and a badge beside it. Badges keep clear of each other.
type Pin struct {
	At    vec.P
	Label string      // a number or a few letters
	Color color.NRGBA // of the badge; zero for ink
	On    bool        // the badge stands on the place itself, as numbers of stones do
}

// Legend explains the colours of a scale, at the right edge of the picture.
type Legend struct {
	Title string // as "wall, mm"
	Scale Scale
}

// labelSize is the height of letters for a picture, in pixels.
func labelSize(o Options) float64 { return max(10, float64(min(o.Width, o.Height))/52) }

// legendRoom is what a legend takes of the picture's width, in pixels.
func legendRoom(o Options) float64 { return 8.5 * labelSize(o) }

// annotate draws the legend and the pins.
func annotate(img *image.NRGBA, st *stage, o Options) error {
	if o.Legend == nil && len(o.Pins) == 0 && len(o.List) == 0 {
		return nil
	}
	small, err := fontFace(false, labelSize(o))
	if err != nil {
		return err
	}
	bold, err := fontFace(true, labelSize(o))
	if err != nil {
		return err
	}
	if o.Legend != nil {
		drawLegend(pen{img}, o, small, bold)
	}
	drawList(pen{img}, o, small, bold)
	st.drawPins(pen{img}, bold)
	return nil
}

// drawLegend draws the title, the bar and its values.
func drawLegend(p pen, o Options, small, bold font.Face) {
	s := labelSize(o)
	x := float64(o.Width) - legendRoom(o) + s
	high := float64(o.Height) - listRoom(o)
	top, low := 0.26*high, 0.80*high
	p.write(bold, clipped(bold, o.Legend.Title, legendRoom(o)-1.5*s), x, top-1.6*s, 0, ink)
	sc := o.Legend.Scale
	lo, hi := sc[0].At, sc[len(sc)-1].At
	y := func(v float64) float64 { return low - (v-lo)/(hi-lo)*(low-top) }
	p.box(x-1, top-1, x+1.4*s+1, low+1, ink)
	for r := top; r < low; r++ {
		v := lo + (low-min(r+0.5, low))/(low-top)*(hi-lo)
		p.box(x, r, x+1.4*s, min(r+1, low), sc.Color(v))
	}
	last := math.Inf(1)
	for _, stop := range sc {
		at := y(stop.At)
		if last-at < 1.15*s {
			continue // the values stand too close to be read
		}
		last = at
		p.line(x+1.4*s, at, x+1.9*s, at, 1.2, ink)
		p.write(small, strconv.FormatFloat(stop.At, 'f', 2, 64), x+2.3*s, at+0.36*s, 0, ink)
	}
}

// spot is a pin on the picture.
type spot struct {
	x, y, bx, by, hw, hh float64 // dot, badge, half its size
	hidden               bool
}

// drawPins places and draws all pins, and returns where.
func (st *stage) drawPins(p pen, f font.Face) []spot {
	size := labelSize(st.o)
	spots := make([]spot, len(st.o.Pins))
	for i, pin := range st.o.Pins {
		s := &spots[i]
		s.x, s.y, _ = st.cam.Project(pin.At)
		s.hh = 0.92 * size
		s.hw = max(s.hh, width(f, pin.Label)/2+0.55*size)
		s.hidden = st.hidden(pin.At)
	}
	for i := range spots {
		if st.o.Pins[i].On {
			spots[i].bx, spots[i].by = spots[i].x, spots[i].y
		} else {
			st.seat(spots, i)
		}
	}
	for i, s := range spots { // all leaders below all badges
		c := st.o.Pins[i].ink()
		d := math.Hypot(s.bx-s.x, s.by-s.y)
		if d > 0 {
			p.line(s.x, s.y, s.bx, s.by, 0.16*size+1.6, sheet)
			p.line(s.x, s.y, s.bx, s.by, 0.10*size, c)
		}
		p.badge(s.x, s.y, 0.34*size, 0.34*size, sheet)
		p.badge(s.x, s.y, 0.25*size, 0.25*size, c)
		if s.hidden {
			p.badge(s.x, s.y, 0.13*size, 0.13*size, sheet)
		}
	}
	for i, s := range spots {
		c := st.o.Pins[i].ink()
		p.badge(s.bx, s.by, s.hw+1.5, s.hh+1.5, sheet)
		p.badge(s.bx, s.by, s.hw, s.hh, c)
		p.write(f, st.o.Pins[i].Label, s.bx, s.by+0.36*size, 0.5, sheet)
	}
	return spots
}

func (p Pin) ink() color.NRGBA {
	if p.Color.A == 0 {
		return ink
	}
	return p.Color
}

// hidden reports whether a body stands well before the place: places within a
// wall count as seen.
func (st *stage) hidden(p vec.P) bool {
	r := st.tent.radius
	d := st.cam.sight(p)
	o := p.Sub(d.Mul(3 * r))
	h := st.tree.first(o, d)
	return h.tri >= 0 && 3*r-float64(h.t) > 0.06*r
}

// seat finds the place for badge i: near its dot, outward from the picture's
// middle, clear of the badges before it and of all dots.
func (st *stage) seat(spots []spot, i int) {
	s := &spots[i]
	out := math.Atan2(s.y-st.cam.Y, s.x-st.cam.X)
	best := math.Inf(1)
	s.bx, s.by = s.x, s.y
	for _, reach := range []float64{2.2, 3.2, 4.5, 6.5, 9} {
		for k := range 24 {
			turn := float64((k+1)/2) * math.Pi / 12 * float64(1-2*(k%2))
			sin, cos := math.Sincos(out + turn)
			x, y := s.x+reach*s.hh*cos, s.y+reach*s.hh*sin
			if cost := reach + 2*math.Abs(turn) + st.crowding(spots, i, x, y); cost < best {
				best, s.bx, s.by = cost, x, y
			}
		}
	}
}

// crowding is how much badge i at x, y is in the way.
func (st *stage) crowding(spots []spot, i int, x, y float64) float64 {
	s := &spots[i]
	cost := 0.0
	if x-s.hw < 2 || y-s.hh < 2 || x+s.hw > float64(st.o.Width)-2 || y+s.hh > float64(st.o.Height)-listRoom(st.o)-2 {
		cost += 1000
	}
	gap := 0.3 * s.hh
	for j := range spots {
		o := &spots[j]
		if j != i && math.Abs(o.x-x) < s.hw+gap && math.Abs(o.y-y) < s.hh+gap {
			cost += 30
		}
		if j >= i {
			continue
		}
		if math.Abs(o.bx-x) < s.hw+o.hw+gap && math.Abs(o.by-y) < s.hh+o.hh+gap {
			cost += 300
		}
		if crosses(s.x, s.y, x, y, o.x, o.y, o.bx, o.by) {
			cost += 40
		}
	}
	return cost
}

// crosses reports whether two leaders cross.
func crosses(ax, ay, bx, by, cx, cy, dx, dy float64) bool {
	side := func(px, py, qx, qy, x, y float64) bool { return (qx-px)*(y-py) > (qy-py)*(x-px) }
	return side(ax, ay, bx, by, cx, cy) != side(ax, ay, bx, by, dx, dy) &&
		side(cx, cy, dx, dy, ax, ay) != side(cx, cy, dx, dy, bx, by)
}

// checkLabels reports labels that cannot be drawn.
func (o Options) checkLabels() error {
	if o.Legend != nil {
		if err := o.Legend.Scale.check(); err != nil {
			return fmt.Errorf("legend: %w", err)
		}
		if legendRoom(o) > 0.6*float64(o.Width) {
			return fmt.Errorf("a picture %d pixels wide has no room for a legend", o.Width)
		}
	}
	if err := o.checkList(); err != nil {
		return err
	}
	if len(o.Pins) > maxPins {
		return fmt.Errorf("%d pins are more than %d", len(o.Pins), maxPins)
	}
	for i, p := range o.Pins {
		if !p.At.Finite() {
			return fmt.Errorf("pin %d, %q, is at %v", i, p.Label, p.At)
		}
	}
	return nil
}

const maxPins = 500
