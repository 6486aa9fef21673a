package piece

import (
	"math"

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
	Eaten   bool    // its seat leaves nothing of the plate's face
	Off     []Owner // its prongs that stand wholly off the plate
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
				o.Off = p.off(o)
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
	o.Share, o.Eaten = float64(beyond)/girdlePoints, plate.edge.Reach(s.Place.O.XY()) < face
	return o
}

// off finds the prongs that hold the stone and stand wholly beside the plate.
func (p *Piece) off(o Overhang) []Owner {
	var all []Owner
	for _, w := range p.Owners {
		if w.Casting != o.Casting || w.Role != ProngRole {
			continue
		}
		h, _ := lang.Find[*Prongs](p.Recipe, w.Address)
		holds := o.Stone.Place.Local(w.Place.O).XY().Len() < o.Stones.Smallest()/2+h.Wire/2
		if holds && o.Plate.edge.Dist(w.Place.O.XY()) >= h.Wire/2 {
			all = append(all, w)
		}
	}
	return all
}

// Adrift says whether the plate cannot carry the stone: a prong of it stands wholly off
// the plate, or its seat leaves nothing of the plate's face.
func (o Overhang) Adrift() bool { return o.Eaten || len(o.Off) > 0 }

// Word is the word of the plate that brings its edge to the stone; empty for a plate
// whose size is that of an opening.
func (o Overhang) Word() string {
	if o.Plate.Form == "cutout" {
		return ""
	}
	return o.Plate.Wide(o.At.XY().Sub(o.Plate.middle))
}
