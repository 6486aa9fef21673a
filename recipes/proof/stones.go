package proof

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// inside is how deep in mm two things may reach into each other before it is a
// remark: what a setter's bur takes with the seat (common practice, no source).
const inside = 0.02

// metalInStone asks whether a stone and metal other than what holds it want
// the same place.
func (b *bench) metalInStone() error {
	for i := range b.piece.Castings {
		c := &b.piece.Castings[i]
		for _, s := range c.Stones {
			rest := b.piece.Without(c, func(o piece.Owner) bool { return b.piece.Holds(o, s.Group) })
			deep, at := 0.0, vec.P{}
			m := s.Cut.Mesh()
			mid := vec.P{Z: (s.Cut.Top() - s.Cut.Deep()) / 2}
			for t := range m.T {
				p, q, r := m.Corners(t)
				for _, v := range []vec.P{p, q, r, p.Add(q).Add(r).Mul(1. / 3)} {
					v = s.Place.Point(v.Lerp(mid, 0.01))
					if d := -rest.Dist(v); d > deep {
						deep, at = d, v
					}
				}
			}
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			r, grade := b.graded(b.stonesAt(g, s.N), deep, stock.InStone)
			r.Casting, r.At, r.Unit = c.Name, at, "mm"
			r.Says = fmt.Sprintf("metal reaches %.2f mm into the stone at (%.2f, %.2f, %.2f)", deep, at.X, at.Y, at.Z)
			r.Why = "the stone does not go down to its seat"
			b.add(r, grade, Stones, "metal in stone", "")
		}
	}
	return nil
}

// wayIn lowers each stone along its axis: nothing but its own prongs may stand
// in the way, and by how much those have to be opened is said.
func (b *bench) wayIn() error {
	for i := range b.piece.Castings {
		c := &b.piece.Castings[i]
		top := c.Metal.Bounds().Max.Z
		for _, s := range c.Stones {
			rest := b.piece.Without(c, func(o piece.Owner) bool { return b.piece.Holds(o, s.Group) })
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			worst, at := 0.0, vec.P{}
			const around, up = 24, 8
			for k := range around {
				edge := vec.Bearing(b.radius(s), 2*math.Pi*float64(k)/around)
				for h := range up {
					z := s.Cut.GirdleTop() + (top-s.Place.O.Z)*float64(h)/up
					p := s.Place.Point(edge.At(z))
					if d := -rest.Dist(p); d > worst {
						worst, at = d, p
					}
				}
			}
			if worst > inside {
				r := b.stonesAt(g, s.N)
				r.Casting, r.At, r.Figure, r.Limit, r.Unit = c.Name, at, worst, inside, "mm"
				r.Source = "geometry"
				r.Says = fmt.Sprintf("on its way in the stone meets metal %.2f mm deep at (%.2f, %.2f, %.2f)", worst, at.X, at.Y, at.Z)
				r.Why = "the stone cannot be lowered into its seat"
				b.add(r, Fail, Stones, "way in", "")
			}
			cs, _ := b.contacts(s, i)
			for _, k := range cs {
				r, grade := b.graded(b.stonesAt(g, s.N), k.cover+b.radius(s)-g.Smallest()/2, stock.WayIn)
				r.Casting, r.Unit = c.Name, "mm"
				r.Says = fmt.Sprintf("its prongs have to be opened or notched by %.2f mm to let the largest in", r.Figure)
				b.add(r, grade, Stones, "way in", "")
			}
		}
	}
	return nil
}

// culets asks how far the culet stays from the back of its casting.
func (b *bench) culets() error {
	for _, s := range b.groups() {
		c := &b.piece.Castings[s.casting]
		back, by := b.back(s.casting)
		for n, at := range s.Places() {
			culet := at.Point(vec.P{Z: -s.Deepest()})
			if s.Stone().Deep() == 0 {
				continue
			}
			room := culet.Z - back
			r, grade := b.graded(b.stonesAt(s.Stones, n+1), room, stock.Culet)
			r.Casting, r.At, r.Unit = c.Name, culet, "mm"
			r.Says = fmt.Sprintf("its culet stays %.2f mm inside the back of %s", room, by)
			if room <= 0 {
				r.Says = fmt.Sprintf("its culet sticks %.2f mm out of the back of %s", -room, by)
			}
			r.Why = "a culet that touches skin or a table scratches, and breaks"
			b.add(r, grade, Stones, "culet", "lift")
		}
	}
	return nil
}

// back returns the z of the backmost broad metal of a casting, posts and loops
// left out, and what it is.
func (b *bench) back(casting int) (float64, string) {
	z, by := math.Inf(1), ""
	for _, o := range b.piece.Owners {
		if o.Casting != casting {
			continue
		}
		back := math.Inf(1)
		switch o.Role {
		case piece.PlateRole:
			p, _ := lang.Find[*piece.Plate](b.piece.Recipe, o.Address)
			back = -p.Thickness
		case piece.GalleryRole:
			g, _ := lang.Find[*piece.Gallery](b.piece.Recipe, o.Address)
			back = g.Back()
		}
		if back < z {
			z, by = back, o.Address
		}
	}
	return z, by
}

// prongs asks for the thickness of prongs by the stones they hold, and for the
// height of their tips.
func (b *bench) prongs() error {
	for _, h := range lang.All[*piece.Prongs](b.piece.Recipe) {
		g, _ := lang.Find[*piece.Stones](b.piece.Recipe, h.Holds.Address)
		l := b.house.Prong(g.Size)
		grade, limit := under(h.Wire, l.Fail.Value, l.Caution.Value)
		r := Remark{Part: h.Address, Address: h.Address, Span: h.Span, Figure: h.Wire, Limit: limit, Unit: "mm", Source: l.Caution.Source}
		r.Says = fmt.Sprintf("wire of %.2f mm for stones of %.2f mm; %s", h.Wire, g.Size, b.asks(grade, h.Wire, limit))
		r.Why = "a thin prong bends, and wears through"
		b.add(r, grade, Stones, "prong", "wire")

		over := h.Tip() - g.Lift - g.Worst().Top()
		r, grade = b.graded(r, over, stock.TipHeight)
		r.Says = fmt.Sprintf("the tips stand %.2f mm over the table before they are folded", over)
		r.Why = "a tip needs length to fold over the crown"
		b.add(r, grade, Stones, "tip", "over")

		low, high, ok := h.Rise(g)
		if !ok {
			continue // none reaches a stone: the recipe has been told so
		}
		for _, rise := range []float64{low, high} {
			r, grade = b.graded(r, 100*rise, stock.FoldHeight)
			r.Unit = "%"
			r.Says = fmt.Sprintf("folded, its tips rise to %.0f %% of the crown", 100*rise)
			r.Why = "lower a tip holds by a hair, higher it catches on cloth"
			b.add(r, grade, Stones, "fold", "wire")
		}
	}
	return nil
}
