package finding

import "math"

// Bundle returns the least bore, in widths of a wire, through which n equal
// wires pass side by side: the smallest circle round n equal circles (R. L.
// Graham and others, "Dense packings of congruent circles in a circle", 1998;
// proved for these n; from memory). From 8 wires on it is the area of n circles at the
// density of the loosest of those, which leaves some air. None need no bore.
func Bundle(n int) float64 {
	switch {
	case n <= 0:
		return 0
	case n <= 2:
		return float64(n)
	case n == 3:
		return 1 + 2/math.Sqrt(3)
	case n == 4:
		return 1 + math.Sqrt2
	case n == 5:
		return 1 + math.Sqrt(2*(1+1/math.Sqrt(5)))
	case n <= 7:
		return 3
	}
	return math.Sqrt(2 * float64(n)) // density 1/2, that of two
}
