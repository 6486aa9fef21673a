package contour

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// mesher is one call of Mesh.
type mesher struct {
	grid
	code   *sdf.Code
	opt    Options
	blocks []*block     // in order of their making
	age    int          // how often cells have been cut or tamed for crossings
	at     places       // all blocks, split ones too
	cells  atomic.Int64 // made so far
	told   progress
}

// worker is the memory of one goroutine.
type worker struct {
	m      *mesher
	ctx    context.Context
	stack  []sdf.Local // one a level
	tight  sdf.Local
	bench  sdf.Bench
	values []float64
	lat    sdf.Lattice
	words  []sdf.Word
	cross  []crossing
	solver solver
	prober prober
	joiner joiner
	border border
}

func (m *mesher) newWorker() *worker {
	return &worker{m: m, stack: make([]sdf.Local, mostLevels+2), values: make([]float64, corners*corners*corners)}
}

// workers returns how many goroutines to use.
func (o Options) workers() int {
	if o.Workers > 0 {
		return o.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// parallel calls do for tasks 0 to n-1 on the given number of goroutines, each
// with its own worker, until all are done or ctx is.
func (m *mesher) parallel(ctx context.Context, n int, do func(w *worker, task int)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(m.opt.workers(), n) {
		wg.Go(func() {
			w := m.newWorker()
			w.ctx = ctx
			for {
				i := int(next.Add(1)) - 1
				if i >= n || w.stopped() {
					return
				}
				do(w, i)
			}
		})
	}
	wg.Wait()
	if m.cells.Load() > mostCells {
		return fmt.Errorf("contour: more than %d million cells would be needed; a larger tolerance needs fewer", mostCells/1_000_000)
	}
	return ctx.Err()
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
	if h > m.opt.coarsest {
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
		out = append(out, &block{key: k, gone: allOctants})
		for i := range 8 {
			out = w.descend(k.child(i), local, out)
		}
		return out
	}
	return append(out, w.make(k, local))
}

// make evaluates one leaf block.
func (w *worker) make(k key, local *sdf.Local) *block {
	b := &block{key: k, local: local.Own(), age: w.m.age}
	w.m.lattice(k, 0, &w.lat)
	b.local.Grid(&w.lat, w.values, &w.bench)
	if b.mark(w.values) {
		w.solve(b)
		w.m.cells.Add(int64(len(b.cells)))
	}
	return b
}

// solve finds the vertices of all active cells.
func (w *worker) solve(b *block) {
	h := w.m.cell(b.level)
	n := 0
	for _, a := range b.active {
		n += popcount(a)
	}
	b.cells = make([]cell, 0, n)
	b.verts = make([]vertex, 0, n+n/16)
	for z := range side {
		for y := range side {
			for a := b.active[z*side+y]; a != 0; a &= a - 1 {
				w.solveCell(b, trailing(a), y, z, h)
			}
		}
	}
}

// solveCell finds the vertices of one active cell.
func (w *worker) solveCell(b *block, x, y, z int, h float64) {
	in := b.inside(x, y, z)
	p := &patterns[in]
	b.cells = append(b.cells, cell{in, uint16(len(b.verts))})
	lo := vec.P{X: w.lat.X[x], Y: w.lat.Y[y], Z: w.lat.Z[z]}
	w.solver.enter(b.local, lo, h)
	for l := range int8(p.loops) {
		w.cross = w.cross[:0]
		for e, loop := range p.loop {
			if loop != l {
				continue
			}
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
		b.verts = append(b.verts, v)
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
			m.at.put(&block{key: p.k, gone: allOctants})
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
		m.told.step(1, len(pieces))
	})
	if err != nil {
		return err
	}
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
