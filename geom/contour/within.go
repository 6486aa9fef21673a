package contour

import (
	"cmp"
	"context"
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Within: where the measured mesh is off by more than its tolerance, patches
// round the triangles in question are replaced by stars (star.go) whose hubs are
// points of the surface, of its creases or in its corners, as long as that leaves
// less to be desired and nothing unsound.

// The bounds of the work: how often all that is off is gone through, and how many
// triangles that are (beyond it smaller cells are needed).
const (
	mostFitting = 16
	mostOff     = 1000
)

// fitter replaces what is off.
type fitter struct {
	patchwork
	s     sounder
	cube  sdf.Local // the surface in a cube round the place in hand
	words []sdf.Word
	moves int // of campaigns, so far
}

// within brings the triangles of out that are off by more than the tolerance
// nearer to the surface. It reports whether anything has changed.
func (m *mesher) within(ctx context.Context, out *mesh.Mesh) (changed bool, err error) {
	off, err := m.offenders(ctx, out)
	if err != nil || len(off) == 0 || len(off) > mostOff {
		return false, err
	}
	f := fitter{patchwork: *newPatchwork(out), s: sounder{m: m}}
	for range mostFitting {
		slices.SortFunc(off, func(a, b offender) int {
			return cmp.Or(cmp.Compare(b.by, a.by), cmp.Compare(a.t, b.t))
		})
		var left []offender
		touched := map[uint32]bool{} // vertices round which there is something new
		for _, o := range off {
			if err := ctx.Err(); err != nil {
				return false, err
			}
			if f.gone[o.t] {
				continue
			}
			made, ok := f.fit(o.t)
			if !ok {
				left = append(left, o)
				continue
			}
			for _, t := range made {
				for _, v := range out.T[t] {
					touched[v] = true
				}
				if by := f.s.strays(out.V, out.T[t]); by > m.opt.Tol {
					left = append(left, offender{t, by})
				}
			}
		}
		changed = changed || len(touched) > 0
		off = slices.DeleteFunc(left, func(o offender) bool {
			c := out.T[o.t]
			return !touched[c[0]] && !touched[c[1]] && !touched[c[2]]
		})
		if len(off) == 0 {
			break
		}
	}
	if changed {
		f.compact()
	}
	return changed, nil
}

// offender is a triangle that is off by more than the tolerance.
type offender struct {
	t  uint32
	by float64
}

// offenders lists the triangles that are off by more than the tolerance.
func (m *mesher) offenders(ctx context.Context, out *mesh.Mesh) ([]offender, error) {
	chunk, n := share(len(out.T), 1024)
	found := make([][]offender, n)
	err := m.parallel(ctx, len(found), func(_ *worker, i int) {
		s := sounder{m: m}
		for t := i * chunk; t < min((i+1)*chunk, len(out.T)); t++ {
			if by := s.strays(out.V, out.T[t]); by > m.opt.Tol {
				found[i] = append(found[i], offender{uint32(t), by})
			}
		}
	})
	return slices.Concat(found...), err
}

// strays returns how far a triangle is off where it is measured.
func (s *sounder) strays(at []vec.P, t [3]uint32) float64 {
	far := 0.0
	for _, p := range samples(at, t) {
		far = max(far, s.deviation(p))
	}
	return far
}

// samples are the points at which a triangle is measured, its corners too.
func samples(at []vec.P, t [3]uint32) []vec.P {
	a, b, c := at[t[0]], at[t[1]], at[t[2]]
	in, ab, bc, ca := innerPoints(a, b, c), edgePoints(a, b), edgePoints(b, c), edgePoints(c, a)
	return slices.Concat(in[:], ab[:], bc[:], ca[:], []vec.P{a, b, c})
}

// fit makes the best star there is for a triangle that is off, with a hub near where
// it is or, if there is none, near anywhere of it; and where no star is better than
// what it would replace, several in a row (campaign). It returns false where these
// are not, either.
func (f *fitter) fit(t uint32) (made []uint32, ok bool) {
	tol := f.s.m.opt.Tol
	for _, least := range [2]float64{tol, anywhere} {
		if made, ok = f.fitBy(t, f.points(t, least)); ok {
			return made, true
		}
	}
	return f.campaign(t)
}

// anywhere is less than any place is off.
const anywhere = -1

// fitBy is fit with the given points for new hubs.
func (f *fitter) fitBy(t uint32, points []vec.P) (made []uint32, ok bool) {
	tol := f.s.m.opt.Tol
	var best star
	least, found := math.Inf(1), false
	try := func(s *star, limit float64) bool {
		if !f.make(s) {
			return false
		}
		far := f.far(s, min(limit, least))
		if far >= least || far > limit || !f.allowed(s) {
			return false
		}
		least, found = far, true
		best = *s
		best.loop, best.patch, best.made = slices.Clone(s.loop), slices.Clone(s.patch), slices.Clone(s.made)
		return least <= tol
	}
	for _, patch := range f.patches(t) {
		s := star{patch: patch}
		if !f.ring(&s) {
			continue
		}
		was := f.was(&s)
		if was <= tol {
			continue
		}
		limit := max(tol, was*better)
		for _, p := range points {
			if f.to(&s, p); try(&s, limit) {
				return f.set(&best), true
			}
		}
		for _, v := range slices.Clone(s.loop) {
			if f.from(&s, v) && try(&s, limit) {
				return f.set(&best), true
			}
		}
	}
	if !found {
		return nil, false
	}
	return f.set(&best), true
}

// better is the share of what a patch was off by that its star may be, where it
// is still beyond the tolerance.
const better = 0.98

// patches lists the patches that are tried for a triangle, small ones first: it
// alone and with those beside it, and what lies round each of its corners and
// sides.
func (f *fitter) patches(t uint32) [][]uint32 {
	c := f.out.T[t]
	var beside [3]uint32
	for k := range 3 {
		beside[k] = f.beyond(c[(k+1)%3], c[k])
	}
	all := [][]uint32{{t}}
	for k := range 3 {
		all = append(all, []uint32{t, beside[k]})
	}
	for k := range 3 {
		all = append(all, []uint32{t, beside[k], beside[(k+1)%3]})
	}
	all = append(all, []uint32{t, beside[0], beside[1], beside[2]})
	for k := range 3 {
		all = append(all, slices.Clone(f.fan[c[k]]))
	}
	for k := range 3 {
		two := slices.Clone(f.fan[c[k]])
		for _, o := range f.fan[c[(k+1)%3]] {
			if !slices.Contains(two, o) {
				two = append(two, o)
			}
		}
		all = append(all, two)
	}
	return slices.DeleteFunc(all, func(p []uint32) bool { return len(p) > mostPatched })
}

// mostPatched is how many triangles a patch may have: a vertex in a wide plane may
// have far more.
const mostPatched = 40

// nearFaces is how far from a place, in tolerances, the faces pass that are joined
// to creases and corners, and mostFaces how many these are.
const (
	nearFaces = 6
	mostFaces = 6
)

// points lists the points that are tried as hubs for a triangle: those of the
// surface, its creases and corners that are nearest to where it is off by more than
// least, and those that it faces.
func (f *fitter) points(t uint32, least float64) []vec.P {
	m := f.s.m
	var list []vec.P
	add := func(q vec.P) {
		for _, p := range list {
			if p.Sub(q).Len() < weldLength {
				return
			}
		}
		list = append(list, q)
	}
	a, b, c := f.out.Corners(int(t))
	reach := math.Sqrt(max(b.Sub(a).Len2(), c.Sub(b).Len2(), a.Sub(c).Len2())) + 2*m.opt.Tol
	for _, p := range samples(f.out.V, f.out.T[t]) {
		if f.s.deviation(p) <= least {
			continue
		}
		q, _, _ := m.code.Nearest(p)
		add(q)
		if q, ok := f.ahead(p, b.Sub(a).Cross(c.Sub(a)).Unit()); ok {
			add(q)
		}
		if m.code.Whole().PruneFine(&f.cube, p, min(reach, nearFaces*m.opt.Tol)) != sdf.Mixed {
			continue
		}
		f.words = distinct(&f.cube, f.words[:0], f.cube.Words(nil))
		words := f.words[:min(len(f.words), mostFaces)]
		meet := func(ws ...sdf.Word) {
			q, ok := f.cube.Meet(p, ws...)
			if ok && q.Sub(p).Len() <= reach && math.Abs(m.code.Dist(q)) <= onFace {
				add(q)
			}
		}
		for i, v := range words {
			for j, w := range words[:i] {
				meet(v, w)
				for _, x := range words[:j] {
					meet(v, w, x)
				}
			}
		}
	}
	return list
}

// spike is how long the tip of a spike may be that the mesh cuts off where it is
// as thick as the finest cells, in tolerances: one of 2 degrees.
const spike = 60

// ahead returns where the surface is met from p along n, or against it from
// outside: near the tip of a spike that the mesh cuts off.
func (f *fitter) ahead(p, n vec.P) (q vec.P, ok bool) {
	const steps = 100 // a spike of 5 degrees takes 90 from its width to a fiftieth of it
	d := f.s.m.code.Dist(p)
	if d > 0 {
		n = n.Mul(-1)
	}
	gone := 0.0
	for range steps {
		if gone > spike*f.s.m.opt.Tol {
			return p, false
		}
		at := p.Add(n.Mul(gone))
		if d = math.Abs(f.s.m.code.Dist(at)); d <= onto*f.s.m.opt.Tol {
			q, _, _ = f.s.m.code.Nearest(at)
			return q, true
		}
		gone += d
	}
	return p, false
}

// was returns how far the patch is off inside of its loop.
func (f *fitter) was(s *star) float64 {
	far := 0.0
	for _, t := range s.patch {
		a, b, c := f.out.Corners(int(t))
		for _, p := range innerPoints(a, b, c) {
			far = max(far, f.s.deviation(p))
		}
	}
	f.sides(s.patch, func(_, a, b, beyond uint32) {
		if a < b && slices.Contains(s.patch, beyond) {
			for _, p := range edgePoints(f.out.V[a], f.out.V[b]) {
				far = max(far, f.s.deviation(p))
			}
		}
	})
	for _, v := range s.inner {
		far = max(far, f.s.deviation(f.out.V[v]))
	}
	return far
}

// far returns how far the star is off inside of its loop, or any larger number
// than limit if it is farther.
func (f *fitter) far(s *star, limit float64) float64 {
	far := 0.0
	look := func(p vec.P) bool {
		far = max(far, f.s.deviation(p))
		return far > limit
	}
	spokes := s.loop
	if s.fresh() {
		if look(s.at) {
			return far
		}
	} else {
		spokes = s.loop[2 : len(s.loop)-1]
	}
	for _, v := range spokes {
		for _, p := range edgePoints(s.at, f.out.V[v]) {
			if look(p) {
				return far
			}
		}
	}
	for i := range s.made {
		v := s.made[i].v
		for _, p := range innerPoints(s.at, f.out.V[v[1]], f.out.V[v[2]]) {
			if look(p) {
				return far
			}
		}
	}
	return far
}

// allowed reports whether the star looks as the surface does, covers what it takes out,
// and clears all else.
func (f *fitter) allowed(s *star) bool {
	return f.looks(s) && f.covers(s, f.s.m.opt.Tol) && f.clears(s)
}

// looks reports whether no more of the star's triangles face against the surface
// than of the patch's.
func (f *fitter) looks(s *star) bool {
	against := func(n, p vec.P) int {
		l := f.s.local(p)
		if l == nil {
			return 0
		}
		_, w := l.At(p)
		if _, g := l.Slope(w, p); g.Dot(n) > 0 {
			return 0
		}
		return 1
	}
	sum := 0
	for i := range s.made {
		sum += against(s.made[i].n, s.made[i].middle)
	}
	for _, t := range s.patch {
		if sum == 0 {
			return true
		}
		a, b, c := f.out.Corners(int(t))
		sum -= against(b.Sub(a).Cross(c.Sub(a)), a.Add(b).Add(c).Mul(1.0/3))
	}
	return sum <= 0
}
