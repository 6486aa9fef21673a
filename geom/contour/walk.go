package contour

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"unsafe"

	"waxwright/geom/crew"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// mesher is one call of Mesh.
type mesher struct {
	grid
	code *sdf.Code
	opt  Options

	coarsest float64      // the largest cell, mm
	blocks   []*block     // in order of their making
	age      uint32       // how often cells have been cut or tamed for crossings
	at       places       // all blocks, split ones too
	verts    []vec.P      // of all blocks, where cells have one size
	cells    atomic.Int64 // made so far
	told     progress
	staff    []*worker // of parallel
}

// worker is the memory of one goroutine.
type worker struct {
	m     *mesher
	ctx   context.Context
	stack []sdf.Local // one a level
	tight sdf.Local   // of the block in hand, without what lies round it
	last  *sdf.Local  // of the last block
	bench sdf.Bench
	cells []cell

	blockRoom room[block]
	cellRoom  room[cell]
	vertRoom  room[vec.P]
	markRoom  room[mark]

	value  []float64 // at the corners of the cells of the block in hand
	lat    sdf.Lattice
	words  []sdf.Word
	cross  []crossing
	solver solver
	prober prober
	joiner joiner
	border border
}

// room hands out pieces of larger arrays: many small ones would keep the garbage
// collector busy.
type room[T any] struct{ all, left []T }

// roomful is how many bytes one array has, or hardly more.
const roomful = 1 << 13

// take returns n things, all zero.
func (r *room[T]) take(n int) []T {
	if n > len(r.left) {
		r.left = make([]T, n+roomful/int(unsafe.Sizeof(*new(T))))
	}
	r.all, r.left = r.left, r.left[n:]
	return r.all[:n:n]
}

// back takes back what was handed out last.
func (r *room[T]) back() {
	clear(r.all[:len(r.all)-len(r.left)])
	r.left = r.all
}

func (m *mesher) newWorker() *worker {
	return &worker{m: m, stack: make([]sdf.Local, mostLevels+2), value: make([]float64, corners*corners*corners)}
}

// parallel calls do for tasks 0 to n-1 on the given number of goroutines, each
// with its own worker, until all are done or ctx is.
func (m *mesher) parallel(ctx context.Context, n int, do func(w *worker, task int)) error {
	for range min(crew.Size(m.opt.Workers), n) - len(m.staff) {
		m.staff = append(m.staff, m.newWorker())
	}
	for _, w := range m.staff {
		w.ctx = ctx
	}
	err := crew.Each(ctx, m.opt.Workers, n, func(k, i int) {
		if w := m.staff[k]; !w.stopped() {
			do(w, i)
		}
	})
	if m.cells.Load() > mostCells {
		return fmt.Errorf("contour: more than %d million cells would be needed; a larger tolerance needs fewer", mostCells/1_000_000)
	}
	return err
}

// share cuts n like things into tasks of at most the given size, and so many that
// several workers are done with them at about the same time. It returns the size
// and the number of tasks.
func share(n, most int) (size, count int) {
	const turns = 64
	size = max(1, min(most, n/turns))
	return size, (n + size - 1) / size
}

// both calls two functions at once: even to clear a large array takes its time.
func both(a, b func()) {
	var wg sync.WaitGroup
	wg.Go(a)
	b()
	wg.Wait()
}

// mostCells bounds the cells that the surface passes: some 2 GB.
const mostCells = 20_000_000

// stopped reports whether the work should end now.
func (w *worker) stopped() bool { return w.ctx.Err() != nil || w.m.cells.Load() > mostCells }

// prune leaves in dst what src says in block k and one cell round it, and
// reports whether the surface may pass there.
func (w *worker) prune(dst, src *sdf.Local, k key) bool {
	c, half := w.m.middle(k)
	return src.Prune(dst, c, half*(1+2.0/side)) == sdf.Mixed
}

// may reports whether the surface may pass the block itself.
func (w *worker) may(local *sdf.Local, k key) bool {
	c, half := w.m.middle(k)
	return local.Prune(&w.tight, c, half) == sdf.Mixed
}

// wants reports whether a block is still too coarse for the faces in it.
func (w *worker) wants(local *sdf.Local, k key) bool {
	m := w.m
	if int(k.level) >= m.top {
		return false
	}
	h := m.cell(k.level)
	if h > m.coarsest {
		return true
	}
	c, half := m.middle(k)
	r := half * halfDiagonal
	w.words = local.Words(w.words[:0])
	for _, f := range w.words {
		if bend := local.Bend(f, c, r); h > m.opt.cellFor(bend) {
			return true
		}
	}
	return false
}

// descend makes the blocks at and under k and appends them to out.
func (w *worker) descend(k key, src *sdf.Local, out []*block) []*block {
	local := &w.stack[k.level]
	if w.stopped() || !w.prune(local, src, k) || !w.may(local, k) {
		return out
	}
	if w.wants(local, k) {
		if w.m.opt.Cell == 0 { // nothing looks for it where cells have one size
			out = append(out, &block{key: k, gone: allOctants})
		}
		for i := range 8 {
			out = w.descend(k.child(i), local, out)
		}
		return out
	}
	b := w.make(k, local)
	if w.m.opt.Cell > 0 && len(b.cells) == 0 { // nor for it
		w.blockRoom.back()
		return out
	}
	return append(out, b)
}

// make evaluates one leaf block, of which may was asked last. The vertices of
// cells of one size are left to place.
func (w *worker) make(k key, local *sdf.Local) *block {
	b := &w.blockRoom.take(1)[0]
	b.key, b.path, b.local, b.age = k, w.m.path(k), w.own(local), w.m.age
	w.values(b)
	if !b.mark(w.value) {
		return b
	}
	w.cells = w.cells[:0]
	n := 0
	for z := range side {
		for y := range side {
			for a := b.active[z*side+y]; a != 0; a &= a - 1 {
				in := b.inside(trailing(a), y, z)
				w.cells = append(w.cells, cell{in, uint16(n)})
				n += int(patterns[in].loops)
			}
		}
	}
	b.patches = uint32(n)
	b.cells = w.cellRoom.take(len(w.cells))
	copy(b.cells, w.cells)
	w.m.cells.Add(int64(len(b.cells)))
	if w.m.opt.Cell == 0 {
		b.verts, b.marks = w.vertRoom.take(n), w.markRoom.take(n)
		w.solve(b)
	}
	return b
}

// values finds the values at the corners of a block's cells, from what may has
// left of the field.
func (w *worker) values(b *block) {
	w.m.lattice(b.key, 0, &w.lat)
	w.tight.Grid(&w.lat, w.value, &w.bench)
}

// place finds the vertices of cells of one size, where the mesh has them.
func (m *mesher) place(ctx context.Context) error {
	n := uint32(0)
	for _, b := range m.blocks {
		b.base = n
		n += b.patches
	}
	var marks []mark
	both(func() { m.verts = make([]vec.P, n, n+n/64) }, // a little more for those of arcs
		func() { marks = make([]mark, n) })
	return m.parallelBlocks(ctx, m.blocks, func(w *worker, b *block) {
		to := b.base + b.patches
		b.verts, b.marks = m.verts[b.base:to:to], marks[b.base:to:to]
		w.may(b.local, b.key)
		w.values(b)
		w.solve(b)
	})
}

// own returns a copy of local. Blocks in a row that have the same faces share one.
func (w *worker) own(local *sdf.Local) *sdf.Local {
	if w.last == nil || !w.last.Alike(local) {
		w.last = local.Own()
	}
	return w.last
}

// solve finds the vertices of all active cells.
func (w *worker) solve(b *block) {
	if face, ok := w.tight.Single(); ok && w.tight.Smooth(face) {
		w.sheet(b, face)
		return
	}
	h := w.m.cell(b.level)
	n := 0
	for z := range side {
		for y := range side {
			for a := b.active[z*side+y]; a != 0; a &= a - 1 {
				w.solveCell(b, n, trailing(a), y, z, h)
				n++
			}
		}
	}
}

// sheet finds the vertices of all active cells of a block that one face alone
// passes: from the values at the corners, a step or two of Newton's away.
func (w *worker) sheet(b *block, face sdf.Word) {
	tag := w.tight.Tag(face)
	n := 0
	for z := range side {
		for y := range side {
			for a := b.active[z*side+y]; a != 0; a &= a - 1 {
				x := trailing(a)
				p := &patterns[b.cells[n].inside]
				for l, loop := range p.round {
					at := land(&w.tight, face, w.middle(x, y, z, loop))
					b.put(int(b.cells[n].vert)+l, vertex{at, mark{tag: tag, loose: p.loops > 1 || !w.inCell(at, x, y, z)}})
				}
				n++
			}
		}
	}
}

// middle returns the mean of the points where the surface crosses edges of a
// cell, as the values at their ends tell.
func (w *worker) middle(x, y, z int, edges []uint8) (sum vec.P) {
	for _, e := range edges {
		c := edgeCorners[e]
		u, v := w.at(x, y, z, c[0]), w.at(x, y, z, c[1])
		sum = sum.Add(w.corner(x, y, z, c[0]).Lerp(w.corner(x, y, z, c[1]), u/(u-v)))
	}
	return sum.Mul(1 / float64(len(edges)))
}

// at returns the value at a corner of a cell of the block whose lattice is
// loaded.
func (w *worker) at(x, y, z int, c uint8) float64 {
	return w.value[(z+int(c>>2))*corners*corners+(y+int(c>>1&1))*corners+x+int(c&1)]
}

// inCell reports whether p lies in a cell of the block whose lattice is loaded,
// or hardly outside.
func (w *worker) inCell(p vec.P, x, y, z int) bool {
	return holds(vec.P{X: w.lat.X[x], Y: w.lat.Y[y], Z: w.lat.Z[z]}, w.lat.X[x+1]-w.lat.X[x], p)
}

// solveCell finds the vertices of active cell n.
func (w *worker) solveCell(b *block, n, x, y, z int, h float64) {
	in := b.cells[n].inside
	p := &patterns[in]
	lo := vec.P{X: w.lat.X[x], Y: w.lat.Y[y], Z: w.lat.Z[z]}
	w.solver.enter(b.local, lo, h)
	for l, loop := range p.round {
		w.cross = w.cross[:0]
		for _, e := range loop {
			c := edgeCorners[e]
			if in>>c[0]&1 == 0 {
				c[0], c[1] = c[1], c[0]
			}
			w.cross = append(w.cross, crossing{in: w.corner(x, y, z, c[0]), out: w.corner(x, y, z, c[1])})
		}
		v, good := w.solver.patch(w.cross)
		v.loose = p.loops > 1 || !w.solver.holds(v.at)
		if !good {
			b.faults = append(b.faults, w.solver.fault(&v, cellNumber(x, y, z)))
		}
		b.put(int(b.cells[n].vert)+l, v)
	}
}

// cellNumber numbers the cells of a block.
func cellNumber(x, y, z int) uint8 { return uint8(x + side*(y+side*z)) }

// corner returns a corner of a cell of the block whose lattice is loaded.
func (w *worker) corner(x, y, z int, c uint8) vec.P {
	return vec.P{X: w.lat.X[x+int(c&1)], Y: w.lat.Y[y+int(c>>1&1)], Z: w.lat.Z[z+int(c>>2)]}
}

// tasks is how many pieces the cube is cut into for the workers, at least.
const tasks = 256

// sweep makes all leaf blocks, in the order of the octree.
func (m *mesher) sweep(ctx context.Context) error {
	// cut the cube level by level until there are enough pieces
	type piece struct {
		k     key
		local *sdf.Local
	}
	w := m.newWorker()
	pieces := []piece{{key{}, m.code.Whole()}}
	for level := 0; len(pieces) < tasks && level < m.top; level++ {
		var next []piece
		for _, p := range pieces {
			if !w.prune(&w.stack[0], p.local, p.k) || !w.may(&w.stack[0], p.k) {
				continue
			}
			if !w.wants(&w.stack[0], p.k) { // a leaf already
				next = append(next, p)
				continue
			}
			if m.opt.Cell == 0 {
				m.at.put(&block{key: p.k, gone: allOctants})
			}
			own := w.stack[0].Own()
			for i := range 8 {
				next = append(next, piece{p.k.child(i), own})
			}
		}
		pieces = next
	}
	found := make([][]*block, len(pieces))
	err := m.parallel(ctx, len(pieces), func(w *worker, i int) {
		found[i] = w.descend(pieces[i].k, pieces[i].local, nil)
		m.told.step(len(pieces))
	})
	if err != nil {
		return err
	}
	n := 0
	for _, bs := range found {
		n += len(bs)
	}
	m.at.reserve(n)
	m.blocks = make([]*block, 0, n)
	for _, bs := range found {
		for _, b := range bs {
			m.at.put(b)
			if !b.split() {
				m.blocks = append(m.blocks, b)
			}
		}
	}
	return nil
}
