package contour

import (
	"math"
	"slices"

	"waxwright/geom/vec"
)

// Campaigns: along a ridge, or where a corner of a triangle lies wrong, no single
// star is nearer to the surface than what it replaces: it takes several, and after
// the first of them more may be off than before. They are set one by one, and taken
// back if the last leaves no less to be desired than there was.

// The bounds of campaigns: how many stars one has, and all of a mesh.
const (
	mostMoves    = 12
	mostAllMoves = 120 // of some 25 ms each
)

// campaign replaces what is off at a triangle by several stars. It returns false, with
// the mesh as it was, where that gains nothing.
func (f *fitter) campaign(t uint32) (made []uint32, ok bool) {
	was, excess := f.s.strays(f.out.V, f.out.T[t]), f.excessOf(t)
	open := []uint32{t}
	var moves []star
	for len(moves) < mostMoves && f.moves < mostAllMoves {
		worst, by := f.worst(open)
		if by <= f.s.m.opt.Tol {
			return open, true
		}
		f.moves++
		s, ok := f.easiest(worst)
		if !ok {
			break
		}
		made := f.set(&s)
		moves = append(moves, s)
		open = append(slices.DeleteFunc(open, func(t uint32) bool { return f.gone[t] }), made...)
	}
	if _, by := f.worst(open); by <= max(f.s.m.opt.Tol, better*was) {
		return open, true
	} else if by <= was {
		left := 0.0
		for _, t := range open {
			left += f.excessOf(t)
		}
		if left <= excess/2 {
			return open, true
		}
	}
	for _, s := range slices.Backward(moves) {
		f.undo(&s)
	}
	return nil, false
}

// worst returns which triangle is off the most.
func (f *fitter) worst(among []uint32) (t uint32, by float64) {
	for _, o := range among {
		if d := f.s.strays(f.out.V, f.out.T[o]); d > by {
			t, by = o, d
		}
	}
	return t, by
}

// excess returns by how much a triangle is off beyond the tolerance, summed over its
// area. What is left of it when many stars are set tends to nothing, whatever the
// worst of them do.
func (f *fitter) excess(at []vec.P, t [3]uint32) float64 {
	tol, sum := f.s.m.opt.Tol, 0.0
	for _, p := range samples(at, t) {
		sum += max(0, f.s.deviation(p)-tol)
	}
	a, b, c := at[t[0]], at[t[1]], at[t[2]]
	return sum * b.Sub(a).Cross(c.Sub(a)).Len()
}

func (f *fitter) excessOf(t uint32) float64 { return f.excess(f.out.V, f.out.T[t]) }

// easiest returns the star for a triangle, and others, that leaves the least excess.
func (f *fitter) easiest(t uint32) (best star, ok bool) {
	tol := f.s.m.opt.Tol
	points := append(f.points(t, tol), f.points(t, anywhere)...)
	least := math.Inf(1)
	for _, patch := range f.patches(t) {
		s := star{patch: patch}
		if !f.ring(&s) {
			continue
		}
		was := 0.0
		for _, o := range patch {
			was += f.excessOf(o)
		}
		try := func() {
			if !f.make(&s) {
				return
			}
			at := f.out.V
			if s.fresh() {
				at = append(at, s.at)
			}
			gain := -was
			for i := range s.made {
				if gain += f.excess(at, s.made[i].v); gain >= least {
					return
				}
			}
			if !f.allowed(&s) {
				return
			}
			least, ok = gain, true
			best = s
			best.loop, best.made = slices.Clone(s.loop), slices.Clone(s.made)
		}
		for _, p := range points {
			f.to(&s, p)
			try()
		}
		for _, v := range slices.Clone(s.loop) {
			if f.from(&s, v) {
				try()
			}
		}
	}
	return best, ok
}
