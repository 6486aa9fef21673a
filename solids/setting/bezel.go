package setting

import (
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/solids/stone"
)

// Bezel is a wall round a stone, standing on a plate. Below the girdle it
// thickens inwards to a bearing on which the stone rests.
type Bezel struct {
	Girdle    outline.Outline // of the widest stone that has to go in, seen from the front, mm
	Clearance float64         // air between stone and wall, mm
	Wall      float64         // wall thickness above the bearing, mm
	Bearing   float64         // width of the ledge under the stone, mm
	Foot      float64         // z of its foot, below 0: in the plate
	Lip       float64         // z of its top edge to set, above 0: what is burnished over
}

// walls are the outlines of a bezel.
type walls struct{ outer, inner, bore outline.Outline }

func (b Bezel) walls() (w walls, err error) {
	switch {
	case !(b.Wall > 0):
		return w, fmt.Errorf("bezel wall %.4g is not positive", b.Wall)
	case !(b.Bearing > 0):
		return w, fmt.Errorf("bezel bearing %.4g is not positive", b.Bearing)
	case !(b.Clearance >= 0):
		return w, fmt.Errorf("bezel clearance %.4g is negative", b.Clearance)
	case !(b.Foot < 0 && b.Lip > 0):
		return w, fmt.Errorf("bezel from z %.4g to %.4g does not span the girdle", b.Foot, b.Lip)
	}
	if w.outer, err = b.Girdle.Offset(b.Clearance + b.Wall); err != nil {
		return w, fmt.Errorf("bezel outside: %w", err)
	}
	if w.inner, err = b.Girdle.Offset(b.Clearance); err != nil {
		return w, fmt.Errorf("bezel inside: %w", err)
	}
	w.bore, err = b.Girdle.Offset(-b.Bearing)
	if err != nil || len(w.bore.Loops) == 0 {
		return w, fmt.Errorf("a bearing %.4g wide leaves no bore in the bezel", b.Bearing)
	}
	return w, nil
}

// Field returns the bezel's metal to set: the wall straight, its bore open from
// front to back.
func (b Bezel) Field() (sdf.Field, error) {
	w, err := b.walls()
	if err != nil {
		return nil, err
	}
	return sdf.Difference{
		From: sdf.Prism{Outline: w.outer, Z0: b.Foot, Z1: b.Lip},
		Cut: []sdf.Field{
			sdf.Prism{Outline: w.inner, Z0: 0, Z1: b.Lip + proud},
			sdf.Prism{Outline: w.bore, Z0: b.Foot - proud, Z1: proud},
		},
	}, nil
}

// How a wall is burnished, as shares of its thickness: its edge is thinned, and
// pressed onto the stone over a patch rather than a line (common practice, no
// source).
const (
	edgeShare  = 0.6
	pressShare = 0.25
)

// pressed is how a bezel is burnished over the crown of a stone, seen from the
// side: where the crown's edge and the end of the metal on it are, and the way off
// the crown there.
func (b Bezel) pressed(s stone.Cut) (edge, end, out vec.P2) {
	c := crownOf(s, vec.P2{X: 1})
	edge = c.at(0)
	end = c.reached(b.Lip-s.GirdleTop(), MostContact)
	along := end.Sub(edge).Unit()
	return edge, end, vec.P2{X: along.Y, Y: -along.X}
}

// MostWall returns the thickness in mm under which a wall has to stay to be
// burnished over s, whatever b.Wall is. The patch that is pressed onto the crown
// grows with the wall; at this thickness it would have to lie under the stone, or
// beyond its middle.
func (b Bezel) MostWall(s stone.Cut) float64 {
	_, end, out := b.pressed(s)
	return min(end.X/out.X, end.Y/out.Y) / pressShare
}

// Set returns the bezel's metal burnished over the stone s: what stood over its
// girdle leans on the crown, up to MostContact of it, its shoulder round; the
// seat is cut for s. The wall round a girdle that is no circle is not rolled
// but stepped: straight up to the girdle, then a flat-topped lip of the same
// reach.
func (b Bezel) Set(s stone.Cut) (sdf.Field, error) {
	w, err := b.walls()
	if err != nil {
		return nil, err
	}
	g := s.GirdleTop()
	if !(b.Lip > g) {
		return nil, fmt.Errorf("a bezel up to z %.4g ends under the girdle's edge at %.4g", b.Lip, g)
	}
	if most := b.MostWall(s); b.Wall >= most {
		return nil, fmt.Errorf("a wall of %.4g cannot be burnished over the stone, only one of less than %.4g", b.Wall, most)
	}
	edge, end, out := b.pressed(s)
	lip := end.Add(out.Mul(edgeShare * b.Wall))
	press := end.Sub(out.Mul(pressShare * b.Wall))

	r, round := disc(b.Girdle)
	if !round {
		return b.stepped(s, w, edge.X-end.X, lip.Y)
	}
	ro, ri, rb := r+b.Clearance+b.Wall, r+b.Clearance, r-b.Bearing
	shoulder := vec.P2{X: ro, Y: g}
	profile, err := outline.New(outline.Loop{
		{At: vec.P2{X: rb, Y: b.Foot}},
		{At: vec.P2{X: ro, Y: b.Foot}},
		{At: shoulder, Bulge: bulge(lip.Sub(shoulder))},
		{At: lip},
		{At: press},
		{At: vec.P2{X: ri, Y: g}},
		{At: vec.P2{X: ri, Y: 0}},
		{At: vec.P2{X: rb, Y: 0}},
	})
	if err != nil {
		return nil, fmt.Errorf("burnished bezel: %w", err)
	}
	return sdf.Difference{From: sdf.Revolve{Outline: profile}, Cut: []sdf.Field{s.Seat(0)}}, nil
}

// stepped is a set bezel whose girdle is no circle: a lip that reaches over
// the crown, up to z.
func (b Bezel) stepped(s stone.Cut, w walls, reach, z float64) (sdf.Field, error) {
	mouth, err := s.Girdle().Offset(-reach)
	if err != nil || len(mouth.Loops) == 0 {
		return nil, fmt.Errorf("a lip that reaches %.4g over the stone leaves nothing of it to see", reach)
	}
	return sdf.Difference{
		From: sdf.Prism{Outline: w.outer, Z0: b.Foot, Z1: z},
		Cut: []sdf.Field{
			sdf.Prism{Outline: w.inner, Z0: 0, Z1: s.GirdleTop()},
			sdf.Prism{Outline: w.bore, Z0: b.Foot - proud, Z1: s.GirdleTop() / 2},
			sdf.Prism{Outline: mouth, Z0: s.GirdleTop() / 2, Z1: z + proud},
			s.Seat(0),
		},
	}, nil
}

// disc returns the radius of an outline that is a circle about the origin:
// nothing else as far out has the area of the disc.
func disc(o outline.Outline) (r float64, ok bool) {
	r = o.Reach(vec.P2{})
	return r, math.Abs(o.Area()-math.Pi*r*r) < roundings*r*r
}

// roundings is far above those of an area, and far below what any arc fit
// leaves of a curve that is no circle.
const roundings = 1e-9
