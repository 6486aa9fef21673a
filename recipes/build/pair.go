package build

import (
	"math"
	"slices"

	"waxwright/geom/vec"
	"waxwright/recipes/piece"
)

// pair adds what the other ear needs: a second of everything, or its mirror
// image. Meshes are mirrored, not modelled again, so that both ears weigh the
// same to the last digit.
func (m *Model) pair() {
	if m.Piece.Pair == piece.Single {
		return
	}
	box := vec.Empty()
	for _, c := range m.Castings {
		for _, s := range c.Mesh.V {
			box = box.With(c.Worn[0].Point(s))
		}
	}
	apart := vec.Shift(vec.P{X: math.Ceil(box.Size().X + earsApart)})
	if m.Piece.Pair == piece.Same {
		for i := range m.Castings {
			c := &m.Castings[i]
			c.Quantity = 2
			c.Worn = append(c.Worn, apart.After(c.Worn[0]))
		}
		return
	}
	// The twin is mirrored in the plane x = 0, so it has to be moved by what
	// the piece lies off that plane, too.
	mid := box.Center().X
	place := apart.After(vec.Shift(vec.P{X: 2 * mid})).After(vec.MirrorX())
	for _, c := range m.Castings[:len(m.Castings):len(m.Castings)] {
		m.Castings = append(m.Castings, c.mirrored(place))
	}
}

// earsApart is the air between the two of a pair in pictures, mm.
const earsApart = 6

// mirrored returns the mirror image of a casting; place takes the worn piece to
// its twin.
func (c Casting) mirrored(place vec.Place) Casting {
	mirror := vec.MirrorX()
	c.Name += "-mirrored"
	c.Mirrored = true
	c.Mesh = c.Mesh.Transform(mirror)
	c.Worn = []vec.Place{place.After(c.Worn[0]).After(mirror)}
	c.Report.Bodies = slices.Clone(c.Report.Bodies)
	for i := range c.Report.Bodies {
		c.Report.Bodies[i].Box = mirror.Box(c.Report.Bodies[i].Box)
	}
	c.Report.Defects = slices.Clone(c.Report.Defects)
	for i := range c.Report.Defects {
		c.Report.Defects[i].At = mirror.Point(c.Report.Defects[i].At)
	}
	c.Unresolved = slices.Clone(c.Unresolved)
	for i := range c.Unresolved {
		c.Unresolved[i].At = mirror.Point(c.Unresolved[i].At)
	}
	return c
}

// airBetween is the room between castings in the common build, mm: enough for
// supports and a cutter between them (common practice, no source).
const airBetween = 5

// lay puts the castings side by side, each standing on z = 0 and centred on
// y = 0, on whole microns.
func (m *Model) lay() {
	x := 0.0
	for i := range m.Castings {
		c := &m.Castings[i]
		box := c.Mesh.Bounds()
		for range c.Quantity {
			c.Laid = append(c.Laid, vec.Shift(vec.P{
				X: micron(x - box.Min.X),
				Y: micron(-box.Center().Y),
				Z: micron(-box.Min.Z),
			}))
			x += math.Ceil(box.Size().X) + airBetween
		}
	}
}

// micron rounds up to whole microns.
func micron(mm float64) float64 { return math.Ceil(mm*1000) / 1000 }
