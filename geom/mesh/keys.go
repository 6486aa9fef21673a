package mesh

import "math"

// keys is a box32 as whole numbers that are ordered as its floats are (-0
// before 0): the smaller and the larger of two are found without a branch,
// which while boxes are gathered could not be foretold.
type keys struct{ lo, hi [3]int32 }

// key turns the bits of a float into its key and back.
func key(b int32) int32 { return b ^ b>>31&math.MaxInt32 }

func toKey(f float32) int32   { return key(int32(math.Float32bits(f))) }
func fromKey(k int32) float32 { return math.Float32frombits(uint32(key(k))) }

func (b *box32) keys() (k keys) {
	for a := range 3 {
		k.lo[a], k.hi[a] = toKey(b.lo[a]), toKey(b.hi[a])
	}
	return k
}

func (k *keys) box() (b box32) {
	for a := range 3 {
		b.lo[a], b.hi[a] = fromKey(k.lo[a]), fromKey(k.hi[a])
	}
	return b
}

// add grows k to hold c.
func (k *keys) add(c *keys) {
	k.lo[0], k.hi[0] = min(k.lo[0], c.lo[0]), max(k.hi[0], c.hi[0])
	k.lo[1], k.hi[1] = min(k.lo[1], c.lo[1]), max(k.hi[1], c.hi[1])
	k.lo[2], k.hi[2] = min(k.lo[2], c.lo[2]), max(k.hi[2], c.hi[2])
}

// noKeys is the keys of the empty box.
var noKeys = emptyBox.keys()

// area returns half the surface of the box, 0 if it is empty.
func (k *keys) area() float32 {
	x, y, z := fromKey(k.hi[0])-fromKey(k.lo[0]), fromKey(k.hi[1])-fromKey(k.lo[1]), fromKey(k.hi[2])-fromKey(k.lo[2])
	if x < 0 {
		return 0
	}
	return float32(x*y) + float32(y*z) + float32(z*x)
}
