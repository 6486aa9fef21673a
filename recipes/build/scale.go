package build

import (
	"fmt"

	"waxwright/geom/contour"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/piece"
)

// scale makes the casting's mesh k times as large about the origin of its
// frame, and all that was found out in that frame with it. The mesh may be
// shared with a cache: it is copied. A factor of 1 leaves all as it is, bit for
// bit.
func (c *Casting) scale(k float64) {
	if k == 1 {
		return
	}
	c.Mesh = Scaled(c.Mesh, k)
	c.Reached, c.ReachedAt = c.Reached*k, c.ReachedAt.Mul(k)
	spots := make([]contour.Spot, len(c.Unresolved))
	for i, s := range c.Unresolved {
		s.At, s.Width = s.At.Mul(k), s.Width*k
		spots[i] = s
	}
	c.Unresolved = spots
}

// Scaled returns a copy of a mesh, k times as large.
func Scaled(m *mesh.Mesh, k float64) *mesh.Mesh {
	out := &mesh.Mesh{V: make([]vec.P, len(m.V)), T: m.T, Tag: m.Tag}
	for i, v := range m.V {
		out.V[i] = v.Mul(k)
	}
	return out
}

// Cast returns the mesh of a casting at the size that the metal will have: what
// Worn places, and pictures show.
func (m *Model) Cast(c *Casting) *mesh.Mesh {
	if m.Piece.Scale == 1 {
		return c.Mesh
	}
	return Scaled(c.Mesh, 1/m.Piece.Scale)
}

// Field returns the field of a casting in the frame of the mesh that Cast
// returns. Mirror images have none.
func (m *Model) Field(c *Casting) (*sdf.Code, error) {
	from := &m.Piece.Castings[c.Of]
	if c.Mirrored {
		return nil, fmt.Errorf("casting %s is a mirror image: it has no field", c.Name)
	}
	if from.Turn == vec.Here {
		return sdf.Compile(from.Metal)
	}
	return sdf.Compile(sdf.At(from.Metal, from.Turn))
}

// mark ends the names of files that could be taken for others: scaled ones, so
// that nobody scales them again, and those of the finished piece, so that nobody
// casts them.
func (m *Model) mark() string {
	switch {
	case m.Piece.For == piece.Finished:
		return "-finished"
	case m.Piece.Scale != 1:
		return fmt.Sprintf("-x%.3f", m.Piece.Scale)
	}
	return ""
}
