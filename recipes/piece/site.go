package piece

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
)

// Site is what a place on the surface of a part has been made for: limits of walls go
// by it, too.
type Site uint8

// The sites.
const (
	Plain  Site = iota
	Seat        // the seat of a stone under its girdle, or the hole there
	Girdle      // the seat of a stone from the underside of its girdle up
	Ray         // a groove
)

var siteNames = [...]string{Plain: "", Seat: "seat", Girdle: "girdle", Ray: "ray"}

// OfStone says whether it is the site of a stone.
func (s Site) OfStone() bool { return s == Seat || s == Girdle }

// Sites finds the sites on the surface of one casting.
type Sites struct {
	stones []Stone
	radii  []float64
	boxes  *vec.Boxes // of the columns over and under the stones
	rays   sdf.Field  // nil without
}

// SitesOf returns what finds sites on the casting's surface, in its own frame.
func (p *Piece) SitesOf(c *Casting) *Sites {
	s := &Sites{stones: c.Stones}
	far := c.Metal.Bounds().Size().Len()
	var boxes []vec.Box
	for _, t := range c.Stones {
		g, _ := lang.Find[*Stones](p.Recipe, t.Group)
		r := g.Largest() / 2
		s.radii = append(s.radii, r)
		boxes = append(boxes, t.Place.Box(vec.Box{Min: vec.P{X: -r, Y: -r, Z: -far}, Max: vec.P{X: r, Y: r, Z: far}}))
	}
	s.boxes = vec.NewBoxes(boxes)
	if plate, ok := lang.Find[*Plate](p.Recipe, c.Root); ok {
		s.rays = plate.Grooves()
	}
	return s
}

// At returns the site of a place of the surface that may be off by give, mm, and the
// stone whose seat it is, nil for none.
func (s *Sites) At(at vec.P, give float64) (Site, *Stone) {
	site, of, most := Plain, (*Stone)(nil), give
	for _, i := range s.boxes.Meeting(vec.BoxOf(at).Grow(give)) {
		local := s.stones[i].Place.Local(at)
		out := local.XY().Len() - s.radii[i]
		if out >= most {
			continue
		}
		site, of, most = Seat, &s.stones[i], out
		if local.Z > -give {
			site = Girdle
		}
	}
	if of == nil && s.rays != nil && math.Abs(s.rays.Dist(at)) < give {
		site = Ray
	}
	return site, of
}

// Seated says whether stones are set in metal of the role: what lies under one in any
// other is no part of its seat.
func (r Role) Seated() bool { return r == PlateRole || r == BezelRole || r == ProngRole }

// roleKinds are the kinds of block that make each role.
var roleKinds = [...]string{
	PlateRole: "plate", BezelRole: "bezel", ProngRole: "prongs", GalleryRole: "gallery",
	BailRole: "bail", LinkRole: "link", PostRole: "post",
}

// At names a site of the owner, for files, with the stone whose seat it is: "prongs.inner
// 3", "plate.sun, ray", "plate.sun, seat of stones.petals 4".
func (o Owner) At(s Site, of *Stone) string {
	switch {
	case s.OfStone() && !o.Role.Seated(), s == Plain:
		return o.String()
	case of == nil:
		return o.String() + ", " + siteNames[s]
	}
	return fmt.Sprintf("%s, %s of %s %d", o, siteNames[s], of.Group, of.N)
}

// Named is what the name of a site says.
type Named struct {
	Address string // of the part's block
	Role    Role
	Site    Site
	Stone   string // whose seat it is, "stones.petals 4"
}

// ParseSite reads what Owner.At has written; ok is false for what is no such name.
func ParseSite(name string) (n Named, ok bool) {
	owner, site, _ := strings.Cut(name, ", ")
	address, _, _ := strings.Cut(owner, " ")
	kind, _, dot := strings.Cut(address, ".")
	site, stone, _ := strings.Cut(site, " of ")
	i, j := slices.Index(roleKinds[:], kind), slices.Index(siteNames[:], site)
	if !dot || i < 0 || j < 0 {
		return Named{}, false
	}
	return Named{address, Role(i), Site(j), stone}, true
}
