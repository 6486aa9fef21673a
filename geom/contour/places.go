package contour

// places finds blocks by their keys: an open hash table with linear probing.
// Any number of goroutines may read it while none writes.
type places struct {
	slots []place
	used  int
}

type place struct {
	k uint64
	b *block // nil in an empty slot
}

// word packs a key: 5 bits of level, 19 for each coordinate.
func (k key) word() uint64 {
	return uint64(k.level)<<57 | uint64(k.x)<<38 | uint64(k.y)<<19 | uint64(k.z)
}

// slot returns where a key's search begins: the high bits of its product with
// 2^64 over the golden ratio (D. Knuth, The Art of Computer Programming 3,
// section 6.4).
func (t *places) slot(w uint64) int {
	h := w * 0x9e3779b97f4a7c15
	return int((h ^ h>>32) & uint64(len(t.slots)-1))
}

// get returns the block of a key, nil where there is none.
func (t *places) get(k key) *block {
	if t.used == 0 {
		return nil
	}
	w := k.word()
	for i := t.slot(w); ; i = (i + 1) & (len(t.slots) - 1) {
		s := &t.slots[i]
		if s.b == nil {
			return nil
		}
		if s.k == w {
			return s.b
		}
	}
}

// put adds a block.
func (t *places) put(b *block) {
	t.reserve(1)
	t.used++
	t.fill(place{b.key.word(), b})
}

// reserve makes room for n more blocks.
func (t *places) reserve(n int) {
	need := max(64, len(t.slots))
	for 4*(t.used+n) > 3*need {
		need *= 2
	}
	if need == len(t.slots) {
		return
	}
	old := t.slots
	t.slots = make([]place, need)
	for _, s := range old {
		if s.b != nil {
			t.fill(s)
		}
	}
}

func (t *places) fill(s place) {
	i := t.slot(s.k)
	for t.slots[i].b != nil {
		i = (i + 1) & (len(t.slots) - 1)
	}
	t.slots[i] = s
}
