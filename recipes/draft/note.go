package draft

import (
	"cmp"
	"slices"

	"waxwright/geom/vec"
)

// note is a text about a place of a view, which a leader points at. at is in
// mm of the model.
type note struct {
	at   vec.P2
	text string
	bare bool // a number: no line under it, and the leader begins with a dot on a surface, not with an arrow
}

const (
	noteAway  = 6.0 // from the view to the column of notes
	notePitch = 4.2 // between the lines of a column, at the least
	barePitch = 2.7 // of a column of numbers
	noteRise  = 3.0 // of a leader, where there is room: it is to lie along no edge
	noteShelf = 0.9 // from the line under a note to its baseline
)

// annotate writes notes in a column to the right of the view, or to its left,
// each on a line of its own that runs out into a leader. Leaders do not cross:
// two that would change places, which shortens both together. It says whether
// all had room.
func (p *plan) annotate(notes []note, view vec.Box2, k float64, leftwards bool) bool {
	if len(notes) == 0 {
		return true
	}
	slices.SortStableFunc(notes, func(a, b note) int { return cmp.Compare(b.at.Y, a.at.Y) })
	x, side := view.Max.X+noteAway, 1.0
	if leftwards {
		x, side = view.Min.X-noteAway, -1
	}
	ys := spread(notes, k, view)
	for range notesTries { // away from the view, until all have room
		if p.column(notes, k, x, side, ys) {
			return true
		}
		x += 2 * side
	}
	return false
}

// notesTries bounds the search for room for a column.
const notesTries = 20

// column writes the notes if all have room, else it leaves the plan as it was.
func (p *plan) column(notes []note, k, x, side float64, ys []float64) bool {
	ys = slices.Clone(ys)
	before := *p
	leader := func(i int) segment { return segment{notes[i].at.Mul(k), vec.P2{X: x, Y: ys[i]}} }
	for swapped := true; swapped; {
		swapped = false
		for i := range notes {
			for j := i + 1; j < len(notes); j++ {
				if leader(i).cross(leader(j)) {
					ys[i], ys[j] = ys[j], ys[i]
					swapped = true
				}
			}
		}
	}
	for i, n := range notes {
		l := label{text: n.text, height: small, ink: ink}
		s := leader(i)
		end := s.b.Add(vec.P2{X: side * (l.width() + 0.6)})
		l.at = vec.P2{X: min(s.b.X, end.X) + 0.3, Y: s.b.Y + noteShelf}
		if n.bare { // the number beside the end of its leader
			l = l.centred(s.b.Add(vec.P2{X: side * (l.width()/2 + 0.6)}))
			end = s.b
		}
		if !p.room(l.box()) || !p.passes(s) || !p.passes(segment{s.b, end}) {
			*p = before
			return false
		}
		p.line(narrow, s.a, s.b, end)
		if n.bare {
			p.add(area{loops: [][]vec.P2{disc(s.a, 0.25)}, fill: ink})
		} else {
			p.arrow(s.a, s.b)
		}
		p.text(l)
	}
	return true
}

// spread gives each note, from the top down, a line of its own near its place:
// pushed down where they are too close, then up where they have left the view.
func spread(notes []note, k float64, view vec.Box2) []float64 {
	ys := make([]float64, len(notes))
	top := view.Max.Y + noteRise
	pitch := notePitch
	if notes[0].bare {
		pitch = barePitch
	}
	for i, n := range notes {
		ys[i] = min(n.at.Y*k+noteRise, top)
		top = ys[i] - pitch
	}
	low := min(view.Min.Y, view.Center().Y-pitch*float64(len(ys)-1)/2) // a column too long hangs out both ways
	for i := len(ys) - 1; i >= 0 && ys[i] < low; i-- {
		ys[i] = low
		low += pitch
	}
	return ys
}
