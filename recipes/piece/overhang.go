package piece

import (
	"math"
	"slices"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
)

// Overhang is a stone that reaches beyond the edge of the plate that it is set on.
type Overhang struct {
	Stone   Stone
	Stones  *Stones
	Plate   *Plate
	Casting int     // index into Castings
	By      float64 // how far the largest of its lot reaches beyond the edge, mm
	At      vec.P   // the farthest point of its girdle, in the casting's frame
	Share   float64 // of its girdle, 0 to 1, that lies beyond
	Beside  bool    // nothing of it lies over the plate
	Eaten   bool    // its seat leaves nothing of the plate's face
	Off     []Owner // its prongs that stand wholly off the plate
	Half    []Owner // its prongs that stand off the plate with half of their foot or more
}

// girdlePoints is at how many points a girdle is compared with an edge: between two of
// them it lies 0.1 % of its radius farther out at most (1 - cos 180/72).
const girdlePoints = 72

// Overhangs returns the stones that reach beyond the outer edges of their plates by
// more than least, mm, in the order of the castings. Openings are no edges here: light
// comes through them.
func (p *Piece) Overhangs(least float64) []Overhang {
	var all []Overhang
	for i := range p.Castings {
		plate, ok := lang.Find[*Plate](p.Recipe, p.Castings[i].Root)
		if !ok {
			continue
		}
		for _, s := range p.Castings[i].Stones {
			if o := p.overhang(s, plate); o.By > least {
				o.Casting = i
				p.feet(&o)
				all = append(all, o)
			}
		}
	}
	return all
}

// overhang compares the girdle of one stone with the edge of its plate.
func (p *Piece) overhang(s Stone, plate *Plate) Overhang {
	g, _ := lang.Find[*Stones](p.Recipe, s.Group)
	o := Overhang{Stone: s, Stones: g, Plate: plate}
	r := g.Largest() / 2
	if plate.edge.Dist(s.Place.O.XY()) < -r {
		return o // a distance grows by no more than one walks
	}
	face := 0.0 // radius of the seat at the face: a cone, and a flat base takes nothing
	if deep := g.Deepest(); deep > 0 {
		face = r * min(max(1-s.Place.O.Z/deep, 0), 1)
	}
	beyond := 0
	for k := range girdlePoints {
		at := s.Place.Point(vec.Bearing(r, 2*math.Pi*float64(k)/girdlePoints).At(0))
		d := plate.edge.Dist(at.XY())
		if d > 0 {
			beyond++
		}
		if d > o.By {
			o.By, o.At = d, at
		}
	}
	o.Share = float64(beyond) / girdlePoints
	o.Beside = plate.edge.Dist(s.Place.O.XY()) >= r
	o.Eaten = plate.edge.Reach(s.Place.O.XY()) < face
	return o
}

// feet finds the prongs of the stone that stand beside the plate, at the sizes of the
// recipe.
func (p *Piece) feet(o *Overhang) {
	for _, w := range p.Owners {
		if w.Casting != o.Casting || w.Role != ProngRole {
			continue
		}
		h, _ := lang.Find[*Prongs](p.Recipe, w.Address)
		foot := w.Place.O.XY()
		if h.Holds.Address != o.Stones.Address || o.Stone.inGirdle(foot).Len() >= o.Stones.Smallest()/2+h.Wire/2 {
			continue // it holds another stone
		}
		switch d := o.Plate.edge.Dist(foot); {
		case d >= h.Wire/2:
			o.Off = append(o.Off, w)
		case d >= 0:
			o.Half = append(o.Half, w)
		}
	}
}

// inGirdle returns where a line straight down through a place of the plate crosses the
// plane of the stone's girdle, from the middle of the stone, in its own frame.
func (s Stone) inGirdle(at vec.P2) vec.P2 {
	d, axis := at.Sub(s.Place.O.XY()), s.Place.Z
	z := -(float64(axis.X*d.X) + float64(axis.Y*d.Y)) / axis.Z // a stone leans by 60 degrees at most
	return s.Place.LocalDir(d.At(z)).XY()
}

// Loosens says whether the overhang is why a bit of metal hangs on nothing: a prong of
// the block stands off the plate, or nothing of the plate is left for what holds the
// stone, or for the plate itself.
func (p *Piece) Loosens(o Overhang, w Owner) bool {
	switch {
	case w.Casting != o.Casting:
		return false
	case w.Role == ProngRole && slices.ContainsFunc(o.Off, func(off Owner) bool { return off.Address == w.Address }):
		return true
	case o.Eaten:
		return w.Role == PlateRole || p.Holds(w, o.Stones.Address)
	}
	return o.Beside && p.Holds(w, o.Stones.Address)
}

// Word is the word of the plate that brings its edge to the stone; empty for a plate
// whose size is that of an opening.
func (o Overhang) Word() string {
	if o.Plate.Form == "cutout" {
		return ""
	}
	return o.Plate.Wide(o.At.XY().Sub(o.Plate.middle))
}
