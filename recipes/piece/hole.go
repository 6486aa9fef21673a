package piece

import (
	"fmt"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
)

// Hole is one hole through a plate, in the frame of its casting.
type Hole struct {
	Of   string // the address of what makes it: an opening, or a link
	Eye  bool   // of the link
	Edge outline.Outline
}

// String names it: "opening.light", "the eye of link.ring".
func (h Hole) String() string {
	if h.Eye {
		return "the eye of " + h.Of
	}
	return h.Of
}

// Holes returns all holes through a plate: openings of their own form, those under
// stones, and the eyes of links.
func (p *Piece) Holes(in *Plate) []Hole {
	var all []Hole
	for _, o := range lang.All[*Opening](p.Recipe) {
		if o.In.Address != in.Address {
			continue
		}
		edges := []outline.Outline{o.edge}
		if o.Form == "under" {
			edges, _ = holesUnder(p.Recipe, o) // a piece that was compiled has them
		}
		for _, e := range edges {
			all = append(all, Hole{Of: o.Address, Edge: e})
		}
	}
	p.Eyes(func(l *Link, of *Plate, at vec.P2, r float64) {
		if c, err := outline.Circle(r); err == nil && of == in {
			all = append(all, Hole{Of: l.Address, Eye: true, Edge: c.Moved(at)})
		}
	})
	return all
}

// holesUnder are the holes of an opening under stones, one under each.
func holesUnder(file *lang.File, b *Opening) ([]outline.Outline, error) {
	var all []outline.Outline
	for _, r := range b.Under {
		g, _ := lang.Find[*Stones](file, r.Address)
		hole, err := g.small.Girdle().Offset(-bearing(b.Bearing, g.Size))
		if err == nil && hole.Empty() {
			err = fmt.Errorf("the bearing leaves no hole under a stone of %.4g mm", g.Size)
		}
		if err != nil {
			return nil, err
		}
		for _, at := range g.places {
			all = append(all, hole.Moved(at.O.XY()))
		}
	}
	return all, nil
}
