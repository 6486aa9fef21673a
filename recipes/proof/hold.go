package proof

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// contact is where something holds a stone: a bearing about its middle and how
// far it reaches over the edge of the smallest. Metal that shrinks closes in on
// a stone, so the worst is metal that does not.
type contact struct{ bearing, cover float64 }

// contacts finds the prongs that reach over the edge of the smallest stone, and
// the bezel that goes all round it, nil for none.
func (b *bench) contacts(s piece.Stone, casting int) (cs []contact, bezel *piece.Bezel) {
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
				bezel = h
			}
		case piece.ProngRole:
			h, _ := lang.Find[*piece.Prongs](b.piece.Recipe, o.Address)
			d := s.Place.Local(o.Place.O).XY()
			if cover := r + h.Wire/2 - d.Len(); cover > 0 {
				cs = append(cs, contact{math.Atan2(d.X, d.Y), cover})
			}
		}
	}
	slices.SortFunc(cs, func(a, b contact) int { return cmp.Compare(a.bearing, b.bearing) })
	return cs, bezel
}

// freeArc returns the longest stretch of a stone's edge, in radians, that no
// contact holds; the whole edge without contacts. The contacts come in the order
// of their bearings.
func freeArc(cs []contact) float64 {
	free := 0.0
	for k := range cs {
		next := cs[(k+1)%len(cs)].bearing - cs[k].bearing
		if next <= 0 {
			next += 2 * math.Pi
		}
		free = max(free, next)
	}
	if len(cs) == 0 {
		return 2 * math.Pi
	}
	return free
}

// halfTurn is where a free arc lets a stone out, less the rounding of sums of
// bearings.
const halfTurn = math.Pi - 1e-9

// hold asks of each lot whether anything holds it; and of its smallest: whether
// its holders leave no half of its edge free, whether it stays under them when it
// is pushed aside, and how far it can be pushed and tilted.
func (b *bench) hold() error {
	b.loose()
	for i, c := range b.piece.Castings {
		for _, s := range c.Stones {
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			cs, bezel := b.contacts(s, i)
			// what holds leaves room for the largest of the lot: the smallest
			// can be pushed off by the difference of the radii
			shift := (g.Largest() - g.Smallest()) / 2
			if bezel != nil {
				shift += bezel.Clearance
			}
			b.play(s, g, shift)
			if bezel == nil {
				b.held(s, g, cs, shift)
			}
		}
	}
	return nil
}

// loose remarks on the stones that no block holds. They are in no casting.
func (b *bench) loose() {
	set := map[string]bool{}
	for _, c := range b.piece.Castings {
		for _, s := range c.Stones {
			set[s.Group] = true
		}
	}
	for _, g := range lang.All[*piece.Stones](b.piece.Recipe) {
		if set[g.Address] {
			continue
		}
		r := b.stonesAt(g, min(1, len(g.Places())))
		r.Part = g.Address
		r.Says = "nothing holds it: give it a bezel or prongs with holds = " + g.Address
		if len(g.Places()) > 1 {
			r.Says = "nothing holds them: give them a bezel or prongs with holds = " + g.Address
		}
		r.Why = "a stone that nothing holds has no seat, and falls out"
		b.add(r, Fail, Stones, "hold", "")
	}
}

// held asks whether prongs hold a stone.
func (b *bench) held(s piece.Stone, g *piece.Stones, cs []contact, shift float64) {
	r := b.in(b.stonesAt(g, s.N), s)
	if free := freeArc(cs); free >= halfTurn {
		r.Figure, r.Limit, r.Unit = free*180/math.Pi, 180, "degrees"
		r.Source = "geometry: a stone held on less than half of its edge slides out"
		r.Says = fmt.Sprintf("%d prongs leave %.0f degrees of its edge free", len(cs), r.Figure)
		r.Why = "the stone can slide out sideways"
		b.add(r, Fail, Stones, "hold", "")
		return
	}
	least := cs[0].cover
	for _, k := range cs {
		least = min(least, k.cover)
	}
	r, grade := b.graded(r, least-shift, stock.StoneCover)
	r.Unit = "mm"
	r.Says = fmt.Sprintf("the smallest stone, pushed aside, is covered by %.2f mm", r.Figure)
	if r.Figure <= 0 {
		r.Says = fmt.Sprintf("the smallest stone, pushed aside, comes free by %.2f mm", -r.Figure)
	}
	r.Why = "the stone can work its way out"
	b.add(r, grade, Stones, "cover", "")
}

// play asks how far the smallest stone can shift in a setting made for the
// largest, and how far it then tilts before the setter has closed it: a tip at
// a fixed height meets a crown that falls away by shift times its slope on one
// side, and rises by as much on the other.
func (b *bench) play(s piece.Stone, g *piece.Stones, shift float64) {
	r, grade := b.graded(b.in(b.stonesAt(g, s.N), s), shift, stock.StonePlay)
	r.Unit = "mm"
	r.Says = fmt.Sprintf("the smallest stone of the lot has %.2f mm of play until the setter closes its setting", shift)
	r.Why = "a setting made for the largest stone does not grip the smallest by itself: sort the stones, or have them measured"
	b.add(r, grade, Stones, "play", "tolerance")

	small := g.Smallest()
	slope := 2 * (s.Cut.Top() - s.Cut.GirdleTop()) / (small * (1 - crownShare))
	tilt := math.Atan2(2*shift*slope, small) * 180 / math.Pi
	r, grade = b.graded(r, tilt, stock.StoneTilt)
	r.Unit = "degrees"
	r.Says = fmt.Sprintf("the smallest stone of the lot can tilt by %.0f degrees until the setter closes its setting", tilt)
	b.add(r, grade, Stones, "play", "tolerance")
}

// crownShare is the table of a stone as a share of its size, as the slope of its
// crown is reckoned: stone.Reference, 57 %. A dome is flatter than that near its
// top and steeper at its edge, where tips lie.
const crownShare = 0.57

// in says in which casting a remark about a stone is.
func (b *bench) in(r Remark, s piece.Stone) Remark {
	for _, c := range b.piece.Castings {
		if slices.ContainsFunc(c.Stones, func(t piece.Stone) bool { return t.Group == s.Group && t.N == s.N }) {
			r.Casting = c.Name
		}
	}
	return r
}

// necks asks how much is left of a prong once the setter has notched it for
// every stone that it holds, the largest of the lots: the least width of what
// remains of its section.
func (b *bench) necks() error {
	b.owners(piece.ProngRole, func(o piece.Owner) {
		h, _ := lang.Find[*piece.Prongs](b.piece.Recipe, o.Address)
		var notches []disc
		for _, s := range b.piece.Castings[o.Casting].Stones {
			if s.Group != h.Holds.Address {
				continue
			}
			at := s.Place.Local(o.Place.O).XY()
			if r := b.radius(s); at.Len() < r+h.Wire/2 {
				notches = append(notches, disc{at.Mul(-1), r})
			}
		}
		if len(notches) == 0 {
			return
		}
		left := neck(h.Wire/2, notches)
		r, grade := b.graded(of(b.piece, o, o.Place.O), left, stock.ProngNeck)
		r.Unit = "mm"
		r.Says = fmt.Sprintf("after %s a neck of %.2f mm of its wire of %.2f stays; %s", count(len(notches), "notch", "notches"), left, h.Wire, b.asks(grade, left, r.Limit))
		r.Why = "a prong breaks where it is notched"
		b.add(r, grade, Stones, "prong neck", "wire")
	})
	return nil
}

// disc is a circle in the plane of a section.
type disc struct {
	at vec.P2
	r  float64
}

// neck returns the least width, over all directions, of a round section of
// radius r from which discs are cut: 0 if nothing is left. It looks at points
// on rings round the middle, so it is exact to a hundredth of r.
func neck(r float64, cuts []disc) float64 {
	const rings, around = 50, 180
	var left []vec.P2
	for i := range rings + 1 {
		for k := range around {
			p := vec.Bearing(r*float64(i)/rings, 2*math.Pi*float64(k)/around)
			if !slices.ContainsFunc(cuts, func(c disc) bool { return p.Sub(c.at).Len() < c.r }) {
				left = append(left, p)
			}
		}
	}
	if len(left) == 0 {
		return 0
	}
	least := math.Inf(1)
	for k := range around {
		u := vec.Bearing(1, math.Pi*float64(k)/around)
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range left {
			low, high = min(low, p.Dot(u)), max(high, p.Dot(u))
		}
		least = min(least, high-low)
	}
	return least
}

// count writes a number of things.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
