package piece

import (
	"errors"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/finding"
)

// Post is an ear post.
type Post struct {
	lang.Head
	On      lang.Ref
	Side    string
	Balance bool
	Spot
	Wire   float64
	Length float64
	Notch  float64
	Groove float64
	Pad    float64
	Flange float64
}

// Describe says what a post block may hold.
func (b *Post) Describe(d *lang.Desc) {
	d.About("an ear post: round wire with a notch for a friction back", "")
	d.Ref(&b.On, "on", "the plate or gallery that it stands on", "plate", "gallery")
	d.Choice(&b.Side, "side", "where on it", "back").Default(`"back"`)
	b.Spot.describe(d)
	d.Or("at", "balance", &b.Balance, "above the centre of mass")
	d.Length(&b.Wire, "wire", "thickness").Range(0.3, 3).Default("gauge(20)").Called("thickness", "diameter", "gauge")
	d.Length(&b.Length, "length", "from the surface that it stands on to its tip").Range(2, 30).Default("10.5")
	d.Length(&b.Notch, "notch", "from the tip to the middle of the notch; 0: none").Range(0, 10).Default("2")
	d.Length(&b.Groove, "groove", "depth of the notch").Range(0.02, 1).Default("0.15 * wire")
	d.Length(&b.Pad, "pad", "across the disc at its foot; 0: none").Range(0, 20).Default("0")
	d.Length(&b.Flange, "flange", "thickness of that disc").Range(0.1, 3).Default("0.5")
}

// Derive has nothing to derive: where the post stands is found with the metal.
func (b *Post) Derive(*lang.Scope) {}

// solid is the post from a surface at z = 0 downwards, rooted in metal of the
// given thickness.
func (b *Post) solid(metal float64) finding.Post {
	return finding.Post{
		Wire: b.Wire, Length: b.Length, Root: metal / 2,
		Notch: b.Notch, Groove: b.Groove,
		Pad: b.Pad, Flange: b.Flange,
	}
}

func (m *maker) post(b *Post) {
	root := b.On.Address
	var at vec.P2
	var surface, metal float64
	if p, ok := lang.Find[*Plate](m.file, root); ok {
		surface, metal = -p.Thickness, p.Thickness
		at = b.Spot.from(p.middle)
		if b.Balance {
			var err error
			if at, err = m.balance(p, max(b.Pad, b.Wire)/2); err != nil {
				m.fault(b.Address, "at", err.Error(), "give the place by xy")
				return
			}
		}
	} else {
		g, _ := lang.Find[*Gallery](m.file, root)
		if b.Balance {
			m.fault(b.Address, "at", "balance is found on a plate only", "give a bearing, or xy")
			return
		}
		root = g.Behind.Address
		surface, metal = g.back-g.depth, g.Thickness
		at = b.Spot.from(g.plate.middle)
	}
	f, err := b.solid(metal).Field()
	if m.ok(b.Address, err) {
		m.part(PostRole, b.Head, root, 0, f, vec.Shift(at.At(surface)), "")
	}
}

// balance finds a place on the back of p for a post of radius r above the
// centre of mass: straight over the centroid of the metal's face, the lowest
// place at least an eighth of the height over it where the post lands on metal
// with room all round. A post above the centre of mass keeps the front from
// tipping forward (common practice, no source).
func (m *maker) balance(p *Plate, r float64) (vec.P2, error) {
	var holes []outline.Outline
	area, c := p.edge.Area(), p.edge.Centroid()
	sum := c.Mul(area)
	for _, o := range lang.All[*Opening](m.file) {
		if o.In.Address != p.Address {
			continue
		}
		if o.Form == "under" { // filled again, by stones
			under, err := holesUnder(m.file, o)
			if err != nil {
				return vec.P2{}, err
			}
			holes = append(holes, under...)
			continue
		}
		holes = append(holes, o.edge)
		a := o.edge.Area()
		area -= a
		sum = sum.Sub(o.edge.Centroid().Mul(a))
	}
	c = sum.Mul(1 / area)
	box := p.edge.Bounds()
	const steps = 400
	for i := steps / 8; i < steps; i++ {
		q := vec.P2{X: c.X, Y: c.Y + (box.Max.Y-c.Y)*float64(i)/steps}
		room := -p.edge.Dist(q)
		for _, h := range holes {
			room = min(room, h.Dist(q))
		}
		if room >= r+postMargin {
			return q, nil
		}
	}
	return vec.P2{}, errors.New("above the centre of mass there is no room for a post")
}

// postMargin is the metal that stays visible round the foot of a post, in mm:
// common practice, no source.
const postMargin = 0.3
