package piece_test

import (
	"fmt"
	"strings"
	"testing"

	"waxwright/recipes/piece"
)

// field is a recipe of n stones on a plate, in rows of a group each, held by
// what hold says.
func field(n int, hold string) string {
	const pitch = 2
	row := 1
	for row*row < n {
		row++
	}
	var s strings.Builder
	fmt.Fprintf(&s, "piece \"field\" {\n  alloy = \"silver-925\"\n}\nplate \"bed\" {\n  form = \"circle\"\n  across = %d\n}\n", 3*pitch*row/2)
	for r := range (n + row - 1) / row {
		fmt.Fprintf(&s, "stones \"row%d\" {\n  layout = \"points\"\n  gem = \"citrine\"\n  size = 1\n  points = [\n", r)
		for k := range min(row, n-r*row) {
			fmt.Fprintf(&s, "    %d, %d,\n", pitch*(k-row/2), pitch*(r-row/2))
		}
		fmt.Fprintf(&s, "  ]\n}\n%s\n  on = plate.bed\n  holds = stones.row%d\n}\n", fmt.Sprintf(hold, r), r)
	}
	return s.String()
}

// BenchmarkRead compiles plates of many stones: what a stone costs should not
// grow with their number.
func BenchmarkRead(b *testing.B) {
	for _, hold := range []string{
		"bezel \"row%d\" {\n  wall = 0.3",
		"prongs \"row%d\" {\n  where = \"around\"\n  wire = 0.4",
	} {
		name, _, _ := strings.Cut(hold, " ")
		for _, n := range []int{100, 1000, 4000} {
			src := []byte(field(n, hold))
			b.Run(fmt.Sprint(name, "/", n), func(b *testing.B) {
				for b.Loop() {
					if _, diags := piece.Read(src, "field.hcl", nil); diags.Faulty() {
						b.Fatal(diags)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "us/stone")
			})
		}
	}
}
