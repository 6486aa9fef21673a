package piece

import (
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/plate"
)

// eye is where a casting is hung or hangs something: the middle of a hole, or
// of a ring's bore, and half the bore in which the next ring lies.
type eye struct {
	At vec.P   // in the casting's own frame, mm
	R  float64 // mm
}

// hung says how one casting hangs.
type hung struct {
	From int     // the casting that carries it, -1 for none
	Hold eye     // where From carries it, in From's frame
	By   eye     // what it hangs by, in its own frame
	Turn float64 // against what carries it, about the vertical, radians
	Lie  float64 // in its own plane, clockwise, radians: how it lies as worn
}

// hang finds where every casting is when the piece is worn: gravity pulls along
// -y, and each bore rests on the one that carries it, straight below. Castings
// that hang from nothing stay where they were drawn. The needs have no circle
// (lang has seen to that), so order lists carriers before what they carry.
func hang(castings []hung, order []int) []vec.Place {
	poses := make([]vec.Place, len(castings))
	facing := make([]float64, len(castings)) // turn about the vertical so far
	depth := make([]int, len(castings))      // links in the chain above
	for _, i := range order {
		h := castings[i]
		if h.From < 0 {
			poses[i] = vec.TurnZ(-h.Lie)
			continue
		}
		// Quarter turns alternate, so that after an even number of them the
		// piece faces forward again, not backward.
		depth[i] = depth[h.From] + 1
		turn := h.Turn
		if depth[i]%2 == 0 {
			turn = -turn
		}
		facing[i] = facing[h.From] + turn
		rest := poses[h.From].Point(h.Hold.At)
		rest.Y -= h.Hold.R
		poses[i] = vec.Turn(vec.P{Y: 1}, facing[i]).After(vec.TurnZ(-h.Lie))
		by := poses[i].Dir(h.By.At)
		poses[i].O = rest.Sub(by)
		poses[i].O.Y -= h.By.R
	}
	return poses
}

// quarter is the turn between a link and what carries it, unless told
// otherwise: bores that lie across each other hang freely.
const quarter = math.Pi / 2

// eyes drills the plates where links meet them and notes how castings hang.
func (m *maker) eyes() {
	for _, b := range m.file.PoseOrder() {
		switch b := b.(type) {
		case *Link:
			h := &m.lumps[m.byRoot[b.Address]].hung
			h.By = eye{R: b.Bore / 2}
			h.Turn = radians(b.Turn)
			h.From = m.byRoot[b.HangsFrom.Address]
			if p, ok := lang.Find[*Plate](m.file, b.HangsFrom.Address); ok {
				h.Hold = m.drill(b, p, b.At)
			} else if l, ok := lang.Find[*Link](m.file, b.HangsFrom.Address); ok {
				h.Hold = eye{R: l.Bore / 2}
			}
		case *Plate:
			if !b.HangsFrom.Given() {
				continue
			}
			l, _ := lang.Find[*Link](m.file, b.HangsFrom.Address)
			h := &m.lumps[m.byRoot[b.Address]].hung
			h.From = m.byRoot[l.Address]
			h.Hold = eye{R: l.Bore / 2}
			h.Turn = quarter
			h.By = m.drill(l, b, b.HangsAt)
		}
	}
}

// drill makes the eye of l in the plate p at a bearing as worn.
func (m *maker) drill(l *Link, p *Plate, worn float64) eye {
	e := l.eyeIn(p, worn, l.MarginIn(p, m.piece.House))
	c, err := outline.Circle(e.R)
	if err != nil {
		m.fault(l.Address, "eye", err.Error(), "change eye")
		return e
	}
	hole := c.Moved(e.At.XY())
	holes := []outline.Outline{hole}
	for _, o := range lang.All[*Opening](m.file) {
		if o.In.Address == p.Address && o.Form != "under" {
			holes = append(holes, o.edge)
		}
	}
	if _, err := outline.HoleIn(p.edge, holes...); err != nil {
		m.fault(l.Address, "eye", fmt.Sprintf("its eye in %s, at (%.2f, %.2f), does not lie in metal: %v", p.Address, e.At.X, e.At.Y, err),
			"make eye or margin smaller, or hang it at another bearing")
		return e
	}
	if s := m.sheet(p.Address); s != nil {
		s.cuts = append(s.cuts, plate.Through(hole, p.Thickness))
	}
	return e
}
