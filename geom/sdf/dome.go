package sdf

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Dome is a plate of any outline whose face is part of a ball: highest, at Z1,
// over the point Crown and lower by Rise at the outline's farthest point from
// there. Its back lies at Z0 under the crown; BackRise domes it, too: positive
// bulges it down there as the face bulges up, so that the rim is thinner than
// the middle, negative hollows it, so that the plate is a bowed sheet. A rise
// of 0 is flat.
//
// Every surface is a distance (of the outline, of a ball, of a plane), so the
// slope of their maximum is at most 1.
type Dome struct {
	Outline        outline.Outline
	Z0, Z1         float64
	Rise, BackRise float64
	Crown          vec.P2
}

// ballOf returns the radius of the ball whose cap of the given height has the
// given radius (from Pythagoras: r^2 = a^2 + (r - h)^2).
func ballOf(reach, rise float64) float64 {
	return (float64(reach*reach) + float64(rise*rise)) / (2 * rise)
}

// bullet is all points within r of the half line down (side -1) or up (side 1)
// from o: a ball that does not close under a thick plate.
type bullet struct {
	o    vec.P
	r    float64
	side float64
}

func (b bullet) dist(p vec.P) float64 {
	w := p.Sub(b.o)
	if w.Z*b.side > 0 {
		w.Z = 0
	}
	return w.Len() - b.r
}

// face returns what the face is the top of; only if it is domed.
func (d Dome) face() bullet {
	r := ballOf(d.Outline.Reach(d.Crown), d.Rise)
	return bullet{d.Crown.At(d.Z1 - r), r, -1}
}

// back returns what the back is the bottom of, or what is hollowed out of it.
func (d Dome) back() bullet {
	r := ballOf(d.Outline.Reach(d.Crown), math.Abs(d.BackRise))
	if d.BackRise < 0 {
		return bullet{d.Crown.At(d.Z0 - r), r, -1}
	}
	return bullet{d.Crown.At(d.Z0 + r), r, 1}
}

// Dist is the greatest of the distances to rim, face and back.
func (d Dome) Dist(p vec.P) float64 {
	if d.Outline.Empty() {
		return math.Inf(1)
	}
	v := d.Outline.Dist(p.XY())
	if d.Rise > 0 {
		v = max(v, d.face().dist(p))
	} else {
		v = max(v, p.Z-d.Z1)
	}
	switch {
	case d.BackRise > 0:
		v = max(v, d.back().dist(p))
	case d.BackRise < 0:
		v = max(v, -d.back().dist(p))
	default:
		v = max(v, d.Z0-p.Z)
	}
	return v
}

// Bounds is the box around the outline, from the lowest point of the back to
// the crown.
func (d Dome) Bounds() vec.Box {
	if d.Outline.Empty() {
		return vec.Empty()
	}
	b := d.Outline.Bounds()
	return vec.Box{Min: b.Min.At(d.Z0 + min(0, d.BackRise)), Max: b.Max.At(d.Z1)}
}

// Exact is inside.
func (d Dome) Exact() Exact { return Inside }

// Check reports a plate that is not thicker than 0 in the middle and at the
// outline's farthest point, a rise that is negative or not less than the way to
// that point (a half ball is the most), a crown that is not finite, and an
// outline that is empty or invalid.
func (d Dome) Check() error {
	if err := cmp.Or(
		rising("dome", d.Z0, d.Z1),
		notNegative("dome's rise", d.Rise),
		finite("dome's crown", d.Crown.At(d.BackRise)),
	); err != nil {
		return err
	}
	if d.Outline.Empty() {
		return errors.New("dome of an empty outline")
	}
	if err := d.Outline.Check(); err != nil {
		return fmt.Errorf("dome: %w", err)
	}
	if far := d.Outline.Reach(d.Crown); d.Rise >= far || math.Abs(d.BackRise) >= far {
		return fmt.Errorf("dome's rises %g and %g have to be less than the %g mm from crown to rim", d.Rise, d.BackRise, far)
	}
	if rim := d.Z1 - d.Rise - d.Z0 - d.BackRise; rim <= 0 {
		return fmt.Errorf("dome's rim is %g mm thick: the rises %g and %g take more than the height %g", rim, d.Rise, d.BackRise, d.Z1-d.Z0)
	}
	return nil
}

var _ Field = Dome{}
