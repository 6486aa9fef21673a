package sdf

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Distances of the primitives that outlines and paths make.

// Dist of a prism with sharp edges is the distance to wall, foot, top or
// their edges. Rounded edges are a section through the wall, asked at the
// outline's distance and the height: exact inside; see Exact.
func (s Prism) Dist(p vec.P) float64 {
	d := s.Outline.Dist(p.XY())
	return max(
		roundCorner(d, p.Z-s.Z1, s.RoundTop),
		roundCorner(d, s.Z0-p.Z, s.RoundBottom),
	)
}

// roundCorner is corner with its edge rounded by the radius r.
func roundCorner(u, v, r float64) float64 { return corner(u+r, v+r) - r }

// Bounds is the box around the outline, from Z0 to Z1.
func (s Prism) Bounds() vec.Box {
	if s.Outline.Empty() {
		return vec.Empty()
	}
	b := s.Outline.Bounds()
	return vec.Box{Min: b.Min.At(s.Z0), Max: b.Max.At(s.Z1)}
}

// Exact is both sides of sharp edges. With rounded edges it is inside, and
// outside too where the outline is one smooth convex loop that bends nowhere
// tighter than the edge: a disc of the edge's radius then rolls round freely
// inside (W. Blaschke, Kreis und Kugel, 1916, the rolling theorem). At other
// outlines the rounded edge ends in mitres, near which the value is only a
// lower bound.
func (s Prism) Exact() Exact {
	r := max(s.RoundTop, s.RoundBottom)
	if r <= 0 || rolls(s.Outline, r) {
		return Both
	}
	return Inside
}

// rolls reports whether o is one smooth convex loop with no bend tighter than
// the radius r.
func rolls(o outline.Outline, r float64) bool {
	if len(o.Loops) != 1 {
		return false
	}
	spans := o.Loops[0].Spans()
	for i, s := range spans {
		next := spans[(i+1)%len(spans)]
		if s.K < 0 || s.K*r > 1 || outline.CornerOf(s, next) != outline.Smooth {
			return false
		}
	}
	return true
}

// Check reports a height that is not positive, rounded edges that are negative
// or take more than the height, and an outline that is empty or invalid.
func (s Prism) Check() error {
	if err := cmp.Or(
		rising("prism", s.Z0, s.Z1),
		notNegative("prism's rounded top", s.RoundTop),
		notNegative("prism's rounded bottom", s.RoundBottom),
	); err != nil {
		return err
	}
	if s.RoundTop+s.RoundBottom > s.Z1-s.Z0 {
		return fmt.Errorf("prism's rounded edges %g and %g take more than its height %g", s.RoundTop, s.RoundBottom, s.Z1-s.Z0)
	}
	if s.Outline.Empty() {
		return errors.New("prism of an empty outline")
	}
	if err := s.Outline.Check(); err != nil {
		return fmt.Errorf("prism: %w", err)
	}
	return nil
}

// Dist is the outline's distance in the half plane of rho and z; edges on the
// axis are no surface.
func (r Revolve) Dist(p vec.P) float64 {
	return r.Outline.MeridianDist(vec.P2{X: rhoOf(p), Y: p.Z})
}

// Bounds is the box around the turned outline.
func (r Revolve) Bounds() vec.Box {
	if r.Outline.Empty() {
		return vec.Empty()
	}
	b := r.Outline.Bounds()
	return roundBox(b.Max.X, b.Min.Y, b.Max.Y)
}

// Exact is both sides.
func (r Revolve) Exact() Exact { return Both }

// axisSlack is how far in mm an outline may reach across the axis: roundings.
const axisSlack = 1e-9

// Check reports an outline that is empty, invalid, or reaches across the axis.
func (r Revolve) Check() error {
	if r.Outline.Empty() {
		return errors.New("revolve of an empty outline")
	}
	if err := r.Outline.Check(); err != nil {
		return fmt.Errorf("revolve: %w", err)
	}
	if x := r.Outline.Bounds().Min.X; x < -axisSlack {
		return fmt.Errorf("revolve: the outline reaches %g mm across the axis", -x)
	}
	return nil
}

// spans calls f with the pieces of the path in order.
func (w Wire) spans(f func(outline.Span)) {
	n := len(w.Path)
	if !w.Closed {
		n--
	}
	for i := range n {
		f(outline.NewSpan(w.Path[i].At, w.Path[(i+1)%len(w.Path)].At, w.Path[i].Bulge))
	}
}

// Dist is the distance to the path, less R.
func (w Wire) Dist(p vec.P) float64 {
	d := math.Inf(1)
	w.spans(func(s outline.Span) { d = min(d, s.Near(p.XY()).Dist) })
	return math.Sqrt(float64(d*d)+float64(p.Z*p.Z)) - w.R
}

// Bounds is the box around the wire.
func (w Wire) Bounds() vec.Box {
	b := vec.Empty2()
	w.spans(func(s outline.Span) { b = b.Union(s.Bounds()) })
	if !b.Finite() {
		return vec.Empty()
	}
	return vec.Box{Min: b.Min.At(0), Max: b.Max.At(0)}.Grow(w.R)
}

// Exact is outside. Inside it is exact, too, for a straight wire, an arc of at
// most half a turn and a whole circle, where no bend is tighter than the wire
// is thick; elsewhere the wire may overlap itself.
func (w Wire) Exact() Exact {
	if w.Closed {
		if _, r, ok := outline.Loop(w.Path).Circle(); ok && r >= w.R {
			return Both
		}
		return Outside
	}
	if len(w.Path) == 2 {
		s := outline.NewSpan(w.Path[0].At, w.Path[1].At, w.Path[0].Bulge)
		if s.Line() || s.Radius() >= w.R && math.Abs(s.Sweep) <= math.Pi {
			return Both
		}
	}
	return Outside
}

// Check reports a radius that is not positive, a path of fewer than two
// points, or a piece of it that has no length or is not finite.
func (w Wire) Check() error {
	if err := positive("wire radius", w.R); err != nil {
		return err
	}
	if len(w.Path) < 2 {
		return fmt.Errorf("wire along a path of %d points", len(w.Path))
	}
	i := 0
	var err error
	w.spans(func(s outline.Span) {
		i++
		if err == nil && !(s.Len > 0 && isFinite(s.Len)) {
			err = fmt.Errorf("wire: piece %d of the path from (%g, %g) to (%g, %g), bulge %g, has no length", i, s.A.X, s.A.Y, s.B.X, s.B.Y, s.Bulge)
		}
	})
	return err
}

var _ = []Field{Prism{}, Revolve{}, Wire{}}
