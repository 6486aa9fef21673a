package contour

import (
	"cmp"
	"math"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// side is the number of cells along the edge of a block.
const side = 4

// grid is an octree of blocks over a cube. A block of level l has an edge of
// root / 2^l and side^3 cells. All corners of all cells lie on one lattice, of
// the finest level's cell size; a lattice number becomes a coordinate by one
// formula, so that a corner has the same coordinates in every block.
type grid struct {
	origin vec.P
	unit   float64 // the finest cell size
	top    int     // the finest level
}

// mostLevels bounds the levels: lattice numbers then have 23 bits or fewer.
const mostLevels = 19

// key names a block: level and place.
type key struct {
	level   uint8
	x, y, z int32
}

// parent returns the block that holds k, one level up.
func (k key) parent() key { return key{k.level - 1, k.x >> 1, k.y >> 1, k.z >> 1} }

// child returns child i of k; i's bits are its sides in x, y, z.
func (k key) child(i int) key {
	return key{k.level + 1, k.x<<1 | int32(i&1), k.y<<1 | int32(i>>1&1), k.z<<1 | int32(i>>2&1)}
}

// step returns the block of k's size that lies the given blocks away, ok false
// outside the cube.
func (k key) step(dx, dy, dz int32) (n key, ok bool) {
	n = key{k.level, k.x + dx, k.y + dy, k.z + dz}
	m := int32(1) << k.level
	return n, n.x >= 0 && n.y >= 0 && n.z >= 0 && n.x < m && n.y < m && n.z < m
}

// path numbers blocks along the octree's depth-first path: the bits of their places
// by turns, z first, on the finest level; then their own.
func (g *grid) path(k key) uint64 {
	s := g.shift(k.level)
	p := uint64(0)
	for i := mostLevels - 1; i >= 0; i-- {
		p = p<<3 | uint64(k.z<<s>>i&1<<2|k.y<<s>>i&1<<1|k.x<<s>>i&1)
	}
	return p<<5 | uint64(k.level)
}

// inOrder sorts blocks along the octree's path.
func inOrder(blocks []*block) {
	slices.SortFunc(blocks, func(a, b *block) int { return cmp.Compare(a.path, b.path) })
}

// shift is the power of two between lattice numbers and cells of a level.
func (g *grid) shift(level uint8) int { return g.top - int(level) }

// cell returns the cell size of a level.
func (g *grid) cell(level uint8) float64 { return math.Ldexp(g.unit, g.shift(level)) }

// at returns the coordinates of a lattice point.
func (g *grid) at(x, y, z int32) vec.P {
	return vec.P{
		X: g.origin.X + float64(float64(x)*g.unit),
		Y: g.origin.Y + float64(float64(y)*g.unit),
		Z: g.origin.Z + float64(float64(z)*g.unit),
	}
}

// low returns the lattice numbers of a block's low corner.
func (g *grid) low(k key) (x, y, z int32) {
	s := g.shift(k.level)
	return k.x * side << s, k.y * side << s, k.z * side << s
}

// middle returns a block's centre and half its edge.
func (g *grid) middle(k key) (vec.P, float64) {
	half := g.cell(k.level) * side / 2
	x, y, z := g.low(k)
	return g.at(x, y, z).Add(vec.P{X: half, Y: half, Z: half}), half
}

// holds reports whether p lies in block k.
func (g *grid) holds(k key, p vec.P) bool {
	c, half := g.middle(k)
	d := p.Sub(c)
	return max(math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)) <= half
}

// lattice writes the coordinates of a block's corners, with margin more cells
// on every side.
func (g *grid) lattice(k key, margin int32, l *sdf.Lattice) {
	x, y, z := g.low(k)
	s := g.shift(k.level)
	l.X, l.Y, l.Z = l.X[:0], l.Y[:0], l.Z[:0]
	for i := -margin; i <= side+margin; i++ {
		p := g.at(x+i<<s, y+i<<s, z+i<<s)
		l.X, l.Y, l.Z = append(l.X, p.X), append(l.Y, p.Y), append(l.Z, p.Z)
	}
}

// uniform returns the grid of one cell size over the box.
func uniform(b vec.Box, h float64) grid {
	size := b.Size()
	need := (max(size.X, size.Y, size.Z) + 4*h) / (side * h)
	top := 0
	for math.Ldexp(1, top) < need && top < mostLevels {
		top++
	}
	return placed(b, h, top)
}

// placed returns the grid with the given finest cell and level round the box.
// Its lattice is shifted by odd shares of a cell, so that faces at round
// coordinates do not lie on it.
func placed(b vec.Box, unit float64, top int) grid {
	half := math.Ldexp(unit*side, top) / 2
	h := min(unit*4, half/64)
	odd := vec.P{X: 0.38196601 * h, Y: 0.27639320 * h, Z: 0.17082039 * h}
	c := b.Center()
	return grid{
		origin: vec.P{X: c.X - half + odd.X, Y: c.Y - half + odd.Y, Z: c.Z - half + odd.Z},
		unit:   unit, top: top,
	}
}
