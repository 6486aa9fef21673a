package build

import (
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/piece"
)

// pair adds what the other ear needs: a second of everything, or the mirror
// image of what is not its own. Meshes are mirrored, not modelled again, so that
// both ears weigh the same to the last digit.
func (m *Model) pair() {
	if m.Piece.Pair == piece.Single {
		return
	}
	m.place()
	twin := *m.Twin
	for i, c := range m.Castings[:len(m.Castings):len(m.Castings)] {
		if c.Handed {
			m.Castings = append(m.Castings, c.mirrored(twin))
			continue
		}
		m.Castings[i].Quantity = 2
		m.Castings[i].Worn = append(m.Castings[i].Worn, twin.After(c.Worn[0]))
	}
}

// place finds where the other ear of a pair is.
func (m *Model) place() {
	box := vec.Empty()
	for _, c := range m.Castings {
		for _, s := range m.Cast(&c).V {
			box = box.With(c.Worn[0].Point(s))
		}
	}
	twin := vec.Shift(vec.P{X: math.Ceil(box.Size().X + earsApart)})
	if m.Piece.Pair == piece.Mirrored { // in the plane through the middle
		twin = twin.After(vec.Shift(vec.P{X: 2 * box.Center().X})).After(vec.MirrorX())
	}
	m.Twin = &twin
}

// handed says whether a solid differs from its mirror image in the upright
// plane through the middle of its box. The corners of its mesh lie on the true
// surface and the middles of its triangles within the tolerance of it; once
// mirrored they still do, unless the solid is handed.
func handed(code *sdf.Code, m *mesh.Mesh, tol float64) bool {
	twice := 2 * m.Bounds().Center().X
	off := func(p vec.P) bool {
		p.X = twice - p.X
		return math.Abs(code.Dist(p)) > 2*tol
	}
	if slices.ContainsFunc(m.V, off) {
		return true
	}
	for t := range m.T {
		a, b, c := m.Corners(t)
		if off(a.Add(b).Add(c).Mul(1.0 / 3)) {
			return true
		}
	}
	return false
}

// earsApart is the air between the two of a pair in pictures, mm.
const earsApart = 6

// mirrored returns the mirror image of a casting; twin takes the worn piece to
// its twin.
func (c Casting) mirrored(twin vec.Place) Casting {
	mirror := vec.MirrorX()
	c.Name += "-mirrored"
	c.Mirrored = true
	c.Mesh = c.Mesh.Transform(mirror)
	c.normals = turned(c.normals, mirror)
	c.Worn = []vec.Place{twin.After(c.Worn[0]).After(mirror)}
	c.Report.Bodies = slices.Clone(c.Report.Bodies)
	for i := range c.Report.Bodies {
		c.Report.Bodies[i].Box = mirror.Box(c.Report.Bodies[i].Box)
	}
	c.Report.Defects = slices.Clone(c.Report.Defects)
	for i := range c.Report.Defects {
		c.Report.Defects[i].At = mirror.Point(c.Report.Defects[i].At)
	}
	c.ReachedAt = mirror.Point(c.ReachedAt)
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
