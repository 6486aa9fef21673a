package build

import (
	"context"
	"errors"
	"fmt"
	"image/color"

	"waxwright/geom/mesh"
	"waxwright/geom/picture"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/piece"
	"waxwright/solids/stone"
)

// Body is one casting, or one stone, of the piece as worn.
type Body struct {
	Casting *Casting
	Stone   *piece.Stone // nil for the metal
	Mesh    *mesh.Mesh
	Normals [][3]vec.P // true ones at the corners of the triangles, where they are known
	Place   vec.Place  // from the mesh to the piece as worn, perhaps mirrored
}

// Bodies returns the piece as worn, part by part: each casting, then its
// stones. Of a pair both are given, or only the first.
func (m *Model) Bodies(both bool) []Body {
	var all []Body
	for i := range m.Castings {
		c := &m.Castings[i]
		if c.Mirrored && !both {
			continue
		}
		cast := m.Cast(c)
		from := &m.Piece.Castings[c.Of]
		for j, at := range c.Worn {
			if j > 0 && !both {
				break
			}
			all = append(all, Body{Casting: c, Mesh: cast, Normals: c.normals, Place: at})
			at = at.After(c.fromOwn(from))
			for k := range from.Stones {
				st := &from.Stones[k]
				all = append(all, Body{Casting: c, Stone: st, Mesh: st.Cut.Mesh(), Place: at.After(st.Place)})
			}
		}
	}
	return all
}

// Worn takes the own frame of a casting, in which parts and stones are given,
// to the piece as worn: of a pair, to the first.
func (m *Model) Worn(c *Casting) vec.Place {
	return c.Worn[0].After(c.fromOwn(&m.Piece.Castings[c.Of]))
}

// Scene returns the model as worn, its stones in their places, for pictures.
// Of a pair both are shown, or only the first.
func (m *Model) Scene(both bool) picture.Scene {
	var s picture.Scene
	for _, b := range m.Bodies(both) {
		s.Items = append(s.Items, picture.Item{Mesh: b.Mesh, Normals: b.Normals, Place: b.Place, Look: m.look(b)})
	}
	return s
}

// Maps of walls are measured at places mapStep mm apart at the most, for the
// eye: under half of the thinnest wall that is cast; but on no more
// than mapMost triangles, give or take the last halving.
const (
	mapStep = 0.3
	mapMost = 150_000
)

// Metal is Scene without the stones.
func (m *Model) Metal(both bool) picture.Scene {
	var s picture.Scene
	for _, b := range m.Bodies(both) {
		if b.Stone == nil {
			s.Items = append(s.Items, picture.Item{Mesh: b.Mesh, Normals: b.Normals, Place: b.Place, Look: m.look(b)})
		}
	}
	return s
}

// Asked is what is asked of walls.
type Asked struct {
	Most float64 // the most that is asked of any, mm
	// Of returns what says for a casting what is asked of the wall between two
	// sides p and q, whose owners are tags, in the frame of Cast.
	Of func(c *Casting) func(p, q vec.P, tags [2]uint32) wall.Asked
}

// Walls is Metal of the first of a pair, painted by how thick the metal is, as a
// share of what is asked. Walls thicker than the scale's end are not told apart.
// Only sides for which seen holds are measured, at p with the outward normal n as
// worn, the others painted as if they were thick; nil stands for all. It ends with
// ctx.
func (m *Model) Walls(ctx context.Context, scale picture.Scale, asked Asked, seen func(p, n vec.P) bool, workers int) (picture.Scene, error) {
	var s picture.Scene
	if len(scale) == 0 {
		return s, errors.New("a map of walls without a scale")
	}
	for _, b := range m.Bodies(false) {
		if b.Stone != nil {
			continue
		}
		fine := b.Mesh.Split(mapStep, mapMost)
		o := wall.Options{Workers: workers}
		if seen != nil {
			o.Where = func(p, n vec.P) bool { return seen(b.Place.Point(p), b.Place.Dir(n)) }
		}
		shares, err := m.shares(ctx, b.Casting, fine, scale[len(scale)-1].At, asked, o)
		if err != nil {
			return s, err
		}
		s.Items = append(s.Items, picture.Item{Mesh: fine, Place: b.Place, Look: m.look(b), Paint: scale.Colors(shares)})
	}
	return s, nil
}

// Shares returns how thick the metal is at each vertex of a mesh of the casting, in
// the frame of Cast, as a share of what is asked: +Inf where nothing is, and
// perhaps where it is most times or more. Mirror images have none, see Field.
func (m *Model) Shares(ctx context.Context, c *Casting, on *mesh.Mesh, most float64, asked Asked, workers int) ([]float64, error) {
	return m.shares(ctx, c, on, most, asked, wall.Options{Workers: workers})
}

// shares is Shares by options of the measuring, but for its slack.
func (m *Model) shares(ctx context.Context, c *Casting, on *mesh.Mesh, most float64, asked Asked, o wall.Options) ([]float64, error) {
	code, err := m.Field(c)
	if err != nil {
		return nil, err
	}
	o.Slack = c.Reached / m.Piece.Scale
	o.Asked = asked.Of(c)
	shares, err := wall.Thickness(ctx, on, wall.Field(on, code), most*asked.Most, o)
	if err != nil {
		return nil, fmt.Errorf("casting %s: %w", c.Name, err)
	}
	return shares, nil
}

// look returns what a body looks like.
func (m *Model) look(b Body) picture.Look {
	if b.Stone == nil {
		return picture.Metal{Color: opaque(m.Piece.Alloy.Color), Roughness: polished}
	}
	_, faceted := b.Stone.Cut.(stone.Brilliant)
	gem := b.Stone.Gem
	g := picture.Gem{Color: opaque(gem.Color), Index: gem.Index, Fire: gem.Fire, Faceted: faceted}
	if gem.Opaque {
		g.Cloud = 1
	}
	return g
}

// fromOwn takes the casting's own frame, in which its stones are given, to that
// of the mesh.
func (c *Casting) fromOwn(from *piece.Casting) vec.Place {
	if c.Mirrored {
		return vec.MirrorX().After(from.Turn)
	}
	return from.Turn
}

// polished is the roughness of finished metal in pictures: chosen by eye.
const polished = 0.14

func opaque(c color.RGBA) color.NRGBA { return color.NRGBA{R: c.R, G: c.G, B: c.B, A: 255} }
