package contour

import (
	"context"
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Probing: the signs at a cell's corners do not show a wall or a gap thinner
// than the cell. Such a place has two faces that look away from or at each
// other, both on the surface in one cell; where no vertex near lies on both,
// the cell has a fault. (What has one face: see slender.)

// probeDepth is how many times a cell is halved to tell whether two faces are
// really there.
const probeDepth = 4

// prober looks through the cells of blocks.
type prober struct {
	w     *worker
	b     *block
	h     float64
	stack [4]sdf.Local // cubes of 8, 4, 2 and 1 cells
	sub   [probeDepth + 1]sdf.Local
	words []sdf.Word
}

// probe finds the hidden walls and gaps of some blocks.
func (m *mesher) probe(ctx context.Context, blocks []*block) error {
	return m.parallelBlocks(ctx, blocks, func(w *worker, b *block) {
		p := &w.prober
		p.w, p.b, p.h = w, b, m.cell(b.level)
		m.lattice(b.key, 0, &w.lat)
		p.cube(b.local, 0, 0, 0, 0)
	})
}

// cube looks through the cube of side >> depth cells at a cell.
func (p *prober) cube(src *sdf.Local, depth, x, y, z int) {
	n := side >> depth
	if n <= side/2 && octant(x, y, z)&p.b.gone != 0 {
		return
	}
	half := p.h * float64(n) / 2
	c := p.w.corner(x, y, z, 0).Add(vec.P{X: half, Y: half, Z: half})
	local := &p.stack[depth]
	if n == 1 {
		if src.PruneFine(local, c, half) == sdf.Mixed {
			p.cell(local, c, x, y, z)
		}
		return
	}
	if src.Prune(local, c, half) != sdf.Mixed || !p.double(local) && !p.slender(local, c, half) {
		return
	}
	for i := range 8 {
		p.cube(local, depth+1, x+i&1*n/2, y+i>>1&1*n/2, z+i>>2*n/2)
	}
}

// double reports whether a program holds two faces, or may.
func (p *prober) double(local *sdf.Local) bool {
	p.words = local.Words(p.words[:0])
	for _, w := range p.words {
		if local.Rough(w) || local.Same(w) != local.Same(p.words[0]) {
			return true
		}
	}
	return false
}

// cell looks at one cell.
func (p *prober) cell(local *sdf.Local, c vec.P, x, y, z int) {
	p.words = local.Words(p.words[:0])
	for i, a := range p.words {
		_, na := local.Slope(a, c)
		for _, b := range p.words[:i] {
			if local.Same(a) == local.Same(b) {
				continue
			}
			if _, nb := local.Slope(b, c); na.Dot(nb) > opposed {
				continue
			}
			if !p.both(local, c, p.h/2, a, b) || p.explained(local, a, b, x, y, z) {
				continue
			}
			va, vb := local.Value(a, c), local.Value(b, c)
			p.b.faults = append(p.b.faults, fault{
				cell: cellNumber(x, y, z), at: c, width: math.Abs(va + vb),
				tags: [2]uint32{local.Tag(a), local.Tag(b)},
				tip:  tip(local, c, p.h, a, b),
			})
			return
		}
	}
	p.thread(local, c, x, y, z)
}

// tipReach is how far from a cell's middle, in cells, the edge of a wedge that
// it shows may lie: wedges of 20 degrees are a cell wide 2.8 cells from their
// edge.
const tipReach = 3

// tip reports whether two faces meet in an edge of the surface near c.
func tip(local *sdf.Local, c vec.P, h float64, a, b sdf.Word) bool {
	q, ok := local.Meet(c, a, b)
	return ok && q.Sub(c).Len() <= tipReach*h && math.Abs(local.Code().Dist(q)) <= onFace
}

// both reports whether two faces are both part of the surface in a cube.
func (p *prober) both(local *sdf.Local, c vec.P, half float64, a, b sdf.Word) bool {
	ia, ib := local.Same(a), local.Same(b)
	found := 0
	p.present(local, 0, c, half, ia, ib, &found)
	return found == 3
}

// present notes in found which of the two faces (1 and 2) is part of the
// surface in the cube.
func (p *prober) present(src *sdf.Local, depth int, c vec.P, half float64, ia, ib uint64, found *int) {
	if *found == 3 {
		return
	}
	local := &p.sub[depth]
	if src.Prune(local, c, half) != sdf.Mixed {
		return
	}
	p.words = local.Words(p.words[:0])
	here := 0
	others := false
	for _, w := range p.words {
		switch local.Same(w) {
		case ia:
			here |= 1
		case ib:
			here |= 2
		default:
			others = true
		}
	}
	if here&^*found == 0 {
		return
	}
	if here != 3 && !others || depth == probeDepth {
		*found |= here
		return
	}
	q := half / 2
	for i := range 8 {
		p.present(local, depth+1, c.Octant(i, q), q, ia, ib, found)
	}
}

// explained reports whether both faces are in the mesh here: a vertex in the
// cell or beside it lies on both, or the cell has a vertex on each.
func (p *prober) explained(local *sdf.Local, a, b sdf.Word, x, y, z int) bool {
	on := func(v vec.P, w sdf.Word) bool { return math.Abs(local.Value(w, v)) <= onBoth }
	hasA, hasB := false, false
	for i := range 125 {
		s := spot{p.b, x + i%5 - 2, y + i/5%5 - 2, z + i/25 - 2}
		if s.x < 0 || s.y < 0 || s.z < 0 || s.x >= side || s.y >= side || s.z >= side {
			if s = p.beyond(s); s.b == nil {
				continue
			}
		}
		if !s.b.isActive(s.x, s.y, s.z) {
			continue
		}
		k := s.b.find(s.x, s.y, s.z)
		first, end := int(s.b.cells[k].vert), len(s.b.verts)
		if k+1 < len(s.b.cells) {
			end = int(s.b.cells[k+1].vert)
		}
		for _, v := range s.b.verts[first:end] {
			onA, onB := on(v, a), on(v, b)
			if onA && onB {
				return true
			}
			if i == 62 { // the cell itself
				hasA, hasB = hasA || onA, hasB || onB
			}
		}
	}
	return hasA && hasB
}

// beyond finds the cell of a place up to a block outside the block in hand, if the
// block there has the same cell size.
func (p *prober) beyond(s spot) spot {
	at := [3]int{s.x, s.y, s.z}
	var step [3]int32
	for i := range at {
		if at[i] < 0 {
			step[i], at[i] = -1, at[i]+side
		} else if at[i] >= side {
			step[i], at[i] = 1, at[i]-side
		}
	}
	k, ok := p.b.step(step[0], step[1], step[2])
	if !ok {
		return spot{}
	}
	o := p.w.m.at.get(k)
	if o == nil || o.split() {
		return spot{}
	}
	return spot{o, at[0], at[1], at[2]}
}
