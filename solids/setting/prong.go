package setting

import (
	"fmt"
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/solids/stone"
)

// Prong is a round wire with a domed tip.
type Prong struct {
	Axis vec.P2  // where it stands, mm
	Wire float64 // diameter, mm
	Foot float64 // z of its foot, mm
	Tip  float64 // z of the top of the dome to set, mm
}

// Field returns the prong's metal to set: straight.
func (p Prong) Field() (sdf.Field, error) {
	if !(p.Wire > 0) {
		return nil, fmt.Errorf("prong wire %.4g is not positive", p.Wire)
	}
	if !(p.Tip-p.Foot > p.Wire) {
		return nil, fmt.Errorf("prong from z %.4g to %.4g is shorter than its wire of %.4g is thick", p.Foot, p.Tip, p.Wire)
	}
	return p.stem(p.Tip - p.Wire/2), nil
}

// stem is the straight wire, domed about the point z of its axis.
func (p Prong) stem(z float64) sdf.Field {
	r := p.Wire / 2
	return sdf.Intersection{
		sdf.Capsule{A: p.Axis.At(p.Foot - 2*r), B: p.Axis.At(z), R: r},
		sdf.HalfSpace{N: vec.P{Z: -1}, D: -p.Foot},
	}
}

// Held is a stone in its place in the frame of what holds it.
type Held struct {
	Stone stone.Cut
	At    vec.Place // from the stone's own frame
}

// Set returns the prong's metal once the stones are set: a seat cut into it
// for each stone of over that it reaches, its tip folded over each of their
// crowns and domed, at Rise and Contact. Where the wire is too thin for both,
// the tip stands lower and keeps its contact. It fails if the prong reaches
// none of the stones.
func (p Prong) Set(over ...Held) (sdf.Field, error) {
	if _, err := p.Field(); err != nil {
		return nil, err
	}
	r, top := p.Wire/2, math.Inf(-1)
	var metal sdf.Union
	var seats []sdf.Field
	for _, h := range over {
		f, ok := p.fold(h)
		if !ok {
			continue
		}
		top = max(top, f.bend.Z+f.ball+crest*r-r)
		if f.bend != f.end {
			metal = append(metal, sdf.Intersection{
				sdf.Capsule{A: f.bend, B: f.end, R: f.ball},
				f.floor,
			})
		}
		seats = append(seats, sdf.At(h.Stone.Seat(0), h.At))
	}
	if len(seats) == 0 {
		return nil, fmt.Errorf("the prong at (%.4g, %.4g) reaches over none of its stones", p.Axis.X, p.Axis.Y)
	}
	metal = append(metal, p.stem(top))
	return sdf.Difference{From: metal, Cut: seats}, nil
}

// Reaches says whether the wire stands under or over the edge of the stone.
func (p Prong) Reaches(h Held) bool {
	_, ok := p.fold(h)
	return ok
}

// Rise returns how high the tip stands over the girdle of a stone once it is
// folded over it, as a share of the height of the crown; ok is false if the wire
// does not reach the stone.
func (p Prong) Rise(h Held) (share float64, ok bool) {
	f, ok := p.fold(h)
	if !ok {
		return 0, false
	}
	g, top := h.Stone.GirdleTop(), h.Stone.Top()
	return (h.At.Local(f.bend).Z + f.ball + crest*p.Wire/2 - g) / (top - g), true
}

// The folded part of a tip is filed slimmer than the wire: to at most slimmest
// of its radius, and to snug of where the girdle cuts the wire, so that it
// grows out of the upright wire over the stone and not beside it. The dome over
// the bend stands above it by the share crest of the radius. All three chosen
// by eye, and so that no two surfaces touch in passing, which no mesh draws
// well.
const (
	slimmest = 0.80
	snug     = 0.80
	crest    = 0.10
)

// fold is how a tip lies over one stone.
type fold struct {
	bend, end vec.P         // of the axis of the folded part
	ball      float64       // its radius, mm
	floor     sdf.HalfSpace // it lies over the middle of the girdle
}

// fold finds how the tip lies over h; bend and end are the same where the
// upright wire covers enough. ok is false if the wire does not reach the stone.
//
// In the stone's frame, seen from the side: the dome has its top at Rise, and
// the ball at the end passes through the point of the crown at Contact.
func (p Prong) fold(h Held) (f fold, ok bool) {
	r := p.Wire / 2
	foot := h.At.Local(p.Axis.At(0))
	up := h.At.LocalDir(vec.P{Z: 1})
	if !(up.Z > 0) {
		return f, false
	}
	axisAt := func(z float64) vec.P { return foot.Add(up.Mul((z - foot.Z) / up.Z)) }

	g, top := h.Stone.GirdleTop(), h.Stone.Top()
	beside := axisAt(g).XY()
	if beside.Len() == 0 {
		return f, false
	}
	c := crownOf(h.Stone, beside.Unit())
	away, edge := beside.Len(), c.at(0).X
	if away-r >= edge {
		return f, false
	}
	f.ball = slimmest * r
	wide := r // of the wire where the girdle cuts it, perhaps in its dome
	if over := r - Rise*(top-g); over > 0 {
		wide = math.Sqrt(max(0, float64((r-over)*(r+over))))
	}
	if in := (float64(away*away) + float64(wide*wide) - float64(edge*edge)) / (2 * away); in > 0 { // to the chord of both circles
		f.ball = min(f.ball, snug*math.Sqrt(max(0, float64((wide-in)*(wide+in)))))
	}
	touch := c.at(Contact)
	z := min(g+Rise*(top-g)-crest*r-f.ball, touch.Y+lowest*f.ball)
	bend := axisAt(z)
	out := touch.X + math.Sqrt(max(0, float64(f.ball*f.ball)-float64((touch.Y-z)*(touch.Y-z))))
	f.bend = h.At.Point(bend)
	f.end = f.bend
	if away = bend.XY().Len(); out < away {
		f.end = h.At.Point(bend.XY().Mul(out / away).At(z))
	}
	n := h.At.Dir(vec.P{Z: -1})
	f.floor = sdf.HalfSpace{N: n, D: n.Dot(h.At.Point(vec.P{Z: g / 2}))}
	return f, true
}

// lowest is how far under the middle of its ball, as a share of the radius, a
// tip may touch the crown: lower, a thin wire would lie on it by a hair only.
const lowest = 0.9
