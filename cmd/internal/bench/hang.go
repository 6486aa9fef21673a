package bench

import (
	"math"

	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// hangOf finds how a pendant hangs: it turns about the top of its bail's bore
// until its centre of mass, stones and all, lies straight below (statics of a
// rigid body on a pivot). It is nil for a piece without a bail: what hangs from
// links already does so in the model, and studs are held by the ear.
func hangOf(m *build.Model) *hang {
	for _, o := range m.Piece.Owners {
		if o.Role != piece.BailRole {
			continue
		}
		bail, ok := lang.Find[*piece.Bail](m.Piece.Recipe, o.Address)
		if !ok {
			continue
		}
		top := m.Piece.Castings[o.Casting].Hang.Point(o.Place.O)
		top.Y += bail.Bore / 2
		return &hang{matrix(below(top, massOf(m)))}
	}
	return nil
}

// below returns the least turn about a pivot that brings a point straight under
// it.
func below(pivot, at vec.P) vec.Place {
	down := vec.P{Y: -1}
	arm := at.Sub(pivot)
	if arm.Len() == 0 {
		return vec.Here
	}
	axis := arm.Cross(down)
	angle := math.Atan2(axis.Len(), arm.Dot(down))
	if axis.Len() == 0 { // below already, or straight above
		axis = vec.P{X: 1}
	}
	turn := vec.Turn(axis, angle)
	turn.O = pivot.Sub(turn.Dir(pivot))
	return turn
}

// massOf returns the centre of mass of what the page shows of a model.
func massOf(m *build.Model) vec.P {
	var sum vec.P
	grams := 0.0
	add := func(g float64, at vec.P) {
		grams += g
		sum = sum.Add(at.Mul(g))
	}
	for _, c := range shown(m) {
		add(c.Grams, c.Worn[0].Point(m.Cast(c).Centroid()))
		from := &m.Piece.Castings[c.Of]
		for _, s := range from.Stones {
			add(s.Gem.Carats(s.Cut.Volume())*stock.Carat, from.Hang.Point(s.Place.O))
		}
	}
	if grams == 0 {
		return vec.P{}
	}
	return sum.Mul(1 / grams)
}
