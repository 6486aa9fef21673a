package piece

import (
	"fmt"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/plate"
)

// Plate is a sheet of metal with its face to the viewer: the root of a casting.
type Plate struct {
	lang.Head
	Shape
	From      lang.Ref
	Gap       float64
	Thickness float64
	Edge      float64
	Turn      float64
	HangsFrom lang.Ref
	HangsAt   float64
	Rays      *Rays

	edge    outline.Outline // without openings
	middle  vec.P2          // what at, out and xy are measured from
	grooves sdf.Field       // what the rays take out; nil without
}

// Describe says what a plate block may hold.
func (b *Plate) Describe(d *lang.Desc) {
	d.About("a sheet of metal with its face to the viewer; a casting of its own",
		"Its face lies at z = 0, its back at -thickness.")
	b.Shape.describe(d, "of the plate", "cutout")
	d.Ref(&b.From, "from", "the opening that it was cut out of", "opening").In("cutout")
	d.Length(&b.Gap, "gap", "how much smaller than the opening, all round").In("cutout").Range(0, 10).Default("0.4")
	d.Length(&b.Thickness, "thickness", "from face to back").Range(0.2, 20).Default("1.2").Called("depth", "gauge")
	d.Length(&b.Edge, "edge", "radius of the front edge; 0 is sharp").Range(0, 10).Default("0")
	d.Angle(&b.Turn, "turn", "how far the whole casting is turned as worn, clockwise").Default("0")
	d.Ref(&b.HangsFrom, "hangs_from", "the link that carries it", "link").Pose().Optional()
	d.Angle(&b.HangsAt, "hangs_at", "bearing of the eye that it hangs by, as worn").Default("0")
	d.Block(&b.Rays, "rays", "grooves in the face that run outwards")
	d.Gives("reach", "mm", "from the middle to the farthest point of the edge")
	d.Later("area", "mm2", "area of the face")
	d.Later("volume", "mm3", "metal in its casting")
	d.Later("weight", "g", "weight of its casting")
}

// Derive draws the outline.
func (b *Plate) Derive(s *lang.Scope) {
	if b.Form == "cutout" {
		from := lang.Get[*Opening](s, b.From)
		if from.Form == "under" {
			s.Fault("from", b.From.Address+" makes holes under stones, nothing that could be kept", "name an opening with a form of its own")
			return
		}
		o, err := from.edge.Offset(-b.Gap)
		if err == nil && len(o.Loops) != 1 {
			s.Fault("gap", "a gap of this width leaves no single plate", "make gap smaller")
			return
		}
		if err != nil {
			s.Fault("gap", err.Error(), "make gap smaller")
			return
		}
		b.edge, b.middle = o, from.middle
	} else {
		o, err := b.Shape.outline()
		if err != nil {
			s.Fault("form", err.Error(), "change the size that it names")
			return
		}
		b.edge = o
	}
	if b.Edge >= b.Thickness {
		s.Fault("edge", "the rounded edge takes the whole thickness", fmt.Sprintf("make edge less than thickness, %.4g mm", b.Thickness))
	}
	s.Give("reach", b.edge.Reach(b.middle), "the farthest point of the edge")
	if b.Rays != nil {
		b.Rays.derive(s, b)
	}
}

// sheet is the metal without openings; its outline and its face have grown. The
// back, where posts and galleries stand, stays.
func (b *Plate) sheet(grow float64) (sdf.Field, error) {
	p := plate.Plate{Outline: b.edge, Thickness: b.Thickness + grow, Round: b.Edge}
	if grow == 0 {
		return p.Field()
	}
	var err error
	if p.Outline, err = b.edge.Offset(grow); err != nil {
		return nil, fmt.Errorf("outline grown by %.4g: %w", grow, err)
	}
	if p.Round > 0 {
		p.Round += grow
	}
	f, err := p.Field()
	if err != nil {
		return nil, err
	}
	return sdf.At(f, vec.Shift(vec.P{Z: grow})), nil
}

// Rays are the grooves of a plate.
type Rays struct {
	Count int
	Form  string
	From  float64
	Depth float64
	Width []float64
	Turn  float64
}

// Describe says what a rays block may hold.
func (b *Rays) Describe(d *lang.Desc) {
	d.About("grooves in the face that run outwards to the edge", "")
	d.Count(&b.Count, "count", "how many, evenly spread").Range(1, 400).Called("number")
	d.Choice(&b.Form, "form", "section", "v", "round").Default(`"v"`)
	d.Length(&b.From, "from", "from the middle to where they begin").Range(0, 300)
	d.Length(&b.Depth, "depth", "at the edge; it fades inwards as the width does").Range(0.02, 10)
	d.Lengths(&b.Width, "width", "at the inner end, at the edge", 2).Range(0.01, 20)
	d.Angle(&b.Turn, "turn", "bearing of the first").Default("0")
}

func (b *Rays) derive(s *lang.Scope, p *Plate) {
	if b.Depth >= p.Thickness {
		s.FaultIn("rays", "depth", "a groove this deep cuts the plate through", fmt.Sprintf("make depth less than thickness of %s, %.4g mm", p.Address, p.Thickness))
		return
	}
	if to := p.edge.Reach(p.middle); b.From >= to {
		s.FaultIn("rays", "from", "the rays begin beyond the edge of the plate", fmt.Sprintf("make from less than reach of %s, %.4g mm", p.Address, to))
		return
	}
	if b.Width[0] <= 0 || b.Width[1] < b.Width[0] {
		s.FaultIn("rays", "width", "a ray has to grow, or stay the same, towards the edge", "give the smaller width first")
		return
	}
	cut, err := b.of(p).Cut()
	if err != nil {
		s.FaultIn("rays", "count", err.Error(), "change the number that it names")
		return
	}
	p.grooves = sdf.At(cut, vec.Shift(p.middle.At(0)))
}

// of is the rays of p about its middle.
func (b *Rays) of(p *Plate) plate.Rays {
	return plate.Rays{
		Count: b.Count,
		From:  b.From, To: p.edge.Reach(p.middle) + 1,
		Width: [2]float64{b.Width[0], b.Width[1]},
		Depth: b.Depth,
		Phase: radians(b.Turn),
		Round: b.Form == "round",
	}
}

// Opening is a hole through a plate.
type Opening struct {
	lang.Head
	Shape
	In      lang.Ref
	Under   []lang.Ref
	Bearing float64
	Spot
	Turn float64

	edge   outline.Outline // of an own form
	middle vec.P2
}

// Describe says what an opening block may hold.
func (b *Opening) Describe(d *lang.Desc) {
	d.About("a hole through a plate", "")
	b.Shape.describe(d, "of the hole; under: a round hole under each stone", "under")
	d.Ref(&b.In, "in", "the plate", "plate")
	d.Refs(&b.Under, "under", "the stones that get a hole", "stones").In("under")
	d.Length(&b.Bearing, "bearing", "metal left under the girdle, all round; 0: an eighth of the stone, at least 0.3").In("under").Range(0, 5).Default("0")
	b.Spot.describe(d, forms...)
	d.Angle(&b.Turn, "turn", "turned in the plane, clockwise").In(forms...).Default("0")
}

// Derive draws the outline where it belongs.
func (b *Opening) Derive(s *lang.Scope) {
	if b.Form == "under" {
		return
	}
	b.Spot.check(s)
	in := lang.Get[*Plate](s, b.In)
	o, err := b.Shape.outline()
	if err != nil {
		s.Fault("form", err.Error(), "change the size that it names")
		return
	}
	b.middle = b.Spot.from(in.middle)
	b.edge = o.Turned(-radians(b.Turn)).Moved(b.middle)
	if _, err := outline.HoleIn(in.edge, b.edge); err != nil {
		s.Fault("in", "the hole does not lie inside "+b.In.Address+": "+err.Error(), "make the hole smaller, or move it by at and out, or by xy")
	}
}

// bearing is how wide the ledge under a stone of the given size is, in mm: 75 %
// of the stone stays open, but 0.3 mm of metal (C. Lewton-Brain, "Basic bead
// setting", Brain Press 2002).
func bearing(given, size float64) float64 {
	if given > 0 {
		return given
	}
	return max(0.3, size/8)
}
