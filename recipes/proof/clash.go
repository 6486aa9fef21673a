package proof

import (
	"fmt"
	"slices"

	"waxwright/geom/vec"
	"waxwright/recipes/piece"
)

// mostClash is how deep in mm one casting may stand in another. What hangs is laid
// through an eye by its middle, a quarter of a millimetre deep in sound pieces,
// where in truth it comes to rest beside the rim (measured on the examples).
const mostClash = 0.3

// clashes asks whether two castings fill one place in the piece as worn. A pair
// is looked at by the corners and middles of the triangles of each.
func (b *bench) clashes() error {
	var before []*casting
	return b.eachCasting(func(c *casting) error {
		for _, d := range before {
			depth, at := deepest(c, d)
			if back, from := deepest(d, c); back > depth {
				depth, at = back, from
			}
			if depth <= mostClash {
				continue
			}
			k := slices.IndexFunc(b.piece.Owners, func(o piece.Owner) bool { return o.Casting == c.Of })
			if k < 0 {
				continue
			}
			at = b.model.Worn(c.Casting).Inverse().Point(at)
			r := of(b.piece, b.piece.Owners[k], at)
			r.Figure, r.Limit, r.Unit = depth, mostClash, "mm"
			r.Says = fmt.Sprintf("it stands %.2f mm deep in casting %s", depth, d.Name)
			r.Why = "two castings can't fill one place: hang the one from a link of the other (hangs_from), or set them apart"
			b.add(r, Fail, Wearing, "clash", "hangs_from")
		}
		before = append(before, c)
		return b.ctx.Err()
	})
}

// deepest returns how deep the surface of c stands in d, and where, as worn; 0
// where it does not.
func deepest(c, d *casting) (depth float64, at vec.P) {
	worn := c.Worn[0]
	in := d.Worn[0].Inverse().After(worn)
	box := d.field.Bounds()
	look := func(p vec.P) {
		q := in.Point(p)
		if !box.Has(q) {
			return
		}
		if v := -d.field.Dist(q); v > depth {
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
