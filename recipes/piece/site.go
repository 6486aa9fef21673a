package piece

import (
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
	Plain Site = iota
	Seat       // the seat of a stone, or the hole under one
	Ray        // a groove
)

var siteNames = [...]string{Plain: "", Seat: "seat", Ray: "ray"}

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

// At returns the site of a place of the surface that may be off by give, mm.
func (s *Sites) At(at vec.P, give float64) Site {
	for _, i := range s.boxes.Meeting(vec.BoxOf(at).Grow(give)) {
		if s.stones[i].Place.Local(at).XY().Len() < s.radii[i]+give {
			return Seat
		}
	}
	if s.rays != nil && math.Abs(s.rays.Dist(at)) < give {
		return Ray
	}
	return Plain
}

// roleKinds are the kinds of block that make each role.
var roleKinds = [...]string{
	PlateRole: "plate", BezelRole: "bezel", ProngRole: "prongs", GalleryRole: "gallery",
	BailRole: "bail", LinkRole: "link", PostRole: "post",
}

// At names a site of the owner, for files: "prongs.inner 3", "plate.sun, seat".
func (o Owner) At(s Site) string {
	if s == Plain {
		return o.String()
	}
	return o.String() + ", " + siteNames[s]
}

// ParseSite reads what Owner.At has written: the address, the role and the site; ok is
// false for what is no such name.
func ParseSite(name string) (address string, r Role, s Site, ok bool) {
	owner, site, _ := strings.Cut(name, ", ")
	address, _, _ = strings.Cut(owner, " ")
	kind, _, dot := strings.Cut(address, ".")
	i, j := slices.Index(roleKinds[:], kind), slices.Index(siteNames[:], site)
	if !dot || i < 0 || j < 0 {
		return "", 0, 0, false
	}
	return address, Role(i), Site(j), true
}
