package proof

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// A place counts as a wall or a gap from this size on: common practice, no
// source. Smaller ones are tips and edges.
const (
	placeExtent = 0.5  // mm
	placeArea   = 0.25 // mm2
)

// give is by how much in mm a width may fall short of a limit and still keep
// it: twice the chord error of a mesh of the usual tolerance, which no width that is
// measured on it is better than. Coarser meshes are allowed no more: what is found
// on them is measured again on the surface itself (see casting.measured).
const give = 0.01

// walls asks every wall for the thickness of its role: as it will be when it
// is polished and set, for what is cast is thicker.
func (b *bench) walls() error {
	done, diags := b.piece.As(piece.Finished)
	if done == nil {
		for _, d := range diags {
			if d.Severity == lang.Fault {
				r := Remark{Part: d.Address, Address: d.Address, Span: d.Span, Why: d.Detail}
				r.Says = "it cannot be set: " + strings.TrimPrefix(d.Summary, d.Address+": ")
				b.add(r, Fail, Metal, "wall", d.Word)
			}
		}
		b.add(Remark{Part: "piece", Says: "walls once it is set, for it cannot be set", Why: "mend what fails first", Span: b.piece.Recipe.Span("piece", "")}, Unchecked, Metal, "wall", "")
	}
	limits := b.limits()
	grow := 2 * b.piece.Grow // both sides of a wall may have grown
	return b.eachCasting(func(c *casting) error {
		thickest := 0.0
		for i, o := range b.piece.Owners {
			if o.Casting == c.Of && !slices.Contains(wireRoles, o.Role) {
				thickest = max(thickest, limits[i].Caution.Value)
			}
		}
		if thickest == 0 {
			return nil
		}
		spots, err := wall.Thin(b.ctx, c.mesh, c.normals, thickest+grow, wall.Options{
			Slack: c.Reached, MinArea: placeArea, MinExtent: placeExtent, Tree: c.tree,
			Limit: func(s, t uint32) float64 {
				_, l := b.between(limits, s, t)
				return l.Caution.Value - give + grow
			},
			Most: func(t uint32) float64 {
				o := b.owner(t)
				if o == nil {
					return thickest + grow
				}
				if slices.Contains(wireRoles, o.Role) {
					return 0
				}
				return limits[t-1].Caution.Value + grow
			},
			Zone: b.zones(c.placed, limits),
			ZoneLimit: func(zone int) float64 {
				if _, own := zoneRoles[zone]; own {
					return most(b.zoned(zone, stock.Limit{})) - give + grow
				}
				return thickest + grow
			},
		})
		if err != nil {
			return err
		}
		var finished sdf.Field
		if done != nil {
			finished = done.Castings[c.Of].Metal
		}
		for _, s := range spots {
			b.wall(c, s, limits, finished)
		}
		return nil
	})
}

// wall remarks on a wall that is too thin when finished.
func (b *bench) wall(c *casting, s wall.Spot, limits []stock.Limit, finished sdf.Field) {
	o, l := b.between(limits, s.Tags[0], s.Tags[1])
	if o == nil || s.Edge {
		return
	}
	where, word := "", b.wallWord(*o)
	switch b.inRays(o, c, s) {
	case 1:
		where, word = " at a ray", "rays.depth"
	case 2:
		where, word = " between two rays", "rays.width"
	}
	if slices.Contains(askedElsewhere, s.Zone) {
		return
	}
	l = b.zoned(s.Zone, l)
	width, at, other := c.measured(s)
	drawn := max(0, width-b.worn(c, at, other, finished)-b.worn(c, other, at, finished))
	grade, limit := underBy(drawn, l, give)
	r := of(b.piece, *o, c.back.Point(s.At))
	if k := b.eyeOf(c, s); k != nil {
		where, word = fmt.Sprintf(" between its eye and the edge of %s", o.Address), "margin"
		r.Part, r.Address, r.Span = k.Address, k.Address, k.Span
	} else if h := b.openingOf(c, s); h != nil && where == "" {
		way, turn := c.back.Dir(s.Other.Sub(s.At)).XY(), h.Turn*math.Pi/180
		way = way.Mul(math.Cos(turn)).Add(way.Left().Mul(math.Sin(turn))) // as the opening is drawn before it is turned
		where, word = fmt.Sprintf(" beside it in %s", o.Address), h.Wide(way)
		r.Part, r.Address, r.Span, r.Other = h.Address, h.Address, h.Head.Span, o.Address
	}
	if s.Zone == webZone {
		if near, far := c.neighbours(s); near != nil {
			where, word = fmt.Sprintf(" under the girdles of it and %s", part(far.Group, far.N)), "gap"
			r.Part, r.Address = part(near.Group, near.N), near.Group
		}
	}
	r.Figure, r.Limit, r.Unit, r.Source = drawn, limit, "mm", sourceOf(l, grade)
	r.Says = fmt.Sprintf("a finished wall of %.2f mm%s, cast at %.2f; %s (%s)", drawn, where, width, b.asks(grade, drawn, limit), l.Role)
	r.Why = "thin metal does not fill, and wears through"
	b.add(r, grade, Metal, "wall", word)
}

// askedElsewhere are the zones of walls for which checks of their own ask: wires,
// necks of prongs, the spacing of stones.
var askedElsewhere = []int{atWire, neckZone, airZone}

// zoneRoles are the roles of zones that have limits of their own.
var zoneRoles = map[int]stock.Role{
	neckZone: stock.ProngNeck, webZone: stock.Web, bearingZone: stock.Bearing,
	bezelZone: stock.BezelWall, groovedZone: stock.Grooved,
}

// zoned returns the limit of a wall in a zone, where its owners have the limit l.
func (b *bench) zoned(zone int, l stock.Limit) stock.Limit {
	if role, ok := zoneRoles[zone]; ok {
		l, _ = b.house.Limit(role)
	}
	return l
}

// between returns the limit of a wall whose sides have these owners, and the
// owner that it comes from: the one that asks for less.
func (b *bench) between(limits []stock.Limit, s, t uint32) (*piece.Owner, stock.Limit) {
	o, p := b.owner(s), b.owner(t)
	switch {
	case o == nil && p == nil:
		return nil, stock.Limit{}
	case o == nil:
		return p, limits[t-1]
	case p != nil && limits[t-1].Caution.Value < limits[s-1].Caution.Value:
		return p, limits[t-1]
	}
	return o, limits[s-1]
}

// Zones of walls that have limits of their own, whatever their owners, or are
// judged elsewhere. They are kept apart, or the thinnest place of a plate, which may
// have the mildest limit, would speak for all of it.
const (
	openZone    = iota
	atWire      // on a wire, or where one joins
	neckZone    // what notches leave of one
	airZone     // between two stones at a girdle: as wide as the air between them
	webZone     // between the seats of two stones under their girdles
	bearingZone // at the seat of one
	bezelZone
	groovedZone
	eyeZone // between the eye of a link and an edge
)

// zones returns what says in which zone a wall of the casting lies.
func (b *bench) zones(c placed, limits []stock.Limit) func(p, q vec.P, tags [2]uint32) int {
	type part struct {
		role piece.Role
		f    sdf.Field
		box  vec.Box
	}
	var parts []part
	b.piece.Parts(c.from, func(o piece.Owner, f sdf.Field) {
		if o.Role == piece.BezelRole || slices.Contains(wireRoles, o.Role) {
			parts = append(parts, part{o.Role, f, f.Bounds().Grow(joined)})
		}
	})
	eyes := b.eyes(c)
	depth := map[string]float64{} // of the rays of plates
	for _, o := range b.piece.Owners {
		if r := b.rays(o); r != nil {
			depth[o.Address] = r.Depth
		}
	}
	return func(p, q vec.P, tags [2]uint32) int {
		p, q = c.back.Point(p), c.back.Point(q)
		bezel := false
		for _, t := range parts {
			for _, p := range [2]vec.P{p, q} {
				if t.box.Has(p) && abs(t.f.Dist(p)) < joined {
					if t.role != piece.BezelRole {
						return c.wireZone(p, q)
					}
					bezel = true
				}
			}
		}
		seated := openZone // what lies under a stone in a gallery is no seat
		if slices.ContainsFunc(tags[:], func(t uint32) bool { o := b.owner(t); return o == nil || o.Role.Seated() }) {
			seated = c.stoneZone(p, q)
		}
		switch {
		case seated != openZone:
			return seated
		case bezel:
			return bezelZone
		case slices.ContainsFunc(eyes, func(e eye) bool { return e.beside(p, q) }):
			return eyeZone
		}
		// At or under a groove, or beside one and no deeper than it.
		if c.grooved(p) || c.grooved(q) {
			return groovedZone
		}
		high := max(p.Z, q.Z)
		if o, _ := b.between(limits, tags[0], tags[1]); o != nil && high < -give && high > -depth[o.Address]-give {
			return groovedZone
		}
		return openZone
	}
}

// rays returns the rays of an owner, nil for none.
func (b *bench) rays(o piece.Owner) *piece.Rays {
	if o.Role != piece.PlateRole {
		return nil
	}
	p, _ := lang.Find[*piece.Plate](b.piece.Recipe, o.Address)
	return p.Rays
}

// joined is how near in mm to the surface of a part a place counts as part of
// its joint.
const joined = 0.05

// stoneZone returns the zone of a wall with the sides p and q at the seats of stones,
// openZone if it is at none.
func (c placed) stoneZone(p, q vec.P) int {
	s, a := c.sites.At(p, give)
	t, b := c.sites.At(q, give)
	switch {
	case a == nil && b == nil:
		return openZone
	case a == nil || b == nil || a == b:
		return bearingZone
	case s == piece.Girdle || t == piece.Girdle:
		return airZone
	}
	return webZone
}

// grooved says whether a place lies on the walls of a ray.
func (c placed) grooved(p vec.P) bool {
	s, _ := c.sites.At(p, give)
	return s == piece.Ray
}

// neighbours returns the stones between whose seats a wall stands, nil unless there are
// two.
func (c placed) neighbours(s wall.Spot) (near, far *piece.Stone) {
	_, near = c.sites.At(c.back.Point(s.At), give)
	_, far = c.sites.At(c.back.Point(s.Other), give)
	switch {
	case near == nil || far == nil || near == far:
		return nil, nil
	case far.Group == near.Group && far.N < near.N:
		near, far = far, near
	}
	return near, far
}

// wireZone is stoneZone on a wire.
func (c placed) wireZone(p, q vec.P) int {
	switch c.stoneZone(p, q) {
	case openZone:
		return atWire
	case airZone:
		return airZone
	}
	return neckZone
}
