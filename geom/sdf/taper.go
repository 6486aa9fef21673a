package sdf

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Taper is a prism with draft: the outline as it stands at Z0, drawn up to Z1
// by walls that lean inwards by the angle Lean (radians from upright; negative
// leans outwards). At the height z the section is the outline offset by
// -(z - Z0) tan Lean: inwards corners stay sharp, outwards they become round.
// Where the walls meet below Z1 the part ends in a ridge or a tip.
//
// The side's function d cos Lean + (z - Z0) sin Lean, of the outline's distance
// d, has the slope 1 wherever d has: the two parts are square to each other.
type Taper struct {
	Outline outline.Outline
	Z0, Z1  float64
	Lean    float64
}

// steepest is the largest lean in radians either way: beyond 85 degrees a wall
// is a floor, and heights lose a tenfold of their digits.
const steepest = 85 * math.Pi / 180

// inset returns how far the outline has moved inwards at Z1.
func (t Taper) inset() float64 { return float64((t.Z1 - t.Z0) * math.Tan(t.Lean)) }

// Dist is the distance, in the half plane of outline distance and height, to
// the section that side, foot and top make.
func (t Taper) Dist(p vec.P) float64 {
	if t.Outline.Empty() {
		return math.Inf(1)
	}
	d, z := t.Outline.Dist(p.XY()), p.Z
	sin, cos := math.Sincos(t.Lean)
	side := float64(d*cos) + float64((z-t.Z0)*sin)
	ends := max(t.Z0-z, z-t.Z1)
	if side <= 0 && ends <= 0 {
		return max(side, ends)
	}
	foot, top := vec.P2{Y: t.Z0}, vec.P2{X: -t.inset(), Y: t.Z1}
	up, q := top.Sub(foot), vec.P2{X: d, Y: z}
	at := min(max(q.Sub(foot).Dot(up)/up.Dot(up), 0), 1)
	return min(
		q.Sub(foot.Lerp(top, at)).Len(),
		corner(max(d, 0), math.Abs(z-t.Z0)),
		corner(max(d-top.X, 0), math.Abs(z-t.Z1)),
	)
}

// Bounds is the box around the larger end, from Z0 to Z1.
func (t Taper) Bounds() vec.Box {
	if t.Outline.Empty() {
		return vec.Empty()
	}
	wide := max(0, -t.inset())
	b := t.Outline.Bounds()
	b.Min, b.Max = b.Min.Sub(vec.P2{X: wide, Y: wide}), b.Max.Add(vec.P2{X: wide, Y: wide})
	return vec.Box{Min: b.Min.At(t.Z0), Max: b.Max.At(t.Z1)}
}

// Exact is inside for walls that lean inwards: the way to the nearest wall runs
// towards the outline and upwards, so it ends on the wall or beyond the top. It
// is outside too where a disc of the inset's radius rolls inside the outline,
// see Prism.Exact. Walls that lean outwards are exact on both sides of a convex
// outline, whose outward normals never meet; at others only a bound.
func (t Taper) Exact() Exact {
	switch {
	case t.Lean == 0:
		return Both
	case t.Lean < 0:
		if isConvex(t.Outline) {
			return Both
		}
		return 0
	case rolls(t.Outline, t.inset()):
		return Both
	}
	return Inside
}

// isConvex reports whether o is one loop without a reflex corner or an arc that
// bends inwards.
func isConvex(o outline.Outline) bool {
	if len(o.Loops) != 1 {
		return false
	}
	spans := o.Loops[0].Spans()
	for i, s := range spans {
		if s.K < 0 || outline.CornerOf(s, spans[(i+1)%len(spans)]) == outline.Reflex {
			return false
		}
	}
	return true
}

// Check reports a height that is not positive, a lean of more than 85 degrees,
// and an outline that is empty or invalid.
func (t Taper) Check() error {
	if err := rising("taper", t.Z0, t.Z1); err != nil {
		return err
	}
	if !(math.Abs(t.Lean) <= steepest) {
		return fmt.Errorf("taper's lean of %g degrees is not between -85 and 85", t.Lean*180/math.Pi)
	}
	if t.Outline.Empty() {
		return errors.New("taper of an empty outline")
	}
	if err := t.Outline.Check(); err != nil {
		return fmt.Errorf("taper: %w", err)
	}
	return nil
}

var _ Field = Taper{}
