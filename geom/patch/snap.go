package patch

import (
	"context"
	"math"
	"slices"

	"waxwright/geom/crew"
	"waxwright/geom/sdf"
)

// Surfaces that nearly coincide, touch, or pass through one point make creases
// and faces far smaller than the tolerance, whose points can't be told apart.
// So they are snapped: like surfaces become one, and others are moved until they
// do touch, or do pass through the point. No surface is moved farther than a
// share of the tolerance, by which the mesh is finer, and what is made is
// compared with the field as it was given.

// snapShares are the shares of the tolerance by which surfaces are moved for each
// of these reasons: the first at once, the second where the field is refused, and
// at last none.
var snapShares = [...]float64{0.02, 0.15, 0}

// sharpShare is the share of the tolerance below which a span of an outline is left
// out where its neighbours meet without it.
const sharpShare = 0.1

const (
	// mostSnaps is how often surfaces are moved to where others meet: what moved
	// may make new places. mostTries is how often a field is tried that may be
	// snapped.
	mostSnaps = 2
	mostTries = 5
	// mostShifts is how many times as far as for one reason and once drawn back a
	// surface is moved in all: so far every time.
	mostShifts = mostSnaps
	// mostHeld is how often surfaces that would be moved too far are held fast, and the
	// others moved in their place.
	mostHeld = 4
)

// snapping is a field and what it was snapped to.
type snapping struct {
	given *views
	plain *sdf.Code // the given field, its faces known one by one
	sharp *sdf.Code // the same without corners of next to no radius
	blunt float64   // how far surfaces were moved for that at most
	tol   float64

	faced *sdf.Code // plain or sharp

	tries int
	share int       // of snapShares
	snaps int       // with that share
	first []float64 // by how much surfaces were shifted at first with the last one
	code  *sdf.Code
	to    []int32 // the surface of code that each of faced has become; nil where all are their own
	// how far surfaces were moved, mm: to become one at most, and then each to meet
	// others
	joined  float64
	shifted []float64
	parted  []Touch
	drawn   []pair // the surfaces from which matter was drawn back there
}

func newSnapping(c *sdf.Code, tol float64) *snapping {
	s := &snapping{given: newViews(c), plain: c.Faces(), tol: tol}
	s.sharp = s.plain
	var d *sdf.Code
	if d, s.blunt = c.Sharpened(sharpShare * tol); s.blunt > 0 {
		s.sharp = d.Faces()
	}
	s.join()
	return s
}

// slack is how far surfaces are moved for one reason.
func (s *snapping) slack() float64 { return snapShares[s.share] * s.tol }

// join makes like surfaces one, and takes shifts back, if with this slack they are
// not the same as before.
func (s *snapping) join() (changed bool) {
	from, moved := s.sharp, s.blunt
	if s.slack() == 0 {
		from, moved = s.plain, 0
	}
	code, to, joined := from.Joined(s.slack())
	if s.code != nil && from == s.faced && slices.Equal(to, s.to) {
		return false
	}
	s.faced, s.code, s.to, s.joined = from, code, to, joined+moved
	s.shifted, s.parted, s.drawn = make([]float64, s.code.Surfaces()), nil, nil
	return true
}

// builder returns what meshes the field as it is now.
func (s *snapping) builder(ctx context.Context, o Options) *builder {
	b := &builder{ctx: ctx, code: s.given.code, faced: s.code, tol: o.Tol, workers: crew.Size(o.Workers), views: s.given, given: s.given}
	b.all = b.faced.Whole()
	if s.code != s.plain {
		b.code, b.views = s.code, newViews(s.code)
		b.moved = s.joined + slices.Max(s.shifted)
		b.tol -= b.moved
		b.snapped = s
	}
	return b
}

// next snaps the field that b refused further, if anything is left to be.
func (s *snapping) next(b *builder) bool {
	if b.corners == nil && b.moved == 0 {
		return false // without a chart, or too fine: nothing is known of where surfaces meet
	}
	if s.tries++; s.tries == mostTries {
		return false
	}
	if s.snaps < mostSnaps && s.shift(b) {
		return true
	}
	for s.share+1 < len(snapShares) {
		s.share++
		s.snaps = 0
		if s.join() || s.shift(b) {
			return true
		}
	}
	return false
}

// shift moves surfaces so that they meet, all as little as may be, and reports
// whether any was moved.
func (s *snapping) shift(b *builder) bool {
	if s.slack() == 0 {
		return false
	}
	found := b.meetings(s.slack(), drawBack*s.tol)
	can := s.code.Shifts()
	var by []float64
	for range mostHeld { // until none is moved too far
		by = make([]float64, len(can))
		settle(b.ctx, found, can, by)
		far := false
		for i, v := range by {
			if math.Abs(v)+s.shifted[i] > mostShifts*(s.slack()+drawBack*s.tol) {
				can[i], far = false, true
			}
		}
		if !far {
			break
		}
	}
	any := false
	shifted := slices.Clone(s.shifted)
	for i := range by {
		if !can[i] {
			by[i] = 0
		}
		any = any || math.Abs(by[i]) > exact
		shifted[i] += math.Abs(by[i])
	}
	if s.snaps == 0 {
		if any = any && !slices.Equal(by, s.first); any {
			s.first = by
		}
	}
	if !any {
		return false
	}
	s.snaps++
	code, ok := s.code.Shifted(by)
	if !ok {
		return false
	}
	s.code, s.shifted = code, shifted
	for _, m := range found {
		if m.apart != 0 {
			x, y := b.surf[m.ids[0]].tag, b.surf[m.ids[1]].tag
			s.drawn = append(s.drawn, pair{m.ids[0], m.ids[1]})
			width := math.Abs(m.off)
			if width < sameAxis {
				width = 0
			}
			s.parted = append(s.parted, Touch{m.at, width, [2]uint32{min(x, y), max(x, y)}})
		}
	}
	return true
}

// settle finds the least shifts for which all surfaces meet: Kaczmarz's method,
// which takes each meeting in turn and moves its surfaces until they do (S.
// Kaczmarz, Angenaeherte Aufloesung von Systemen linearer Gleichungen, 1937).
func settle(ctx context.Context, found []meeting, can []bool, by []float64) {
	for range mostSettlings {
		if ctx.Err() != nil {
			return // what was found does not matter any more
		}
		worst := 0.0
		for _, m := range found {
			off, sum := m.off-m.apart, 0.0
			for k, id := range m.ids[:m.n] {
				off -= m.parts[k] * by[id]
				if can[id] {
					sum += m.parts[k] * m.parts[k]
				}
			}
			if sum < leastPart*leastPart {
				continue
			}
			worst = max(worst, math.Abs(off))
			for k, id := range m.ids[:m.n] {
				if can[id] {
					by[id] += off * m.parts[k] / sum
				}
			}
		}
		if worst < settledMeeting {
			break
		}
	}
}

const (
	// mostSettlings is how often each meeting is looked at.
	mostSettlings = 2000
	// settledMeeting in mm ends it: what is left is far below exact.
	settledMeeting = exact / 10
	// leastPart is the least part of a surface that is moved for a meeting: it would go
	// twenty times as far as the meeting is off.
	leastPart = 0.05
)
