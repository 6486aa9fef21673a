package piece

import (
	"math"
	"strings"
	"testing"

	"waxwright/geom/vec"
	"waxwright/solids/stock"
)

// hungDrop is a drop on a link on a stud.
const hungDrop = `piece "drop" {
  house = "practised"
}
plate "stud" {
  form   = "circle"
  across = 10
}
link "ring" {
  hangs_from = plate.stud
  wire       = 0.7
  bore       = 3.6
}
plate "drop" {
  form       = "circle"
  across     = 18
  hangs_from = link.ring
}
`

// Without a margin as much metal stays at an eye as the house asks of a plate of
// that span, but never less than the wire, and the rounding of its edge on top.
func TestMargin(t *testing.T) {
	limit := func(house string, r stock.Role) float64 {
		h, _ := stock.HouseNamed(house)
		l, _ := h.Limit(r)
		return l.Caution.Value
	}
	for _, c := range []struct {
		from, to   string
		stud, drop float64
	}{
		{"", "", limit("practised", stock.PlateSmall), limit("practised", stock.PlateLarge)},
		{"practised", "strict", limit("strict", stock.PlateSmall), limit("strict", stock.PlateLarge)},
		{"wire       = 0.7", "wire       = 1.7", 1.7, 1.7},
		{"wire       = 0.7", "wire = 0.7\n margin = 0.6", 0.6, 0.6},
		{"across     = 18", "across = 18\n edge = 0.4", limit("practised", stock.PlateSmall), limit("practised", stock.PlateLarge) + 0.4},
		{"plate \"stud\"", "house \"own\" {\n large_plate = [0.9, 1.35]\n}\nplate \"stud\"", limit("practised", stock.PlateSmall), 1.35},
	} {
		p, diags := Read([]byte(strings.Replace(hungDrop, c.from, c.to, 1)), "drop.hcl", nil)
		if p == nil {
			t.Fatal(diags)
		}
		eyes := 0
		p.Eyes(func(l *Link, in *Plate, at vec.P2, r float64) {
			eyes++
			want := map[string]float64{"stud": c.stud, "drop": c.drop}[in.Name]
			if got := -in.Outline().Dist(at) - r; math.Abs(got-want) > 1e-6 {
				t.Errorf("%s: %.3f mm at the eye in %s, want %.3f", c.to, got, in.Name, want)
			}
		})
		if eyes != 2 {
			t.Errorf("%d eyes", eyes)
		}
	}
}
