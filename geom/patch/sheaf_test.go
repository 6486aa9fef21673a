package patch

import "testing"

// A sheaf without what it does not need is the same however much that was: both
// ends of a curve then say the same.
func TestNeeded(t *testing.T) {
	cases := func(n int, in func(a, b, c bool) bool) (bits uint16) {
		for k := range 1 << n {
			if in(k&1 != 0, k>>1&1 != 0, k>>2&1 != 0) {
				bits |= 1 << k
			}
		}
		return bits
	}
	in := func(a, b, c bool) bool { return a && (b || c) }
	three := sheaf{3, [most]int32{1, 2, 3, -1}, cases(3, in)}
	four := sheaf{4, [most]int32{1, 2, 3, 4}, cases(4, in)}
	if three.needed() != three || four.needed() != three {
		t.Errorf("%v and %v, not %v", three.needed(), four.needed(), three)
	}
	two := sheaf{3, [most]int32{1, 2, 3, -1}, cases(3, func(a, _, c bool) bool { return a && c })}
	if got := two.needed(); got != (sheaf{2, [most]int32{1, 3, -1, -1}, 0b1000}) {
		t.Errorf("%v", got)
	}
}
