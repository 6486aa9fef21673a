package contour

import (
	"math"
	"math/bits"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// block is side^3 cells of one size near the surface.
type block struct {
	key
	gone  octants // parts for which children stand
	going octants // and parts that are being cut

	deviant octants // parts that made a triangle too far from the surface
	probed  bool    // hidden walls and gaps are among the faults
	marked  bool    // sign and active are known
	stale   bool    // in hand of unseam

	sign   [corners * corners]uint8 // inner corners of row z*corners+y, a bit for each x
	active [side * side]uint8       // cells that the surface passes, row z*side+y
	first  [side * side]uint8       // active cells before the row

	base    uint32 // number of the first vertex in the mesh
	patches uint32 // of surface in the cells
	age     uint32 // of the mesher when it was made or tamed
	path    uint64 // its place in the octree's order
	tame    uint64 // cells whose triangles keep to them, a bit for each

	local  *sdf.Local // the field in the block and one cell round it, by sign
	cells  []cell     // the active ones in order
	verts  []vec.P
	marks  []mark // of the vertices
	faults []fault
	seam   *seam // nil until it is looked for
}

// seam is what the smaller cells beside a block add to it.
type seam struct {
	verts, faults int          // those of the block alone
	trans         []transition // cells beside smaller ones; nil where there are none
	at            []int8       // the place in trans of each cell, or -1
}

// even reports whether none of the block's cells lies beside smaller ones.
func (b *block) even() bool { return b.trans() == nil }

// trans returns the records of cells beside smaller ones.
func (b *block) trans() []transition {
	if b.seam == nil {
		return nil
	}
	return b.seam.trans
}

// cell is an active cell: its inner corners and its first vertex.
type cell struct {
	inside uint8
	vert   uint16
}

// vertex is a vertex of the mesh before it has a number.
type vertex struct {
	at vec.P
	mark
}

// mark is what a vertex is.
type mark struct {
	tag   uint32
	class uint8
	loose bool // it lies outside its cell, or not alone in it
}

// vertex returns a vertex of the block.
func (b *block) vertex(k int) vertex { return vertex{b.verts[k], b.marks[k]} }

// put sets a vertex of the block.
func (b *block) put(k int, v vertex) { b.verts[k], b.marks[k] = v.at, v.mark }

// add appends a vertex to the block.
func (b *block) add(v vertex) {
	b.verts, b.marks = append(b.verts, v.at), append(b.marks, v.mark)
}

// Classes of vertices.
const (
	smooth uint8 = iota // on one face
	crease              // on the edge between two
	corner              // where three or more meet, or a tip
)

// octants are some of the eight parts of a block, a bit for each child.
type octants uint8

// allOctants are a block's eight parts.
const allOctants octants = 0xff

// octant returns the part in which a cell lies.
func octant(x, y, z int) octants {
	const half = side / 2
	return 1 << (x/half | y/half<<1 | z/half<<2)
}

// octant returns the part of its parent that k is.
func (k key) octant() octants { return 1 << (k.x&1 | k.y&1<<1 | k.z&1<<2) }

// split reports whether nothing of the block is left.
func (b *block) split() bool { return b.gone == allOctants }

// faulty returns the parts with faults: all, or those with faults of one face alone.
func (b *block) faulty(one bool) (parts octants) {
	for _, f := range b.faults {
		if f.one || !one {
			parts |= f.part()
		}
	}
	return parts
}

// shed gives up parts of the block, for which children stand from now on.
func (b *block) shed(parts octants) {
	b.unseam()
	b.gone |= parts
	if b.split() {
		b.local, b.cells, b.verts, b.marks, b.faults = nil, nil, nil, nil, nil
		return
	}
	var cells []cell
	var verts []vec.P
	var marks []mark
	n, left := 0, uint8(0)
	for r := range b.active {
		z, y := r/side, r%side
		keep := uint8(0)
		for a := b.active[r]; a != 0; a &= a - 1 {
			x := trailing(a)
			first, end := int(b.cells[n].vert), len(b.verts)
			if n+1 < len(b.cells) {
				end = int(b.cells[n+1].vert)
			}
			if octant(x, y, z)&b.gone == 0 {
				keep |= 1 << x
				cells = append(cells, cell{b.cells[n].inside, uint16(len(verts))})
				verts = append(verts, b.verts[first:end]...)
				marks = append(marks, b.marks[first:end]...)
			}
			n++
		}
		b.active[r], b.first[r] = keep, left
		left += uint8(popcount(keep))
	}
	b.cells, b.verts, b.marks = cells, verts, marks
	b.faults = slices.DeleteFunc(b.faults, func(f fault) bool { return f.part()&b.gone != 0 })
	b.deviant &^= b.gone
}

// unseam takes back what seams did to the block.
func (b *block) unseam() {
	if b.seam == nil {
		return
	}
	b.verts, b.marks, b.faults = b.verts[:b.seam.verts], b.marks[:b.seam.verts], b.faults[:b.seam.faults]
	b.seam, b.deviant = nil, 0
}

// fault is a cell in which a vertex stands for less than there is: its place,
// the width of what is hidden (at most the cell's), the owners of two faces.
type fault struct {
	cell  uint8 // its number in the block
	at    vec.P
	width float64
	tags  [2]uint32
	tip   bool // the two faces meet here in an edge: a wedge ends, no gap or wall
	one   bool // what is hidden has one face, a thin wire's (slender)
}

// part returns the part of its block in which the fault lies.
func (f *fault) part() octants {
	c := int(f.cell)
	return octant(c%side, c/side%side, c/side/side)
}

const corners = side + 1

// row returns the place of a row of corners.
func row(y, z int) int { return z*corners + y }

// mark reads the signs off the values at the corners, and finds the active
// cells. It reports whether there is one.
func (b *block) mark(values []float64) bool {
	b.marked = true
	for r := range b.sign {
		var m uint8
		for i, v := range values[r*corners : (r+1)*corners] {
			if v < 0 {
				m |= 1 << i
			}
		}
		b.sign[r] = m
	}
	n := uint8(0)
	for z := range side {
		for y := range side {
			a, c, d, e := b.sign[row(y, z)], b.sign[row(y+1, z)], b.sign[row(y, z+1)], b.sign[row(y+1, z+1)]
			some, all := a|c|d|e, a&c&d&e
			some |= some >> 1
			all &= all >> 1
			r := z*side + y
			b.active[r] = some &^ all & (1<<side - 1)
			b.first[r] = n
			n += uint8(popcount(b.active[r]))
		}
	}
	return n > 0
}

// inside returns the inner corners of a cell.
func (b *block) inside(x, y, z int) uint8 {
	a, c, d, e := b.sign[row(y, z)]>>x&3, b.sign[row(y+1, z)]>>x&3, b.sign[row(y, z+1)]>>x&3, b.sign[row(y+1, z+1)]>>x&3
	return a | c<<2 | d<<4 | e<<6
}

// flat reports whether the surface in the block is one plane.
func (b *block) flat() bool {
	w, ok := b.local.Single()
	return ok && math.IsInf(b.local.Bend(w, vec.P{}, 0), 1) && !b.local.Rough(w)
}

// find returns an active cell's place in cells.
func (b *block) find(x, y, z int) int {
	r := z*side + y
	return int(b.first[r]) + bits.OnesCount8(b.active[r]&(1<<x-1))
}

// isActive reports whether the surface passes a cell.
func (b *block) isActive(x, y, z int) bool { return b.active[z*side+y]>>x&1 != 0 }
