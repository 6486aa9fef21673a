package proof

import (
	"fmt"
	"math"
	"slices"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// The air between neighbouring stones, at the largest stones and after the
// house's shrinkage, in mm. 0.10 is what GIA's benchmark for bead setting
// leaves (gia.edu, bead-set diamonds in platinum shank); half of it common
// practice, no source.
const (
	airCaution = 0.05
	airNote    = 0.10
)

// spacing asks whether the largest stones still pass each other once the metal
// has shrunk: g' = (D + g)(1 - s) - D, for stones do not shrink.
func (b *bench) spacing() error {
	for i, c := range b.piece.Castings {
		for j, s := range c.Stones {
			for k := j + 1; k < len(c.Stones); k++ {
				t := c.Stones[k]
				away := s.Place.O.Sub(t.Place.O).Len()
				r1, r2 := b.radius(s), b.radius(t)
				if away > r1+r2+2*airNote+1 {
					continue
				}
				air := away*(1-b.house.Shrinkage.Value) - r1 - r2
				grade, limit := none, airNote
				switch {
				case air < 0:
					grade, limit = Fail, 0
				case air < airCaution:
					grade, limit = Caution, airCaution
				case air < airNote:
					grade = Note
				}
				g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
				r := b.stonesAt(g, s.N)
				r.Casting = b.piece.Castings[i].Name
				r.At = s.Place.O.Lerp(t.Place.O, 0.5)
				r.Figure, r.Limit, r.Unit = air, limit, "mm"
				r.Source = "GIA Quality Assurance Benchmark: bead-set diamonds in platinum shank (0.10); half of it common practice, no source"
				other := "its neighbour"
				if s.Group != t.Group {
					other = part(t.Group, t.N)
				}
				r.Says = fmt.Sprintf("the largest stones leave %.2f mm to %s once the metal has shrunk by %.1f %%", air, other, 100*b.house.Shrinkage.Value)
				if air < 0 {
					r.Says = fmt.Sprintf("the largest stones overlap %s by %.2f mm once the metal has shrunk by %.1f %%", other, -air, 100*b.house.Shrinkage.Value)
				}
				r.Why = "stones that touch chip while they are set"
				b.add(r, grade, Stones, "spacing", "gap")
			}
		}
	}
	return nil
}

// radius is half the size of the largest of the stone's lot, mm.
func (b *bench) radius(s piece.Stone) float64 {
	g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
	return g.Largest() / 2
}

// contact is where something holds a stone: a bearing about its middle and how
// far it reaches over the edge.
type contact struct{ bearing, cover float64 }

// contacts finds the prongs that reach over the edge of the smallest stone, and whether a
// bezel goes all round it.
func (b *bench) contacts(s piece.Stone, casting int) (cs []contact, bezel bool) {
	g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
	r := g.Smallest() / 2
	for _, o := range b.piece.Owners {
		if o.Casting != casting {
			continue
		}
		switch o.Role {
		case piece.BezelRole:
			h, _ := lang.Find[*piece.Bezel](b.piece.Recipe, o.Address)
			if h.Holds.Address == s.Group && max(o.N, 1) == s.N {
				bezel = true
			}
		case piece.ProngRole:
			h, _ := lang.Find[*piece.Prongs](b.piece.Recipe, o.Address)
			d := s.Place.Local(o.Place.O).XY()
			if cover := r + h.Wire/2 - d.Len(); cover > 0 {
				cs = append(cs, contact{math.Atan2(d.X, d.Y), cover})
			}
		}
	}
	slices.SortFunc(cs, func(a, b contact) int {
		if a.bearing < b.bearing {
			return -1
		}
		return 1
	})
	return cs, bezel
}

// leastCover is how far a prong has to reach over the edge of the smallest
// stone pushed aside, in mm: common practice, no source.
const leastCover = 0.05

// hold asks whether the smallest stone, pushed aside as far as it goes, stays
// under its prongs, and whether they leave no half of its edge free.
func (b *bench) hold() error {
	for i, c := range b.piece.Castings {
		for _, s := range c.Stones {
			cs, bezel := b.contacts(s, i)
			if bezel {
				continue
			}
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			r := b.stonesAt(g, s.N)
			r.Casting, r.Unit = c.Name, "degrees"
			free := 2 * math.Pi
			for k := range cs {
				next := cs[(k+1)%len(cs)].bearing - cs[k].bearing
				if next <= 0 {
					next += 2 * math.Pi
				}
				if k == 0 || next > free {
					free = next
				}
			}
			r.Figure, r.Limit = free*180/math.Pi, 180
			r.Source = "geometry: a stone held on less than half of its edge slides out"
			r.Says = fmt.Sprintf("%d prongs leave %.0f degrees of its edge free", len(cs), r.Figure)
			r.Why = "the stone can slide out sideways"
			if free >= math.Pi-1e-9 {
				b.add(r, Fail, Stones, "hold", "")
				continue
			}
			least := cs[0].cover
			for _, k := range cs {
				least = min(least, k.cover)
			}
			// the prongs leave room for the largest of the lot: the smallest
			// can be pushed off one of them by the difference of the radii
			left := least - (g.Largest()-g.Smallest())/2
			grade := none
			if left <= 0 {
				grade, r.Limit = Fail, 0
			} else if left < leastCover {
				grade, r.Limit = Caution, leastCover
			}
			r.Figure, r.Unit, r.Source = left, "mm", "common practice, no source"
			r.Says = fmt.Sprintf("the smallest stone, pushed aside, is covered by %.2f mm", left)
			r.Why = "the stone can work its way out"
			b.add(r, grade, Stones, "cover", "")
		}
	}
	return nil
}

// inside is how deep in mm metal may reach into a stone before it is a
// remark: what a setter's bur takes with the seat.
const inside = 0.02

// metalInStone asks whether a stone and metal other than what holds it want
// the same place.
func (b *bench) metalInStone() error {
	for i := range b.piece.Castings {
		c := &b.piece.Castings[i]
		for _, s := range c.Stones {
			rest := b.piece.Without(c, func(o piece.Owner) bool { return b.holds(o, s.Group) })
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
			if deep < inside {
				continue
			}
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			r := b.stonesAt(g, s.N)
			r.Casting, r.At, r.Figure, r.Limit, r.Unit = c.Name, at, deep, inside, "mm"
			r.Source = "common practice, no source"
			r.Says = fmt.Sprintf("metal reaches %.2f mm into the stone at (%.2f, %.2f, %.2f)", deep, at.X, at.Y, at.Z)
			r.Why = "the stone does not go down to its seat"
			b.add(r, Fail, Stones, "metal in stone", "")
		}
	}
	return nil
}

// holds says whether an owner holds the stones of a group: its tips may touch
// them.
func (b *bench) holds(o piece.Owner, group string) bool {
	switch o.Role {
	case piece.ProngRole:
		h, _ := lang.Find[*piece.Prongs](b.piece.Recipe, o.Address)
		return h.Holds.Address == group
	case piece.BezelRole:
		h, _ := lang.Find[*piece.Bezel](b.piece.Recipe, o.Address)
		return h.Holds.Address == group
	}
	return false
}

// wayIn lowers each stone along its axis: nothing but its own prongs may stand
// in the way, and those have to be opened by no more than half of their wire
// (C. Lewton-Brain and others cut at most half; common practice, no source).
func (b *bench) wayIn() error {
	for i := range b.piece.Castings {
		c := &b.piece.Castings[i]
		top := c.Metal.Bounds().Max.Z
		for _, s := range c.Stones {
			rest := b.piece.Without(c, func(o piece.Owner) bool { return b.holds(o, s.Group) })
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
				if k.cover > wayNote {
					r := b.stonesAt(g, s.N)
					r.Casting, r.At, r.Figure, r.Limit, r.Unit = c.Name, s.Place.O, k.cover, wayNote, "mm"
					r.Source = "common practice, no source"
					r.Says = fmt.Sprintf("its prongs have to be opened or notched by %.2f mm to let it in", k.cover)
					b.add(r, Note, Stones, "way in", "")
				}
			}
		}
	}
	return nil
}

// wayNote is how far in mm a prong may stand in the way before it is said:
// common practice, no source.
const wayNote = 0.30

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
			grade, limit := none, culetNote
			if room <= 0 {
				grade, limit = Fail, 0
			} else if room < culetNote {
				grade = Note
			}
			r := b.stonesAt(s.Stones, n+1)
			r.Casting, r.At, r.Figure, r.Limit, r.Unit = c.Name, culet, room, limit, "mm"
			r.Source = "common practice, no source"
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

// culetNote is the room behind a culet that is worth a word, in mm: common
// practice, no source.
const culetNote = 0.30

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
		r.Says = fmt.Sprintf("wire of %.2f mm for stones of %.2f mm; %s asks for %.2f", h.Wire, g.Size, b.house.Name, limit)
		r.Why = "a thin prong bends, and wears through"
		b.add(r, grade, Stones, "prong", "wire")

		over := h.Tip() - g.Lift - g.Stone().Top()
		grade, limit = none, 0
		switch {
		case over < 0:
			grade = Fail
		case over < 0.15:
			grade, limit = Caution, 0.15
		case over > 1.2:
			grade, limit = Note, 1.2
		}
		r.Figure, r.Limit, r.Source = over, limit, "common practice, no source"
		r.Says = fmt.Sprintf("the tips stand %.2f mm over the table before they are folded", over)
		r.Why = "a tip needs length to fold over the crown"
		b.add(r, grade, Stones, "tip", "over")
	}
	return nil
}
