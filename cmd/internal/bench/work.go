package bench

import (
	"context"
	"slices"
	"time"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

const (
	// viewTol is the tolerance of exact models that are only looked at, mm.
	viewTol = 0.01
	// grace is how long a sketch is let be when another is wanted: with every
	// sketch cut short nothing would move while a dial is dragged.
	grace = 150 * time.Millisecond
	// patience is how long the next order waits for the last to stop.
	patience = 20 * time.Millisecond
	// breath is how long the exact work waits after a sketch: the processors are
	// the browser's until it has drawn that, and while a dial is dragged the next
	// order comes sooner.
	breath = 150 * time.Millisecond
	// mostDying is how many orders may be stopping at one time.
	mostDying = 3
)

// run works on what is wanted, one order at a time, until ctx ends.
func (d *desk) run(ctx context.Context) {
	dying := make(chan struct{}, mostDying)
	for {
		select {
		case <-ctx.Done():
			return
		case <-d.wake:
		}
		for {
			o, ok := d.take()
			if !ok {
				break
			}
			job, stop := context.WithCancel(ctx)
			p := d.quick(job, stop, o)
			if p == nil || job.Err() != nil {
				stop()
				continue
			}
			done := make(chan struct{})
			select {
			case dying <- struct{}{}:
			case <-ctx.Done():
				stop()
				return
			}
			go func() {
				defer func() { <-dying; close(done) }()
				d.thorough(job, o, p)
			}()
			d.untilAnother(ctx, done)
			stop()
			select {
			case <-done:
			case <-time.After(patience):
			}
		}
	}
}

// untilAnother waits until the work is done, or something else is wanted, or
// ctx ends.
func (d *desk) untilAnother(ctx context.Context, done <-chan struct{}) {
	for {
		select {
		case <-done:
			return
		case <-ctx.Done():
			return
		case <-d.wake: // perhaps for what was taken already
			d.mu.Lock()
			fresh := d.fresh
			d.mu.Unlock()
			if fresh {
				return
			}
		}
	}
}

// take returns the order that is wanted, unless it was taken before.
func (d *desk) take() (order, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if !d.fresh || d.want.src == nil {
		return order{}, false
	}
	d.fresh = false
	return d.want, true
}

// told changes the state unless the order has been overtaken.
func (d *desk) told(ctx context.Context, f func(*state)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if ctx.Err() == nil {
		d.change(f)
	}
}

// quick compiles and sketches a piece. Without a piece there were faults.
func (d *desk) quick(ctx context.Context, stop func(), o order) *piece.Piece {
	end := d.overtaken(ctx, stop)
	defer end()
	p, diags := piece.ReadFor(o.src, d.name, piece.Options{Set: o.set, For: o.view})
	if p == nil {
		d.told(ctx, func(s *state) {
			s.Faults, s.Busy = faultsOf(diags), ""
		})
		return nil
	}
	cell := d.pace.size()
	began := time.Now()
	m, err := build.Sketch(ctx, p, cell, build.Options{Tol: tolFor(o.view), Cache: &d.cache})
	if ctx.Err() != nil {
		return nil
	}
	if err != nil { // finer than the cells, perhaps: the exact model will tell
		d.told(ctx, func(s *state) { d.tellRecipe(s, p, o); s.Busy = "exact" })
		return p
	}
	if anew(m) {
		d.pace.learn(time.Since(began), trianglesOf(m))
	}
	k := d.shelf.put(m, cell)
	d.told(ctx, func(s *state) {
		d.tellRecipe(s, p, o)
		d.tellModel(s, k, o)
		s.Figures = figuresOf(m)
		s.Castings = castingsOf(m)
		s.Busy = "exact"
	})
	return p
}

// anew says whether something was meshed for a sketch.
func anew(m *build.Model) bool {
	return slices.ContainsFunc(m.Castings, func(c build.Casting) bool { return !c.Known })
}

// overtaken stops a sketch when something else is wanted and it has had its
// time. The function that it returns ends the watch.
func (d *desk) overtaken(ctx context.Context, stop func()) func() {
	d.mu.Lock()
	defer d.mu.Unlock()
	timer := time.AfterFunc(grace, func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		d.hurry = stop
		if d.fresh {
			stop()
		}
	})
	return func() {
		timer.Stop()
		d.mu.Lock()
		defer d.mu.Unlock()
		d.hurry = nil
	}
}

// tolFor is the tolerance of the exact model that is shown, mm.
func tolFor(f piece.For) float64 {
	if f == piece.ForCasting {
		return build.DefaultTol
	}
	return viewTol
}

// thorough makes the exact model, then the one for casting, and judges it.
func (d *desk) thorough(ctx context.Context, o order, p *piece.Piece) {
	select {
	case <-time.After(breath):
	case <-ctx.Done():
		return
	}
	fail := func(err error) {
		if ctx.Err() == nil {
			d.told(ctx, func(s *state) { s.Faults, s.Busy = []fault{{Message: err.Error(), File: d.name}}, "" })
		}
	}
	m, err := build.Make(ctx, p, build.Options{Tol: tolFor(o.view), Cache: &d.cache, Progress: d.progress(ctx, o, "exact")})
	if err != nil {
		fail(err)
		return
	}
	k := d.shelf.put(m, 0)
	d.told(ctx, func(s *state) { d.tellModel(s, k, o) })

	cast := m
	if o.view != piece.ForCasting {
		pc, diags := piece.ReadFor(o.src, d.name, piece.Options{Set: o.set, For: piece.ForCasting})
		if pc == nil {
			d.told(ctx, func(s *state) { s.Faults, s.Busy = faultsOf(diags), "" })
			return
		}
		if cast, err = build.Make(ctx, pc, build.Options{Cache: &d.cache, Progress: d.progress(ctx, o, "casting")}); err != nil {
			fail(err)
			return
		}
	}
	d.told(ctx, func(s *state) {
		d.files = d.parcel(cast, o)
		s.Figures = figuresOf(cast)
		s.Castings = castingsOf(cast)
		s.Hang = hangOf(cast)
		s.Files = filesOf(cast)
		s.Busy = "proof"
	})
	report, err := proof.Prove(ctx, cast, proof.Options{})
	if err != nil {
		fail(err)
		return
	}
	d.told(ctx, func(s *state) {
		s.Remarks = remarksOf(report, cast)
		s.Proved = o.seq
		s.Busy = ""
	})
	d.raise(ctx, o)
	d.cure(ctx, o, report.Remarks)
}

// raise makes the ghost, if it is not the model of the recipe as it is saved now,
// in the state that is shown: the file was changed, or another state chosen,
// while dials were turned. A recipe that is faulty as saved has none.
func (d *desk) raise(ctx context.Context, o order) {
	d.mu.Lock()
	saved := order{src: o.src, view: o.view}
	there := d.ghost.same(saved) && d.ghost.view == saved.view
	d.mu.Unlock()
	if there {
		return
	}
	p, _ := piece.ReadFor(saved.src, d.name, piece.Options{For: saved.view})
	if p == nil {
		return
	}
	m, err := build.Make(ctx, p, build.Options{Tol: tolFor(saved.view), Cache: &d.cache})
	if err != nil {
		return
	}
	k := &kept{id: modelID(m, 0), model: m}
	k.plain = packModel(k.id, m)
	d.told(ctx, func(s *state) { d.haunt(s, k, saved) })
}

// progress tells the pages how far a stage is, ten times a second at most.
func (d *desk) progress(ctx context.Context, o order, stage string) func(done, total int) {
	var last time.Time
	return func(done, total int) {
		if now := time.Now(); ctx.Err() == nil && now.Sub(last) >= 100*time.Millisecond {
			last = now
			d.tell("progress", progress{o.seq, done, total, stage})
		}
	}
}

type progress struct {
	Seq   int    `json:"seq"`
	Done  int    `json:"done"`
	Total int    `json:"total"`
	Stage string `json:"stage"`
}

// faultsOf writes faults for the page.
func faultsOf(diags lang.Diags) []fault {
	all := []fault{}
	for _, f := range diags {
		if f.Severity == lang.Fault {
			all = append(all, fault{f.Summary, f.Detail, f.Span.File, f.Span.Line, f.Span.Column, f.Line})
		}
	}
	return all
}
