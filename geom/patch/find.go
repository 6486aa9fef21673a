package patch

import (
	"cmp"
	"math"
	"slices"
	"sync/atomic"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// place is where a point lies in the order of an octree in the root cube: the
// bits of its coordinates in turn, z first.
type place uint64

// placeBits is how many bits of each coordinate a place has: parts of the root
// cube far below any cell.
const placeBits = 21

// placeOf returns the place of a point.
func (b *builder) placeOf(p vec.P) place { return b.cornerOf(p, 0) }

// cornerOf returns the place of the lowest corner of a cube that may be off by
// the share up of the least part.
func (b *builder) cornerOf(p vec.P, up float64) place {
	const most = 1<<placeBits - 1
	k := p.Sub(b.lowest()).Mul((most + 1) / (2 * b.root.half))
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

// lowest returns the lowest corner of the root cube.
func (b *builder) lowest() vec.P {
	return b.root.at.Sub(vec.P{X: 1, Y: 1, Z: 1}.Mul(b.root.half))
}

// cellAt returns the cell in which a point lies, -1 where no surface is near.
func (b *builder) cellAt(p vec.P) int {
	i, ok := slices.BinarySearchFunc(b.places, b.placeOf(p), cmp.Compare[place])
	if !ok {
		i--
	}
	if i < 0 || !b.cells[i].holds(p, cellGrow) {
		return -1
	}
	return i
}

// views are what is left of the field in the parts of the root cube, each made
// when it is first asked for. They owe nothing to the cells' programs: what is
// checked with them is checked apart.
type views struct {
	code  *sdf.Code
	parts int // each way
	of    []atomic.Pointer[sdf.View]
}

// mostParts is into how many parts each way the root cube is divided at most.
const mostParts = 48

// newViews returns views of a code: the longer its program, the more.
func newViews(c *sdf.Code) *views {
	n := min(max(int(2*math.Sqrt(float64(c.Whole().Len()))), 1), mostParts)
	return &views{c, n, make([]atomic.Pointer[sdf.View], n*n*n)}
}

// view returns the field in the part in which p lies, nil outside of all.
func (b *builder) view(of *views, p vec.P) *sdf.View {
	low := b.lowest()
	parts := of.parts
	edge := 2 * b.root.half / float64(parts)
	k := p.Sub(low).Mul(1 / edge)
	x, y, z := math.Floor(k.X), math.Floor(k.Y), math.Floor(k.Z)
	if !(min(x, y, z) >= 0 && max(x, y, z) < float64(parts)) {
		return nil
	}
	at := &of.of[(int(z)*parts+int(y))*parts+int(x)]
	v := at.Load()
	if v == nil {
		from := low.Add(vec.P{X: x, Y: y, Z: z}.Mul(edge))
		slack := vec.P{X: 1, Y: 1, Z: 1}.Mul(edge * (cellGrow - 1)) // for roundings
		w := of.code.Within(vec.Box{Min: from.Sub(slack), Max: from.Add(vec.P{X: 1, Y: 1, Z: 1}.Mul(edge)).Add(slack)})
		v = &w
		at.Store(v)
	}
	return v
}

// dist returns a bound of the distance from p to the surface of the solid, which
// vanishes where the surface is.
func (b *builder) dist(p vec.P) float64 { return b.distOf(b.views, p) }

// distOf is dist of the field that views are of.
func (b *builder) distOf(of *views, p vec.P) float64 {
	if v := b.view(of, p); v != nil {
		return math.Abs(v.Dist(p))
	}
	return math.Abs(of.code.Dist(p))
}

// ownerAt returns the owner of the surface near p.
func (b *builder) ownerAt(p vec.P) uint32 {
	if v := b.view(b.views, p); v != nil {
		_, _, tag := v.Slope(p)
		return tag
	}
	_, w := b.all.At(p)
	return b.all.Tag(w)
}
