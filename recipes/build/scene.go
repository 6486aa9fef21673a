package build

import (
	"image/color"

	"waxwright/geom/picture"
	"waxwright/geom/vec"
	"waxwright/recipes/piece"
	"waxwright/solids/stone"
)

// Scene returns the model as worn, its stones in their places, for pictures.
// Of a pair both are shown, or only the first.
func (m *Model) Scene(both bool) picture.Scene {
	var s picture.Scene
	metal := picture.Metal{Color: opaque(m.Piece.Alloy.Color), Roughness: polished}
	for i := range m.Castings {
		c := &m.Castings[i]
		if c.Mirrored && !both {
			continue
		}
		cast := m.Cast(c)
		for j, at := range c.Worn {
			if j > 0 && !both {
				break
			}
			s.Items = append(s.Items, picture.Item{Mesh: cast, Place: at, Look: metal})
			from := &m.Piece.Castings[c.Of]
			at = at.After(c.fromOwn(from))
			for _, st := range from.Stones {
				s.Items = append(s.Items, picture.Item{Mesh: st.Cut.Mesh(), Place: at.After(st.Place), Look: look(st)})
			}
		}
	}
	return s
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

// look returns what a stone looks like.
func look(s piece.Stone) picture.Gem {
	_, faceted := s.Cut.(stone.Brilliant)
	g := picture.Gem{Color: opaque(s.Gem.Color), Index: s.Gem.Index, Fire: s.Gem.Fire, Faceted: faceted}
	if s.Gem.Opaque {
		g.Cloud = 1
	}
	return g
}

func opaque(c color.RGBA) color.NRGBA { return color.NRGBA{R: c.R, G: c.G, B: c.B, A: 255} }
