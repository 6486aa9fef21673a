package proof

import (
	"fmt"
	"math"
	"slices"

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
// place in the piece as worn. A pair is looked at by the corners and middles of the
// triangles of each.
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
	depth, at := deepest(c, d.field, d.Worn[0].Inverse())
	if back, from := deepest(d, c.field, c.Worn[0].Inverse()); back > depth {
		depth, at = back, from
	}
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
		place, solid := worn.After(s.Place), s.Cut.Solid()
		if box.Intersect(place.Box(solid.Bounds())).IsEmpty() {
			continue
		}
		if v, p := deepest(c, solid, place.Inverse()); v > depth {
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
	if k, ok := lang.Find[*piece.Link](b.piece.Recipe, c.from.Root); ok {
		does, word = "the link runs", "at"
		if k.Margin > 0 {
			word = "margin"
		}
	}
	r.Figure, r.Limit, r.Unit = depth, inside, "mm"
	r.Says = fmt.Sprintf("%s through %s, %.2f mm deep", does, name, depth)
	r.Why = "the eye and the stone want one place: move the stone inwards, or hang the link at another bearing (at), nearer to the edge (margin)"
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

// body is what something may stand in: a field, or the code of one.
type body interface {
	Bounds() vec.Box
	Dist(vec.P) float64
}

// deepest returns how deep the surface of c stands in a body, and where, as worn; 0
// where it does not. from leads from the piece as worn to the frame of the body.
func deepest(c *casting, in body, from vec.Place) (depth float64, at vec.P) {
	worn := c.Worn[0]
	to := from.After(worn)
	box := in.Bounds()
	look := func(p vec.P) {
		q := to.Point(p)
		if !box.Has(q) {
			return
		}
		if v := -in.Dist(q); v > depth {
			depth, at = v, worn.Point(p)
		}
	}
	for _, v := range c.mesh.V {
		look(v)
	}
	for t := range c.mesh.T {
		x, y, z := c.mesh.Corners(t)
		look(x.Add(y).Add(z).Mul(1.0 / 3))
	}
	return depth, at
}
