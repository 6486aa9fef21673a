package proof

import (
	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// PlateLimit returns what the house of the piece asks of its plates at the
// least, mm: the scale of maps of walls.
func PlateLimit(m *build.Model) float64 {
	name := lang.All[*piece.Head](m.Piece.Recipe)[0].House
	house, _ := stock.HouseNamed(name)
	role := stock.PlateSmall
	for i := range m.Piece.Castings {
		if s := m.Piece.Castings[i].Metal.Bounds().Size(); max(s.X, s.Y, s.Z) > stock.PlateSpan {
			role = stock.PlateLarge
		}
	}
	limit, _ := house.Limit(role)
	return limit.Fail.Value
}
