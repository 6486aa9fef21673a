package patch

import (
	"math"
	"slices"
	"sync/atomic"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// cell is a cube that surfaces pass.
type cell struct {
	at    vec.P
	half  float64
	local *sdf.Local // what is left of the program; nil where there is one word
	ids   []int32    // the surfaces, in the order of the program
}

const (
	// leastCell is the half edge in mm of the cells in which surfaces that touch
	// are left together.
	leastCell = 8e-3
	// longest is the length in words of the longest program whose faces are
	// looked at one by one, but in the least cells.
	longest = 40
	// leastSine is the sine of the least angle at which surfaces cross in a cell.
	leastSine = 0.003
	// mostIn is the most surfaces that a cell is left with.
	mostIn = 8
	// cellGrow is how much larger than the cell its program is true.
	cellGrow = 1.02
	// wallGrow is how much larger a cell is whose walls are in it, too: what lies on
	// one is not missed by both cells for a rounding.
	wallGrow = 1.0001
	// cellReach is how far from a cell's middle its program is true, in half edges: more
	// than half the diagonal of a cube, sqrt(3), grown by cellGrow.
	cellReach = 1.8
	// mostTurn is by how much in radians, nearly, a surface may turn in a cell that is
	// left with several: 40 degrees.
	mostTurn = 0.7
	// rootParts is into how many parts each way the root cube is divided, for several
	// goroutines to work in.
	rootParts = 4
	// mostCells ends what is too fine for this mesher.
	mostCells = 400_000
)

// holds reports whether p lies in the cell grown by the factor.
func (c *cell) holds(p vec.P, grow float64) bool {
	d, h := p.Sub(c.at), c.half*grow
	return math.Abs(d.X) <= h && math.Abs(d.Y) <= h && math.Abs(d.Z) <= h
}

// truth says in which of 64 cases there is matter in the cell, where signs say of
// its surfaces, in their order, in which of them a point is inside.
func (c *cell) truth(signs []uint64) uint64 {
	return c.local.Truth(func(s int) uint64 {
		if k := slices.Index(c.ids, int32(s)); k >= 0 {
			return signs[k]
		}
		return 0
	})
}

// surveyor divides cubes into cells: what one goroutine works in.
type surveyor struct {
	*builder
	deep  []*sdf.Local
	fine  sdf.Local
	words []sdf.Word
	ids   []int32
	kept  []int32 // the room for cells' lists
	cells []cell  // found by this one, in place of the builder's

	visits int
	count  *atomic.Int64 // cells found by all
}

// divideAll finds the cells of the root cube, in the order of an octree.
func (b *builder) divideAll() error {
	const n = rootParts
	half := b.root.half / n
	by := make([]surveyor, b.workers)
	var count atomic.Int64
	found := make([][]cell, n*n*n)
	err := b.each(len(found), func(worker, i int) error {
		v := &by[worker]
		v.builder, v.count = b, &count
		v.cells = nil
		k := vec.P{
			X: float64(i&1|i>>2&2)*2 + 1 - n,
			Y: float64(i>>1&1|i>>3&2)*2 + 1 - n,
			Z: float64(i>>2&1|i>>4&2)*2 + 1 - n,
		}
		err := v.divide(b.all, b.root.at.Add(k.Mul(half)), half, 0)
		found[i] = v.cells
		count.Add(int64(len(found[i])))
		return err
	})
	if err != nil {
		return err
	}
	if count.Load() > mostCells {
		return refuse("too many cells", b.root.at)
	}
	from := make([]int, len(found)) // where each part's cells begin
	for i := range found[1:] {
		from[i+1] = from[i] + len(found[i])
	}
	b.cells = make([]cell, count.Load())
	b.places = make([]place, len(b.cells))
	return b.each(len(found), func(_, i int) error {
		copy(b.cells[from[i]:], found[i])
		for k, c := range found[i] {
			b.places[from[i]+k] = b.cornerOf(c.at.Sub(vec.P{X: 1, Y: 1, Z: 1}.Mul(c.half)), 0.5)
		}
		return nil
	})
}

// divide appends the cells of the cube about c in which something is mixed.
func (b *surveyor) divide(l *sdf.Local, c vec.P, half float64, depth int) error {
	for len(b.deep) <= depth {
		b.deep = append(b.deep, &sdf.Local{})
	}
	local := b.deep[depth]
	if l.Prune(local, c, half*cellGrow) != sdf.Mixed {
		return nil
	}
	if b.visits++; b.visits&255 == 0 {
		if err := b.ctx.Err(); err != nil {
			return err
		}
		if len(b.cells) > mostCells || b.count.Load() > mostCells {
			return refuse("too many cells", b.root.at)
		}
	}
	if local.Len() <= longest || half < leastCell {
		if done, err := b.settle(local, c, half); done || err != nil {
			return err
		}
	}
	if half < leastCell {
		return refuse("too many surfaces in one place", c)
	}
	return eachEighth(c, half, func(c vec.P, half float64) error { return b.divide(local, c, half, depth+1) })
}

// eachEighth calls f for the eight cubes that a cube is divided into, until it
// fails.
func eachEighth(c vec.P, half float64, f func(c vec.P, half float64) error) error {
	half /= 2
	for i := range 8 {
		if err := f(c.Octant(i, half), half); err != nil {
			return err
		}
	}
	return nil
}

// settle makes the cube a cell if it needs no smaller ones.
func (b *surveyor) settle(l *sdf.Local, c vec.P, half float64) (done bool, err error) {
	local := &b.fine
	if l.PruneFaces(local, c, half*cellGrow) != sdf.Mixed {
		return true, nil
	}
	ids := b.surfaces(local)
	plain := true // no surface waits to be taken apart
	for _, id := range ids {
		plain = plain && b.surf[id].Form != sdf.NoForm
		if v, ok := b.cut(id); ok && math.Abs(b.value(v, c)) < cellReach*half {
			ids = append(ids, v)
		}
		for _, v := range b.slits[id] {
			if b.slitNear(v, c, cellReach*half) {
				ids = append(ids, v)
			}
		}
	}
	b.ids = ids
	switch {
	case plain && len(ids) == 1:
		if b.faced.Seam(int(ids[0])) {
			return true, nil
		}
		k := cell{at: c, half: half, ids: b.keep(ids)}
		if _, one := local.Single(); !one {
			k.local = local.Own()
		}
		b.cells = append(b.cells, k)
		return true, nil
	case half < leastCell:
		if !plain {
			return false, refuse("corners that can't be told apart", c)
		}
		if len(ids) > 2*mostIn {
			return false, refuse("too many surfaces in one place", c)
		}
	case !plain || len(ids) > mostIn || !b.apart(ids, c, half):
		return false, nil
	}
	b.cells = append(b.cells, cell{at: c, half: half, local: local.Own(), ids: b.keep(ids)})
	return true, nil
}

// keep returns a copy of the list.
func (b *surveyor) keep(ids []int32) []int32 {
	if len(ids) > cap(b.kept)-len(b.kept) {
		b.kept = make([]int32, 0, 1<<12)
	}
	n := len(b.kept)
	b.kept = append(b.kept, ids...)
	return b.kept[n:len(b.kept):len(b.kept)]
}

// surfaces lists the different surfaces of a program.
func (b *surveyor) surfaces(l *sdf.Local) []int32 {
	b.words = l.Words(b.words[:0])
	b.ids = b.ids[:0]
next:
	for _, w := range b.words {
		id := int32(l.Surface(w))
		for _, x := range b.ids {
			if x == id {
				continue next
			}
		}
		b.ids = append(b.ids, id)
	}
	return b.ids
}

// apart reports whether, in the cube, no two of the surfaces run alongside each
// other and no three through one line.
func (b *builder) apart(ids []int32, c vec.P, half float64) bool {
	var n [mostIn]vec.P
	var vary [mostIn]float64
	for i, id := range ids {
		q, _ := b.meet(ids[i:i+1], c)
		_, n[i] = b.slope(id, q)
		vary[i] = cellReach * half / b.bend(id, q, 2*half)
		if vary[i] > mostTurn {
			return false
		}
	}
	for i, id := range ids {
		for j := range i {
			if b.foreign(id, ids[j]) || b.never(id, ids[j], c, half) {
				continue
			}
			t := n[i].Cross(n[j])
			if !b.sameRound(id, ids[j]) && (t.Len() < leastSine || t.Len() < leastSine+vary[i]+vary[j] && !b.oneCircle(id, ids[j])) {
				return false
			}
			for k := range j {
				if vary[i]+vary[j]+vary[k] == 0 || b.coaxial(c, half, ids[i], ids[j], ids[k]) {
					continue
				}
				if math.Abs(t.Dot(n[k])) < vary[i]+vary[j]+vary[k] && b.nearTriple(ids[i], ids[j], ids[k], c, half) {
					return false
				}
			}
		}
	}
	return true
}

// nearTriple reports whether the crease of two surfaces comes near the third in
// the cube: near are here one and a half and two of the distances from its middle to
// its corners, for the crease is asked in one point.
func (b *builder) nearTriple(i, j, k int32, c vec.P, half float64) bool {
	q, ok := b.meet([]int32{i, j}, c)
	if !ok {
		return true
	}
	d := q.Sub(c).Len()
	if d > 3*half {
		return false
	}
	return math.Abs(b.value(k, q)) < 4*half
}
