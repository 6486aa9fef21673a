package proof

import (
	"fmt"
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// mostClash is how deep in mm one casting may stand in another. What hangs is laid
// through an eye by its middle, a quarter of a millimetre deep in sound pieces,
// where in truth it comes to rest beside the rim (measured on the examples).
const mostClash = 0.3

// clashes asks whether two castings, or a casting and a stone of another, fill one
// place in the piece as worn. The surface of each is looked at in the other.
func (b *bench) clashes() error {
	var before []*casting
	return b.eachCasting(func(c *casting) error {
		for _, d := range before {
			if b.pierces(c, d) || b.pierces(d, c) {
				continue // that metal meets there, too, goes without saying
			}
			b.clash(c, d)
		}
		before = append(before, c)
		return b.ctx.Err()
	})
}

// clash remarks on metal in metal: about the link, where what carries and what hangs
// are in each other's way.
func (b *bench) clash(c, d *casting) {
	depth, at := shared(c.worn(), d.worn(), mostClash)
	if depth <= mostClash {
		return
	}
	word, why := "hangs_from", "two castings can't fill one place: hang the one from a link of the other (hangs_from), or set them apart"
	switch {
	case b.carries(c, d):
		word, c, d = "bore", d, c
	case b.carries(d, c):
		word = "bore"
	}
	if word == "bore" {
		why = "a link has to swing clear of what it hangs in: make bore larger, or hang it where less metal lies below its eye (at)"
	}
	r, ok := b.clashing(c, at)
	if !ok {
		return
	}
	in := "casting " + d.Name
	if o := b.nearest(d, at); o != "" && o != d.from.Root {
		in = o + " of " + in
	}
	r.Figure, r.Limit, r.Unit = depth, mostClash, "mm"
	r.Says, r.Why = fmt.Sprintf("it stands %.2f mm deep in %s", depth, in), why
	b.add(r, Fail, Wearing, "clash", word)
}

// carries says whether d is a link and hangs from c, or c from d.
func (b *bench) carries(c, d *casting) bool {
	k, ok := lang.Find[*piece.Link](b.piece.Recipe, d.from.Root)
	if !ok {
		return false
	}
	p, _ := lang.Find[*piece.Plate](b.piece.Recipe, c.from.Root)
	return k.HangsFrom.Address == c.from.Root || p != nil && p.HangsFrom.Address == k.Address
}

// pierces remarks on metal of c in a stone of d, the worst of them, and says whether
// there is any.
func (b *bench) pierces(c, d *casting) bool {
	worn := b.model.Worn(d.Casting)
	box := c.Worn[0].Box(c.mesh.Bounds())
	depth, at, name := inside, vec.P{}, ""
	for _, s := range d.from.Stones {
		place, in := worn.After(s.Place), s.Cut.Solid()
		if box.Intersect(place.Box(in.Bounds())).IsEmpty() {
			continue
		}
		if v, p := shared(c.worn(), body{s.Cut.Mesh(), in, place}, depth); v > depth {
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			depth, at, name = v, p, b.stonesAt(g, s.N).Part
		}
	}
	if name == "" {
		return false
	}
	r, ok := b.clashing(c, at)
	if !ok {
		return false
	}
	does, word := "it stands", "hangs_from"
	r.Why = "metal of one casting and a stone of another want one place: hang them farther apart, by a link with more bore, or move the stone inwards (out)"
	if k, ok := lang.Find[*piece.Link](b.piece.Recipe, c.from.Root); ok {
		does, word = "the link runs", "at"
		r.Why = "the eye and the stone want one place: move the stone inwards, or hang the link at another bearing (at), nearer to the edge (margin)"
		if k.Margin > 0 {
			word = "margin"
		}
	}
	r.Figure, r.Limit, r.Unit = depth, inside, "mm"
	r.Says = fmt.Sprintf("%s through %s, %.2f mm deep", does, name, depth)
	b.add(r, Fail, Wearing, "clash", word)
	return true
}

// clashing is the remark about a casting at a place, as worn.
func (b *bench) clashing(c *casting, at vec.P) (Remark, bool) {
	k := slices.IndexFunc(b.piece.Owners, func(o piece.Owner) bool { return o.Casting == c.Of })
	if k < 0 {
		return Remark{}, false
	}
	return of(b.piece, b.piece.Owners[k], b.model.Worn(c.Casting).Inverse().Point(at)), true
}

// nearest names the block whose metal a place, as worn, lies deepest in.
func (b *bench) nearest(c *casting, at vec.P) (address string) {
	at = b.model.Worn(c.Casting).Inverse().Point(at)
	least := math.Inf(1)
	b.piece.Parts(c.from, func(o piece.Owner, f sdf.Field) {
		if d := f.Dist(at); d < least {
			least, address = d, o.Address
		}
	})
	return address
}

// body is a casting or a stone where it is in the piece as worn.
type body struct {
	mesh *mesh.Mesh
	in   solid
	at   vec.Place // from the frame of both
}

// solid is a field, or the code of one.
type solid interface {
	Bounds() vec.Box
	Dist(vec.P) float64
}

// worn is the casting in the piece as worn.
func (c *casting) worn() body { return body{c.mesh, c.field, c.Worn[0]} }

// shared returns how deep the surface of one body stands in the other, and where, as
// worn, if that is more than depth, mm; else depth.
func shared(a, b body, depth float64) (float64, vec.P) {
	depth, at := deepest(a, b, depth, vec.P{})
	return deepest(b, a, depth, at)
}

// fine is within how much the deepest place is found, mm: half of the least that counts,
// or a tenth of the depth, since plates that lie in each other are as deep all over.
func fine(depth float64) float64 { return max(inside/2, depth/10) }

// deepest returns how deep the surface of a stands in b, and where, as worn, if that is
// more than depth, mm; else depth and at. It is within fine of the truth, however the
// surface is cut into triangles: depth grows by no more than one walks, so a triangle is
// halved until no place of it can be deeper than what is known.
func deepest(a, b body, depth float64, at vec.P) (float64, vec.P) {
	to, box := b.at.Inverse().After(a.at), b.in.Bounds()
	var left [][3]vec.P // in the frame of b
	for t := range a.mesh.T {
		x, y, z := a.mesh.Corners(t)
		left = append(left, [3]vec.P{to.Point(x), to.Point(y), to.Point(z)})
		for len(left) > 0 {
			c := left[len(left)-1]
			left = left[:len(left)-1]
			if box.Intersect(vec.BoxOf(c[:]...)).IsEmpty() {
				continue
			}
			mid := c[0].Add(c[1]).Add(c[2]).Mul(1.0 / 3)
			d := -b.in.Dist(mid)
			if d > depth {
				depth, at = d, b.at.Point(mid)
			}
			if far := max(c[0].Sub(mid).Len(), c[1].Sub(mid).Len(), c[2].Sub(mid).Len()); d+far > depth+fine(depth) {
				p, q := halves(c)
				left = append(left, p, q)
			}
		}
	}
	return depth, at
}

// halves cuts a triangle in two, across its longest side.
func halves(c [3]vec.P) (p, q [3]vec.P) {
	for range 2 { // the longest side first
		if c[1].Sub(c[0]).Len() < max(c[2].Sub(c[1]).Len(), c[0].Sub(c[2]).Len()) {
			c = [3]vec.P{c[1], c[2], c[0]}
		}
	}
	mid := c[0].Lerp(c[1], 0.5)
	return [3]vec.P{c[0], mid, c[2]}, [3]vec.P{mid, c[1], c[2]}
}
