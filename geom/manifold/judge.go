package manifold

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"

	"waxwright/geom/crew"
	"waxwright/geom/mesh"
	"waxwright/geom/mesh/exact"
	"waxwright/geom/vec"
)

// Defaults of Options.
const (
	// DefaultThin is 0.1 um, in mm: a fiftieth of the default tolerance of a
	// casting's mesh, and a hundred times what float32 resolves at 10 mm.
	DefaultThin = 1e-4
	// DefaultFold is 0.001 rad: a wedge of 1 um at 1 mm from its edge, which
	// can be neither printed nor cast.
	DefaultFold = 1e-3
	// DefaultKeep is how many defects of each kind are kept with their place.
	DefaultKeep = 1000
)

// Options sets the limits of a judgement. The zero Options are the defaults.
type Options struct {
	Thin     float64               // a triangle lower than this is degenerate, mm; 0 is DefaultThin, negative asks for no area at all
	Fold     float64               // two triangles closer than this are folded, rad; 0 is DefaultFold
	Keep     int                   // defects kept of each kind; 0 is DefaultKeep
	Tree     *mesh.Tree            // of the mesh, where there is one already; else it is made
	Workers  int                   // 0 is one for each processor; the report is the same for any number
	Progress func(done, total int) // called now and then, from one goroutine at a time; may be nil
}

func (o Options) withDefaults() Options {
	if o.Thin == 0 {
		o.Thin = DefaultThin
	}
	if o.Fold == 0 {
		o.Fold = DefaultFold
	}
	if o.Keep == 0 {
		o.Keep = DefaultKeep
	}
	o.Workers = crew.Size(o.Workers)
	return o
}

// Judge judges m with the default options.
func Judge(m *mesh.Mesh) Report {
	r, _ := JudgeCtx(context.Background(), m, Options{})
	return r
}

// JudgeCtx judges m. Its only error is that of a cancelled context: a mesh
// that can't be judged is a Report with Unfit.
//
// Method: 1. Normals, heights and the main plane of every triangle. 2. Edges,
// gathered at their lower vertex; each regular edge gets its two triangles as
// mates. 3. Fans, walked from mate to mate; vertices where the walk does not
// come round are looked at again. Fans that are seen to be spread out settle
// all pairs of their triangles (see star). 4. A bounding-volume tree; every
// other pair of triangles whose boxes meet is related exactly (see relate). 5.
// Shells and their nesting. The tree grows beside 1 to 3, and shells are told
// apart beside 4.
func JudgeCtx(ctx context.Context, m *mesh.Mesh, o Options) (Report, error) {
	j := &judge{ctx: ctx, m: m, o: o.withDefaults()}
	j.r.Triangles = len(m.T)
	if err := m.Check(); err != nil {
		j.r.Unfit = err
		return j.r, nil
	}
	if len(m.T) == 0 {
		return j.r, ctx.Err()
	}
	tree := j.o.Tree
	if tree != nil && tree.Mesh() != m {
		panic("manifold: the tree is of another mesh")
	}
	var shells []mesh.Shell
	for _, stage := range [][]func(){
		{func() {
			if tree == nil {
				tree = mesh.NewTree(m)
			}
		}, j.around},
		{func() { shells = tree.Shells() }, func() { j.pairs(tree) }},
		{func() { j.shells(shells) }},
	} {
		j.each(len(stage), func(i int) {
			stage[i]()
			j.step()
		})
		if err := ctx.Err(); err != nil {
			return Report{}, err
		}
	}
	j.finish()
	return j.r, nil
}

// around judges triangles and what they have around them, which takes no
// search.
func (j *judge) around() {
	for _, stage := range []func(){j.faces, j.edges, j.duplicates, j.fans, j.junctions} {
		if j.ctx.Err() != nil {
			return
		}
		stage()
	}
}

// none stands for no half-edge.
const none = ^uint32(0)

// judge is one judgement at work. Half-edge 3*t+k runs from corner k of
// triangle t to the next corner.
type judge struct {
	ctx context.Context
	m   *mesh.Mesh
	o   Options
	r   Report

	face   []face
	mate   []uint32 // of each half-edge: the opposite one of a regular edge, or none
	open   []uint32 // half-edges of open edges
	odd    []bool   // vertices on an edge that is not regular
	clear  []bool   // vertices whose triangles have nothing but their fan in common
	double []vertexPair

	mu          sync.Mutex
	done, total int
}

// face is what is known of a triangle.
type face struct {
	n    vec.P // normal, twice the area long
	axis uint8 // the coordinate to drop to see it best: 0 x, 1 y, 2 z
	flat bool  // it has no area, exactly
	same bool  // it names a vertex twice: no part of the topology
	slim bool  // reported as degenerate
}

func (j *judge) step() { j.steps(1) }

// stages is the number of stages in JudgeCtx, each a step of progress beside
// the pair tasks.
const stages = 5

func (j *judge) steps(n int) {
	if j.o.Progress == nil {
		return
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	j.done += n
	j.o.Progress(j.done, max(j.total, stages))
}

// each runs f(i) for i in [0, n) on all workers and returns when all are done
// or the context is.
func (j *judge) each(n int, f func(i int)) {
	_ = crew.Each(j.ctx, j.o.Workers, n, func(_, i int) { f(i) })
}

// chunk is how many elements a task of eachChunk takes.
const chunk = 1 << 13

// eachChunk runs f over [0, n) in pieces of fixed size, each with a bag of its
// own for what it finds, and then takes the bags in order.
func (j *judge) eachChunk(n int, f func(lo, hi int, b *bag)) {
	bags := make([]bag, (n+chunk-1)/chunk)
	j.each(len(bags), func(i int) {
		bags[i].keep = j.o.Keep
		f(i*chunk, min((i+1)*chunk, n), &bags[i])
	})
	for i := range bags {
		j.take(&bags[i])
	}
}

// bag gathers the defects of one task.
type bag struct {
	keep    int
	count   [Kinds]int
	defects []Defect
}

// add counts a defect and keeps it, if not too many of its kind are kept.
func (b *bag) add(k Kind, at vec.P, size float64, t ...uint32) {
	b.count[k]++
	if b.count[k] <= b.keep {
		b.defects = append(b.defects, Defect{Kind: k, At: at, Size: size, T: t})
	}
}

// take moves what a bag holds into the report.
func (j *judge) take(b *bag) {
	j.r.Defects = append(j.r.Defects, b.defects...)
	for k, n := range b.count {
		j.r.Count[k] += n
	}
}

// finish sorts the defects, drops those beyond the number to keep and names
// their owners.
func (j *judge) finish() {
	ds := j.r.Defects
	slices.SortStableFunc(ds, func(a, b Defect) int {
		if c := cmp.Compare(a.Kind, b.Kind); c != 0 {
			return c
		}
		return slices.Compare(a.T, b.T)
	})
	kept := ds[:0]
	var n [Kinds]int
	for _, d := range ds {
		if n[d.Kind]++; n[d.Kind] <= j.o.Keep {
			d.Tags = j.tags(d.T)
			kept = append(kept, d)
		}
	}
	j.r.Defects = kept
}

// tags returns the owners of the triangles, ascending, each once.
func (j *judge) tags(ts []uint32) []uint32 {
	if len(j.m.Tag) == 0 {
		return nil
	}
	tags := make([]uint32, len(ts))
	for i, t := range ts {
		tags[i] = j.m.Tag[t]
	}
	slices.Sort(tags)
	return slices.Compact(tags)
}

// faces measures every triangle and reports the degenerate ones.
func (j *judge) faces() {
	m := j.m
	j.face = make([]face, len(m.T))
	areas := make([]float64, (len(m.T)+chunk-1)/chunk)
	j.eachChunk(len(m.T), func(lo, hi int, bag *bag) {
		sum := 0.0
		for t := lo; t < hi; t++ {
			a, b, c := m.Corners(t)
			f := &j.face[t]
			f.n = b.Sub(a).Cross(c.Sub(a))
			area := f.n.Len()
			sum += area
			f.axis = mainAxis(f.n)
			long := max(b.Sub(a).Len2(), c.Sub(b).Len2(), a.Sub(c).Len2())
			height := 0.0
			if long > 0 {
				height = area / math.Sqrt(long)
			}
			ix := m.T[t]
			f.same = ix[0] == ix[1] || ix[1] == ix[2] || ix[2] == ix[0]
			// The plain normal is wrong by a few rounding errors of the
			// coordinates squared; only where it is that small is exactness
			// asked for.
			f.flat = f.same || height < flatSuspect*biggest(a, b, c) && exact.Collinear(a, b, c)
			if f.flat {
				height = 0
			}
			if f.flat || height < j.o.Thin {
				f.slim = true
				bag.add(Degenerate, middle(m, uint32(t)), height, uint32(t))
			}
		}
		areas[lo/chunk] = sum
	})
	for _, a := range areas {
		j.r.Area += a / 2
	}
}

// flatSuspect bounds height over coordinate size for a triangle whose computed
// area may be nothing but rounding: the cross product of differences is wrong
// by at most 8 units of 2^-53 of the products, the height by no more than that
// of the sides; 2^-40 leaves room for slim triangles of large coordinates.
const flatSuspect = 1.0 / (1 << 40)

// biggest returns the largest coordinate in size.
func biggest(ps ...vec.P) float64 {
	s := 0.0
	for _, p := range ps {
		s = max(s, math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z))
	}
	return s
}

// mainAxis returns the coordinate along which n is longest.
func mainAxis(n vec.P) uint8 {
	x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	if x > y && x > z {
		return 0
	}
	if y > z {
		return 1
	}
	return 2
}
