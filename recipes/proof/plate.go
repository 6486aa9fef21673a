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
	span := 0.0
	for i := range m.Piece.Castings {
		s := m.Piece.Castings[i].Metal.Bounds().Size()
		span = max(span, s.X, s.Y, s.Z)
	}
	limit, _ := house.Limit(stock.PlateOf(span))
	return limit.Fail.Value
}
