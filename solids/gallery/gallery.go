// Package gallery makes the open metalwork behind a plate: a rim that keeps
// culets off the skin, the pillars that carry it, and bars across.
package gallery

import (
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Gallery stands behind a plate whose back lies at z = Back. Its wall follows
// the plate's outer outline; windows pierce the wall between plate and rim.
type Gallery struct {
	Outline   outline.Outline // the plate's outer outline, mm
	Back      float64         // z of the plate's back, mm
	Depth     float64         // from the plate's back to the rim's back, mm
	Inset     float64         // from the plate's edge to the wall, mm
	Rim       float64         // width of the wall, mm
	Thickness float64         // of the rim and of the bars, front to back, mm
	Windows   int             // between as many pillars
	Pillar    float64         // width of a pillar, mm
	Phase     float64         // bearing of the first pillar, radians
	Bars      int             // straight bars from wall to wall, 0, 1 or 2
	Bar       float64         // width of a bar, mm
	Root      float64         // how far the pillars reach into the plate, mm
}

// Field returns the gallery's metal. It fails when a size is not positive,
// the windows have no height, or the wall does not fit into the outline.
func (g Gallery) Field() (sdf.Field, error) {
	switch {
	case !(g.Rim > 0 && g.Thickness > 0 && g.Inset >= 0):
		return nil, fmt.Errorf("gallery rim %.4g, thickness %.4g, inset %.4g: sizes have to be positive", g.Rim, g.Thickness, g.Inset)
	case g.Windows < 1 || !(g.Pillar > 0):
		return nil, fmt.Errorf("gallery with %d windows and pillars %.4g wide", g.Windows, g.Pillar)
	case !(g.Depth > g.Thickness):
		return nil, fmt.Errorf("a rim %.4g thick leaves no window in a gallery %.4g deep", g.Thickness, g.Depth)
	case g.Bars < 0 || g.Bars > 2 || g.Bars > 0 && !(g.Bar > 0):
		return nil, fmt.Errorf("gallery with %d bars %.4g wide", g.Bars, g.Bar)
	}
	outer, err := g.Outline.Offset(-g.Inset)
	if err != nil {
		return nil, fmt.Errorf("gallery wall, outside: %w", err)
	}
	inner, err := g.Outline.Offset(-g.Inset - g.Rim)
	if err != nil {
		return nil, fmt.Errorf("gallery wall, inside: %w", err)
	}
	if len(outer.Loops) != 1 || len(inner.Loops) != 1 {
		return nil, fmt.Errorf("a wall %.4g wide, %.4g in from the edge, does not fit behind the plate", g.Rim, g.Inset)
	}
	low, high := g.Back-g.Depth, g.Back+g.Root
	bodies := sdf.Union{ // what stays of the wall: the rim, and a pillar at each bearing
		sdf.HalfSpace{N: vec.P{Z: 1}, D: low + g.Thickness},
	}
	far := reach(outer)
	for i := range g.Windows {
		b := g.Phase + 2*math.Pi*float64(i)/float64(g.Windows)
		bodies = append(bodies, box(b, g.Pillar, 0, far, low-proud, high+proud))
	}
	wall := sdf.Intersection{
		sdf.Difference{
			From: sdf.Prism{Outline: outer, Z0: low, Z1: high},
			Cut:  []sdf.Field{sdf.Prism{Outline: inner, Z0: low - proud, Z1: high + proud}},
		},
		bodies,
	}
	if g.Bars == 0 {
		return wall, nil
	}
	all := sdf.Union{wall}
	within := sdf.Prism{Outline: outer, Z0: low, Z1: low + g.Thickness}
	for i := range g.Bars {
		bar := box(g.Phase+math.Pi/2*float64(i), g.Bar, -far, far, low-proud, high+proud)
		all = append(all, sdf.Intersection{within, bar})
	}
	return all, nil
}

// box is a straight bar of the given width along the bearing b, from the
// distance r0 to r1 from the middle and from z0 to z1.
func box(b, width, r0, r1, z0, z1 float64) sdf.Field {
	bar := sdf.Box{Half: vec.P{X: width / 2, Y: (r1 - r0) / 2, Z: (z1 - z0) / 2}}
	middle := vec.Shift(vec.P{Y: (r0 + r1) / 2, Z: (z0 + z1) / 2})
	return sdf.At(bar, vec.TurnZ(-b).After(middle))
}

// reach is the greatest distance of the outline from the middle, and a little.
func reach(o outline.Outline) float64 {
	b := o.Bounds()
	return math.Hypot(max(-b.Min.X, b.Max.X), max(-b.Min.Y, b.Max.Y)) + proud
}

// proud is how far a cutter stands out of what it cuts, in mm. Any positive
// length gives the same metal.
const proud = 0.5
