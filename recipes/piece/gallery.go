package piece

import (
	"math"

	"waxwright/recipes/lang"
	"waxwright/solids/gallery"
)

// Gallery is the open metalwork behind a plate.
type Gallery struct {
	lang.Head
	Behind    lang.Ref
	Clears    []lang.Ref
	Inset     float64
	Rim       float64
	Thickness float64
	Windows   int
	Pillar    float64
	Clearance float64
	Bars      int
	Bar       float64
	Turn      float64

	depth float64 // from the plate's back to the rim's back
	back  float64 // z of the plate's back
	plate *Plate
}

// Describe says what a gallery block may hold.
func (b *Gallery) Describe(d *lang.Desc) {
	d.About("a rim behind a plate, carried by pillars, that keeps the culets off the skin",
		"It follows the edge of the plate; its depth follows from the deepest culet.")
	d.Ref(&b.Behind, "behind", "the plate", "plate")
	d.Refs(&b.Clears, "clears", "the stones whose culets it keeps off", "stones")
	d.Length(&b.Inset, "inset", "from the edge of the plate to the rim").Range(0, 50).Default("0.8")
	d.Length(&b.Rim, "rim", "width of the rim").Range(0.2, 20).Default("0.9")
	d.Length(&b.Thickness, "thickness", "of the rim, from front to back").Range(0.2, 10).Default("0.8")
	d.Count(&b.Windows, "windows", "openings between plate and rim, a pillar between each two").Range(2, 48)
	d.Length(&b.Pillar, "pillar", "width of a pillar").Range(0.2, 20).Default("1.2 * rim")
	d.Length(&b.Clearance, "clearance", "from the deepest culet to the back of the rim").Range(0, 10).Default("0.3")
	d.Count(&b.Bars, "bars", "straight bars across the rim").Range(0, 2).Default("0")
	d.Length(&b.Bar, "bar", "width of a bar").Range(0.2, 20).Default("1.2 * rim")
	d.Angle(&b.Turn, "turn", "bearing of the first pillar").Default("0")
	d.Gives("depth", "mm", "from the back of the plate to the back of the rim")
}

// Derive finds the depth: the deepest culet and the clearance, but at least a
// window as high as the rim is thick.
func (b *Gallery) Derive(s *lang.Scope) {
	b.plate = lang.Get[*Plate](s, b.Behind)
	b.back = -b.plate.Thickness
	deep := 0.0
	for _, r := range b.Clears {
		g := lang.Get[*Stones](s, r)
		deep = max(deep, g.Deepest()-g.Lift)
	}
	behind := deep - b.plate.Thickness // of the culet behind the plate
	if b.Bars > 0 {
		behind += b.Thickness // a bar crosses under the culets, not through them
	}
	b.depth = max(behind+b.Clearance, 2*b.Thickness)
	s.Give("depth", b.depth, "deepest culet behind the plate + clearance, at least 2 thickness")
}

// solid is the gallery in the design's frame, before it is moved to the
// plate's middle; grow is how much the outside of its wall has grown.
func (b *Gallery) solid(grow float64) gallery.Gallery {
	return gallery.Gallery{
		Outline:   b.plate.edge.Moved(b.plate.middle.Neg()),
		Back:      b.back,
		Depth:     b.depth,
		Inset:     b.Inset - grow,
		Rim:       b.Rim + grow,
		Thickness: b.Thickness,
		Windows:   b.Windows,
		Pillar:    b.Pillar,
		Phase:     math.Mod(radians(b.Turn), 2*math.Pi),
		Bars:      b.Bars,
		Bar:       b.Bar,
		Root:      b.plate.Thickness / 2,
	}
}
