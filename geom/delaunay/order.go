package delaunay

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"
)

func inReach(p Point) error {
	if max(p.X, p.Y) > Reach || min(p.X, p.Y) < -Reach {
		return fmt.Errorf("(%d, %d) is out of reach, which is %d", p.X, p.Y, Reach)
	}
	return nil
}

// A key of the order of insertion is, from the top, 4 bits of the round, 28
// bits along the curve, and the index of the point. Equal points differ in the
// index only, so the first of them comes first.
const (
	rounds = 16
	fine   = 14 // bits of each coordinate that the curve sees
)

// sort fills order with the keys of all points, least first.
func (t *Triangulation) sort() {
	t.order = t.order[:0]
	if len(t.Points) == 0 {
		return
	}
	lo, hi := t.Points[0], t.Points[0]
	for _, p := range t.Points {
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	// One scale for both: a strip is walked along.
	wide := uint64(max(int64(hi.X)-int64(lo.X), int64(hi.Y)-int64(lo.Y)))
	shift := max(0, bits.Len64(wide)-fine)
	for i, p := range t.Points {
		h := hilbert(uint32(p.X-lo.X)>>shift, uint32(p.Y-lo.Y)>>shift)
		t.order = append(t.order, uint64(round(p))<<60|uint64(h)<<32|uint64(i))
	}
	slices.Sort(t.order)
}

// round draws the round of a point: three quarters are in the last, three
// quarters of the others in the one before, and so on.
func round(p Point) int {
	h := uint64(uint32(p.X))<<32 | uint64(uint32(p.Y))
	h = (h ^ h>>30) * 0xbf58476d1ce4e5b9 // the finish of splitmix64 (from memory)
	h = (h ^ h>>27) * 0x94d049bb133111eb
	h ^= h >> 31
	return rounds - 1 - min(bits.TrailingZeros64(h)/2, rounds-1)
}

// hilbert is how far along the Hilbert curve a cell of the square lies.
func hilbert(x, y uint32) uint32 {
	d := uint32(0)
	for s := uint32(1) << (fine - 1); s > 0; s >>= 1 {
		rx, ry := x&s, y&s
		d <<= 2
		switch {
		case ry != 0 && rx != 0:
			d |= 2
		case ry != 0:
			d |= 1
		case rx != 0:
			d |= 3
			x, y = ^y, ^x
		default:
			x, y = y, x
		}
	}
	return d
}

func sortTwins(twins []Twin) {
	slices.SortFunc(twins, func(a, b Twin) int { return cmp.Compare(a.Point, b.Point) })
}

// twinOf returns the vertex that point i equals.
func twinOf(twins []Twin, i int32) int32 {
	k, ok := slices.BinarySearchFunc(twins, i, func(a Twin, i int32) int { return cmp.Compare(a.Point, i) })
	if !ok {
		panic(fmt.Sprintf("delaunay: point %d is neither vertex nor twin", i))
	}
	return twins[k].Of
}
