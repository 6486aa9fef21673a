package stock

import (
	"fmt"
	"math"
)

// Inch is one inch in mm, by definition.
const Inch = 25.4

// AWG returns the diameter in mm of a wire of that American (Brown & Sharpe)
// gauge: 0.127 * 92^((36-n)/39) (ASTM B258: 0.005 in at 36, 0.46 in at 0000,
// 39 equal ratios between). 0, 00, 000, 0000 are 0, -1, -2, -3. It fails
// outside -3 to 44. The British standard gauge differs by up to 0.7 mm.
func AWG(n float64) (float64, error) {
	if !(n >= -3 && n <= 44) {
		return 0, fmt.Errorf("wire gauge %g: AWG runs from -3 (0000) to 44", n)
	}
	return 0.127 * math.Pow(92, (36-n)/39), nil
}

// AWGOf returns the gauge, with a fraction, of a wire of that diameter in mm.
// It fails where AWG has no such wire.
func AWGOf(mm float64) (float64, error) {
	n := 36 - 39*math.Log(mm/0.127)/math.Log(92)
	// the thinnest and the thickest wire keep their gauge in spite of rounding
	if n = max(-3, n); n < -3 || n > 44.0000001 || mm > 0.46*Inch+1e-9 || math.IsNaN(n) {
		return 0, fmt.Errorf("wire of %g mm: AWG runs from 0.050 mm (44) to 11.684 mm (0000)", mm)
	}
	return min(n, 44), nil
}

// prongWires are usual prong diameters by the size of a round stone, mm. They
// are common practice; no published table was found.
var prongWires = [][2]float64{{1, 0.40}, {1.5, 0.50}, {2, 0.60}, {3, 0.70}, {4, 0.80}, {5, 0.90}, {6.5, 1.00}}

// ProngWire returns the usual diameter in mm of a prong that holds a stone of
// that size in mm: common practice, no source; straight lines between 1 and
// 6.5 mm, the first value below, the last slope above.
func ProngWire(size float64) Figure { return Figure{along(prongWires, size), Common} }

// along reads a table of (x, y) at x: the first y before it, straight lines in
// it, the last slope after it.
func along(table [][2]float64, x float64) float64 {
	if x <= table[0][0] {
		return table[0][1]
	}
	i := 1
	for i < len(table)-1 && table[i][0] < x {
		i++
	}
	a, b := table[i-1], table[i]
	return a[1] + float64((b[1]-a[1])*((x-a[0])/(b[0]-a[0])))
}
