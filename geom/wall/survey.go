package wall

import (
	"context"
	"sync"

	"waxwright/geom/crew"
	"waxwright/geom/mesh"
)

// side is the side of the surface that is measured: its sign is that of the
// field there.
type side float64

const (
	inside  side = -1
	outside side = 1
)

// survey is one measurement at work.
type survey struct {
	ctx     context.Context
	m       *mesh.Mesh
	tree    *mesh.Tree
	fan     *fan
	normals Normals
	limit   float64
	o       Options
	side    side
}

// newSurvey checks the arguments and builds what all samples share.
func newSurvey(ctx context.Context, m *mesh.Mesh, normals Normals, limit float64, o Options, s side) (*survey, error) {
	o, err := o.withDefaults(limit)
	if err != nil {
		return nil, err
	}
	if err := m.Check(); err != nil {
		return nil, err
	}
	v := &survey{ctx: ctx, m: m, tree: o.Tree, normals: normals, limit: limit, o: o, side: s}
	built := make(chan struct{})
	go func() { // left to end by itself if the context is cancelled
		defer close(built)
		var wg sync.WaitGroup
		tree, fan := v.tree, (*fan)(nil)
		wg.Go(func() {
			if tree == nil {
				tree = mesh.NewTree(m)
			}
		})
		fan = newFan(m)
		wg.Wait()
		v.tree, v.fan = tree, fan
	}()
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case <-built:
	}
	if v.normals == nil {
		v.normals = newSmooth(m, v.fan, DefaultCrease)
	}
	return v, nil
}

// each runs f(i) for i in [0, n) on all workers and returns when all are done
// or the context is; its error is the context's.
func (v *survey) each(n int, f func(i int)) error {
	return crew.Each(v.ctx, v.o.Workers, n, func(_, i int) { f(i) })
}

// counter returns what to call after each of total tasks.
func (v *survey) counter(total int) func() {
	if v.o.Progress == nil {
		return func() {}
	}
	var mu sync.Mutex
	done := 0
	return func() {
		mu.Lock()
		defer mu.Unlock()
		done++
		v.o.Progress(done, total)
	}
}
