package sdf

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Shifted is all points whose distance from Of is at most By: Of grown (By
// positive) or shrunk. It is what Offset returns for solids that have no
// simpler name; made by hand it may claim more than it holds, see Check.
type Shifted struct {
	Of Field
	By float64
}

// Dist is Of's, less By.
func (s Shifted) Dist(p vec.P) float64 { return s.Of.Dist(p) - s.By }

// Bounds is Of's box, every side moved by By.
func (s Shifted) Bounds() vec.Box {
	b := s.Of.Bounds()
	if b.IsEmpty() {
		return b
	}
	return b.Grow(s.By)
}

// Exact keeps the side to which the surface moves: from there the way to Of's
// surface passes the new one.
func (s Shifted) Exact() Exact {
	if s.By >= 0 {
		return s.Of.Exact() & Outside
	}
	return s.Of.Exact() & Inside
}

// Check reports a distance that is not finite, and a field that is not exact on
// the side to which its surface is moved.
func (s Shifted) Check() error {
	if s.Of == nil {
		return errors.New("offset of no field")
	}
	if !isFinite(s.By) {
		return fmt.Errorf("offset by %g is not finite", s.By)
	}
	if c, ok := s.Of.(checker); ok {
		if err := c.Check(); err != nil {
			return fmt.Errorf("offset: %w", err)
		}
	}
	switch e := s.Of.Exact(); {
	case s.By > 0 && e&Outside == 0:
		return fmt.Errorf("offset of %T by %g mm: its distances are not exact outside, only a lower bound", s.Of, s.By)
	case s.By < 0 && e&Inside == 0:
		return fmt.Errorf("offset of %T by %g mm: its distances are not exact inside, only a lower bound", s.Of, s.By)
	}
	return nil
}

// Offset returns the solid whose surface lies |d| mm from f's: outside it for
// positive d, inside for negative d. Outwards edges become round.
//
// f needs to be exact on that side, else the error says which part is not. A
// union moved outwards and an intersection moved inwards are moved part by
// part, a difference inwards too. It fails also where nothing is left.
func Offset(f Field, d float64) (Field, error) {
	if err := (Shifted{f, d}).Check(); err != nil {
		return nil, err
	}
	if d == 0 {
		return f, nil
	}
	g, err := moved(f, d)
	if err != nil {
		return nil, err
	}
	if g.Bounds().IsEmpty() {
		return nil, nothingLeft(f, d)
	}
	return g, nil
}

// Shell returns the wall of thickness |t| mm along f's surface: outside it for
// positive t, inside for negative t. It is the difference of f and its Offset
// and fails where that does.
func Shell(f Field, t float64) (Field, error) {
	if t == 0 {
		return nil, errors.New("shell of thickness 0")
	}
	g, err := Offset(f, t)
	if err != nil {
		return nil, fmt.Errorf("shell: %w", err)
	}
	if t > 0 {
		return Difference{From: g, Cut: []Field{f}}, nil
	}
	return Difference{From: f, Cut: []Field{g}}, nil
}

func nothingLeft(f Field, d float64) error {
	return fmt.Errorf("offset of %T by %g mm leaves nothing", f, d)
}

// moved is Offset of a checked field; its result may be empty.
func moved(f Field, d float64) (Field, error) {
	switch f := f.(type) {
	case Tagged:
		g, err := Offset(f.Of, d)
		return Tagged{g, f.Tag}, err
	case Placed:
		g, err := Offset(f.Of, d)
		return Placed{g, f.By}, err
	case Shifted:
		if f.By*d > 0 {
			return Offset(f.Of, f.By+d)
		}
	case Union:
		if d > 0 || len(f) == 1 {
			g, err := movedAll(f, d)
			return Union(g), err
		}
	case Intersection:
		if d < 0 || len(f) == 1 {
			g, err := movedAll(f, d)
			return Intersection(g), err
		}
	case Difference:
		return movedDifference(f, d)
	}
	if d < 0 {
		return shrunk(f, -d)
	}
	return grown(f, d)
}

func movedAll(fs []Field, d float64) ([]Field, error) {
	out := make([]Field, len(fs))
	for i, f := range fs {
		var err error
		if out[i], err = Offset(f, d); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func movedDifference(f Difference, d float64) (Field, error) {
	from, err := Offset(f.From, d)
	if err != nil || len(f.Cut) == 0 {
		return from, err
	}
	cut, err := movedAll(f.Cut, -d)
	return Difference{From: from, Cut: cut}, err
}

// grown returns the solid within d of f, by its own name where it has one.
func grown(f Field, d float64) (Field, error) {
	switch f := f.(type) {
	case HalfSpace:
		return HalfSpace{f.N, f.D + d}, nil
	case Sphere:
		return Sphere{f.R + d}, nil
	case Torus:
		return Torus{f.Major, f.Minor + d}, nil
	case Capsule:
		return Capsule{f.A, f.B, f.R + d}, nil
	case Wire:
		f.R += d
		return f, nil
	case Box:
		o, err := outline.RoundedRect(2*f.Half.X, 2*f.Half.Y, 0)
		if err != nil {
			return nil, fmt.Errorf("offset of a box: %w", err)
		}
		return grown(Prism{Outline: o, Z0: -f.Half.Z, Z1: f.Half.Z}, d)
	case Cylinder:
		o, err := outline.Circle(f.R + d)
		if err != nil {
			return nil, fmt.Errorf("offset of a cylinder: %w", err)
		}
		return Prism{o, f.Z0 - d, f.Z1 + d, d, d}, nil
	case Prism:
		if !isConvex(f.Outline) {
			break // its outline's distance inside is not that of the offset outline
		}
		o, err := f.Outline.Offset(d)
		if err != nil {
			return nil, fmt.Errorf("offset of a prism: %w", err)
		}
		return Prism{o, f.Z0 - d, f.Z1 + d, f.RoundTop + d, f.RoundBottom + d}, nil
	}
	return Shifted{f, d}, nil
}

// shrunk returns the points deeper than d in f, by its own name where it has
// one.
func shrunk(f Field, d float64) (Field, error) {
	none := nothingLeft(f, -d)
	switch f := f.(type) {
	case HalfSpace:
		return HalfSpace{f.N, f.D - d}, nil
	case Sphere:
		if f.R <= d {
			return nil, none
		}
		return Sphere{f.R - d}, nil
	case Torus:
		if f.Minor <= d {
			return nil, none
		}
		return Torus{f.Major, f.Minor - d}, nil
	case Capsule:
		if f.R <= d {
			return nil, none
		}
		return Capsule{f.A, f.B, f.R - d}, nil
	case Wire:
		if f.R <= d {
			return nil, none
		}
		f.R -= d
		return f, nil
	case Box:
		if min(f.Half.X, f.Half.Y, f.Half.Z) <= d {
			return nil, none
		}
		return Box{f.Half.Sub(vec.P{X: d, Y: d, Z: d})}, nil
	case Cylinder:
		if f.R <= d || f.Z1-f.Z0 <= 2*d {
			return nil, none
		}
		return Cylinder{f.R - d, f.Z0 + d, f.Z1 - d}, nil
	case Cone:
		return shrunkCone(f, d)
	case Facets:
		g := Facets{make([]HalfSpace, len(f.Planes))}
		for i, h := range f.Planes {
			g.Planes[i] = HalfSpace{h.N, h.D - d}
		}
		return g, nil
	case Prism:
		return shrunkPrism(f, d)
	case Taper:
		if f.Lean > 0 {
			return shrunkTaper(f, d)
		}
	case Dome:
		return shrunkDome(f, d)
	}
	return Shifted{f, -d}, nil
}

// shrunkCone moves both ends and the side, which may now meet below the top.
func shrunkCone(f Cone, d float64) (Field, error) {
	dr, dz := f.R1-f.R0, f.Z1-f.Z0
	lean := dr / dz
	less := d * math.Hypot(dr, dz) / dz // what the side's move takes off every radius
	at := func(z float64) float64 { return f.R0 + float64((z-f.Z0)*lean) - less }
	g := Cone{Z0: f.Z0 + d, Z1: f.Z1 - d}
	if g.Z0 >= g.Z1 {
		return nil, nothingLeft(f, -d)
	}
	g.R0, g.R1 = at(g.Z0), at(g.Z1)
	if g.R0 <= 0 && g.R1 <= 0 {
		return nil, nothingLeft(f, -d)
	}
	tip := f.Z0 + (less-f.R0)/lean // read only where the radius changes its sign
	if g.R0 < 0 {
		g.R0, g.Z0 = 0, tip
	}
	if g.R1 < 0 {
		g.R1, g.Z1 = 0, tip
	}
	return g, nil
}

// shrunkPrism takes the offset outline; edges rounded by more than d keep the
// rest of their radius.
func shrunkPrism(f Prism, d float64) (Field, error) {
	o, err := f.Outline.Offset(-d)
	if err != nil {
		return nil, fmt.Errorf("offset of a prism: %w", err)
	}
	g := Prism{o, f.Z0 + d, f.Z1 - d, max(0, f.RoundTop-d), max(0, f.RoundBottom-d)}
	if o.Empty() || g.Z0 >= g.Z1 {
		return nil, nothingLeft(f, -d)
	}
	if g.RoundTop+g.RoundBottom <= g.Z1-g.Z0 {
		return g, nil
	}
	// the rounded edges have met: each end is cut from a taller prism
	tall := g.RoundTop + g.RoundBottom + g.Z1 - g.Z0
	end := func(z0, z1, bottom, top float64, n vec.P) Field {
		if bottom+top == 0 {
			return HalfSpace{n, max(float64(n.Z*z0), float64(n.Z*z1))}
		}
		return Prism{Outline: o, Z0: z0, Z1: z1, RoundTop: top, RoundBottom: bottom}
	}
	return Intersection{
		end(g.Z1-tall, g.Z1, 0, g.RoundTop, vec.P{Z: 1}),
		end(g.Z0, g.Z0+tall, g.RoundBottom, 0, vec.P{Z: -1}),
	}, nil
}

// shrunkTaper moves the side along its normal and asks where it then stands at
// the new foot.
func shrunkTaper(f Taper, d float64) (Field, error) {
	sin, cos := math.Sincos(f.Lean)
	o, err := f.Outline.Offset(-d * (1 + sin) / cos)
	if err != nil {
		return nil, fmt.Errorf("offset of a taper: %w", err)
	}
	g := Taper{o, f.Z0 + d, f.Z1 - d, f.Lean}
	if o.Empty() || g.Z0 >= g.Z1 {
		return nil, nothingLeft(f, -d)
	}
	return g, nil
}

// shrunkDome is the dome whose face and back are balls about the same centres.
// Where that is no Dome (the rim has no thickness left) it has no simpler name.
func shrunkDome(f Dome, d float64) (Field, error) {
	o, err := f.Outline.Offset(-d)
	if err != nil {
		return nil, fmt.Errorf("offset of a dome: %w", err)
	}
	if o.Empty() {
		return nil, nothingLeft(f, -d)
	}
	far := o.Reach(f.Crown)
	fall := func(r float64) float64 { // of a ball of radius r from its top to the rim
		if r <= far {
			return math.NaN() // Check refuses it
		}
		return r - math.Sqrt(float64(r*r)-float64(far*far))
	}
	g := Dome{Outline: o, Z0: f.Z0 + d, Z1: f.Z1 - d, Crown: f.Crown}
	if f.Rise > 0 {
		g.Rise = fall(f.face().r - d)
	}
	switch {
	case f.BackRise > 0:
		g.BackRise = fall(f.back().r - d)
	case f.BackRise < 0:
		g.BackRise = -fall(f.back().r + d)
	}
	if g.Check() != nil {
		return Shifted{f, -d}, nil
	}
	return g, nil
}

var _ Field = Shifted{}
