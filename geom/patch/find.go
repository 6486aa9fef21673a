package patch

import (
	"cmp"
	"math"
	"slices"

	"waxwright/geom/vec"
)

// place is where a point lies in the order of an octree in the root cube: the
// bits of its coordinates in turn, z first.
type place uint64

// placeBits is how many bits of each coordinate a place has: parts of the root
// cube far below any cell.
const placeBits = 21

// placeOf returns the place of a point, and of the lowest corner of a cube whose
// corner is off by less than half such a part where up is 0.5.
func (b *builder) placeOf(p vec.P, up float64) place {
	const most = 1<<placeBits - 1
	low := b.root.at.Sub(vec.P{X: 1, Y: 1, Z: 1}.Mul(b.root.half))
	k := p.Sub(low).Mul((most + 1) / (2 * b.root.half))
	bits := func(x float64) place {
		v := place(min(max(math.Floor(x+up), 0), most))
		v = (v | v<<32) & 0x1f00000000ffff
		v = (v | v<<16) & 0x1f0000ff0000ff
		v = (v | v<<8) & 0x100f00f00f00f00f
		v = (v | v<<4) & 0x10c30c30c30c30c3
		return (v | v<<2) & 0x1249249249249249
	}
	return bits(k.X) | bits(k.Y)<<1 | bits(k.Z)<<2
}

// cellAt returns the cell in which a point lies, -1 where no surface is near.
func (b *builder) cellAt(p vec.P) int {
	i, ok := slices.BinarySearchFunc(b.places, b.placeOf(p, 0), cmp.Compare[place])
	if !ok {
		i--
	}
	if i < 0 || !b.cells[i].holds(p, cellGrow) {
		return -1
	}
	return i
}

// reaches reports whether the surface of the solid passes within d of p: what
// is left of the program in p's cell has the same zeros there, and grows from
// them no slower.
func (b *builder) reaches(p vec.P, d float64) bool { return b.reachesIn(b.cellAt(p), p, d) }

// reachesIn is reaches for a point whose cell is known, -1 where there is none.
func (b *builder) reachesIn(i int, p vec.P, d float64) bool {
	if i >= 0 && !b.cells[i].seamed {
		c := &b.cells[i]
		var v float64
		if c.local != nil {
			v, _ = c.local.At(p)
		} else {
			v = b.value(c.ids[0], p)
		}
		if math.Abs(v) <= d {
			return true
		}
	}
	return math.Abs(b.code.Dist(p)) <= d
}

// ownerAt returns the owner of the surface near p.
func (b *builder) ownerAt(p vec.P) uint32 {
	l := b.all
	if i := b.cellAt(p); i >= 0 && !b.cells[i].seamed {
		if l = b.cells[i].local; l == nil {
			return b.cells[i].tag
		}
	}
	_, w := l.At(p)
	return l.Tag(w)
}
