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
	if !(n >= thickest && n <= thinnest) {
		return 0, fmt.Errorf("wire gauge %.4g: AWG runs from -3 (0000) to 44", n)
	}
	return awg(n), nil
}

// AWGOf returns the gauge, with its fraction, of a wire of that diameter in
// mm: the inverse of AWG. It fails where AWG has no such wire.
func AWGOf(mm float64) (float64, error) {
	if !(mm >= awg(thinnest) && mm <= awg(thickest)) {
		return 0, fmt.Errorf("wire of %.4g mm: AWG runs from %.3f mm (44) to %.3f mm (0000)", mm, awg(thinnest), awg(thickest))
	}
	return 36 - float64(39*math.Log(mm/0.127)/math.Log(92)), nil
}

// The gauges at which AWG begins and ends.
const thickest, thinnest = -3, 44

func awg(n float64) float64 { return 0.127 * math.Pow(92, (36-n)/39) }

// prongWires are usual prong diameters by the size of a round stone, mm. They
// are common practice; no published table was found.
var prongWires = [][2]float64{{1, 0.40}, {1.5, 0.50}, {2, 0.60}, {3, 0.70}, {4, 0.80}, {5, 0.90}, {6.5, 1.00}, {10, 1.20}}

// ProngWire returns the usual diameter in mm of a prong that holds a stone of
// that size in mm: common practice, no source; straight lines between 1 and
// 10 mm, the first value under it and the last above.
func ProngWire(size float64) Figure { return Figure{along(prongWires, size), Common} }

// along reads a table of (x, y) at x: straight lines in it, its first y before
// and its last y after it.
func along(table [][2]float64, x float64) float64 {
	for i, b := range table {
		if x > b[0] {
			continue
		}
		if i == 0 {
			return b[1]
		}
		a := table[i-1]
		return a[1] + float64((b[1]-a[1])*((x-a[0])/(b[0]-a[0])))
	}
	return table[len(table)-1][1]
}
