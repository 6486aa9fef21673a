package piece

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/layout"
	"waxwright/solids/setting"
)

// Bezel is a wall round each stone of a group.
type Bezel struct {
	lang.Head
	On        lang.Ref
	Holds     lang.Ref
	Wall      float64
	Clearance float64
	Bearing   float64
	Lip       float64
}

// Describe says what a bezel block may hold.
func (b *Bezel) Describe(d *lang.Desc) {
	d.About("a wall round each stone of a group, to be burnished over its edge",
		"The ledge leaves 75 % of the stone open, but is at least 0.3 wide (C. Lewton-Brain, \"Basic bead setting\", 2002); over a cabochon the wall rises a third of its height.")
	d.Ref(&b.On, "on", "the plate that it stands on", "plate")
	d.Ref(&b.Holds, "holds", "the stones", "stones")
	d.Length(&b.Wall, "wall", "thickness of the wall").Range(0.1, 5).Default("0.45").Called("thickness", "gauge")
	d.Length(&b.Clearance, "clearance", "air between stone and wall").Range(0, 1).Default("0.05")
	d.Length(&b.Bearing, "bearing", "width of the ledge under the stone").Range(0.05, 5).Default("max(0.3, holds.size / 8)")
	d.Length(&b.Lip, "lip", "height of the wall over the girdle").Range(0.05, 10).Default("max(0.4, holds.crown / 3)").Called("height")
	d.Gives("outside", "mm", "across the wall")
}

// Derive checks that the stones have room.
func (b *Bezel) Derive(s *lang.Scope) {
	g := lang.Get[*Stones](s, b.Holds)
	s.Give("outside", g.Largest()+2*(b.Clearance+b.Wall), "largest + 2 (clearance + wall)")
}

// solid is the bezel round one stone of g, in the frame of that stone: wide
// enough for the largest, its ledge under the smallest. foot is how deep it
// reaches below the girdle, grow how much its outside has grown.
func (b *Bezel) solid(g *Stones, foot, grow float64) setting.Bezel {
	return setting.Bezel{
		Girdle:    g.worst.Girdle(),
		Clearance: b.Clearance,
		Wall:      b.Wall + grow,
		Bearing:   b.Bearing + g.slack(),
		Foot:      -foot,
		Lip:       g.worst.GirdleTop() + b.Lip,
	}
}

// Prongs are wires with domed tips that hold the stones of a group.
type Prongs struct {
	lang.Head
	On    lang.Ref
	Holds lang.Ref
	Where string
	Count int
	Wire  float64
	Cover float64
	At    float64
	Over  float64

	axes []vec.P2 // where they stand
	tip  float64  // z of their tips
}

// Describe says what a prongs block may hold.
func (b *Prongs) Describe(d *lang.Desc) {
	d.About("wires with domed tips that reach over the edge of stones",
		"For casting they stand straight and over the table, so that the stone can go in; finished, their tips are folded over the crown: 70 % of its height, 40 % of the way to the table (GIA benchmark: 60-80, 30-50).")
	d.Ref(&b.On, "on", "the plate that they stand on", "plate")
	d.Ref(&b.Holds, "holds", "the stones", "stones")
	d.Kind(&b.Where, "where", "between neighbours of a ring, on its inner or outer side, or around each stone",
		"inner pockets", "outer pockets", "around")
	d.Count(&b.Count, "count", "how many to a stone").In("around").Range(3, 12).Default("4").Called("number")
	d.Angle(&b.At, "at", "bearing of a stone's first").In("around").Default("180 / count")
	d.Length(&b.Wire, "wire", "thickness").Range(0.3, 4).Called("thickness", "diameter", "gauge")
	d.Length(&b.Cover, "cover", "how far each reaches over the edge of the smallest of its stones").Range(0.02, 2).Default("0.25 * wire")
	d.Length(&b.Over, "over", "height of the tips above the table, to set").Range(-2, 5).Default("0.3")
	d.Gives("reach", "mm", "from the middle to the farthest prong")
}

// Derive places the prongs.
func (b *Prongs) Derive(s *lang.Scope) {
	g := lang.Get[*Stones](s, b.Holds)
	if b.Cover >= b.Wire {
		s.Fault("cover", "the prongs would stand wholly under the stones", fmt.Sprintf("make cover less than wire, %.4g mm", b.Wire))
		return
	}
	away := g.Smallest()/2 + b.Wire/2 - b.Cover
	switch b.Where {
	case "around":
		for _, p := range g.places {
			for k := range b.Count {
				at := vec.Bearing(away, radians(b.At)+2*math.Pi*float64(k)/float64(b.Count))
				b.axes = append(b.axes, p.Point(at.At(0)).XY())
			}
		}
	default:
		if g.Layout != "ring" {
			s.Fault("where", "only a ring of stones has pockets between neighbours; "+b.Holds.Address+" is laid out as "+g.Layout, `write "around"`)
			return
		}
		ring := layout.Ring{Count: g.Count, Radius: g.Radius, Phase: radians(g.Turn)}
		pockets, err := ring.Pockets(away, b.Where == "outer pockets")
		if err != nil {
			s.Fault("wire", err.Error(), "make wire larger or cover smaller")
			return
		}
		for _, p := range pockets {
			b.axes = append(b.axes, g.middle.Add(p))
		}
	}
	b.tip = g.Lift + g.worst.Top() + b.Over
	far := 0.0
	for _, a := range b.axes {
		far = max(far, a.Sub(g.middle).Len())
	}
	s.Give("reach", far+b.Wire/2, "the farthest axis + wire / 2")
}

// solid is one prong about its own axis; foot is the z of its foot, grow how
// much its outside has grown.
func (b *Prongs) solid(foot, grow float64) setting.Prong {
	return setting.Prong{Wire: b.Wire + 2*grow, Foot: foot, Tip: b.tip + grow}
}
