package contour

import (
	"math"

	"waxwright/geom/sdf"
)

// The ladder: cell sizes halve from level to level, so a face that bends with
// some radius gets cells up to twice as small as it needs. The size of the
// root decides where the rungs lie.

// surveyed is how many blocks a body is wide in the survey.
const surveyed = 32

// rungs is how many places of the rungs are tried.
const rungs = 16

// stretch returns the factor, from 1 to 2, by which the root of the grid should
// grow so that the fewest cells are needed. It looks at what cell sizes the
// faces need in a coarse sweep.
func (m *mesher) stretch() float64 {
	w := m.newWorker()
	var need []float64
	var look func(k key, src *sdf.Local)
	last := uint8(min(m.top, int(math.Log2(surveyed))))
	look = func(k key, src *sdf.Local) {
		local := &w.stack[k.level]
		c, half := m.middle(k)
		if src.Prune(local, c, half) != sdf.Mixed {
			return
		}
		if k.level < last {
			for i := range 8 {
				look(k.child(i), local)
			}
			return
		}
		h := m.opt.coarsest
		w.words = local.Words(w.words[:0])
		for _, f := range w.words {
			h = min(h, m.opt.cellFor(local.Bend(f, c, half*1.7320508075688772)))
		}
		need = append(need, h)
	}
	look(key{}, m.code.Whole())
	best, least := 1.0, math.Inf(1)
	root := m.cell(0)
	for i := range rungs {
		s := math.Exp2(float64(i) / rungs)
		cost := 0.0
		for _, h := range need {
			rung := math.Ceil(math.Log2(root * s / h))
			cost += math.Exp2(2*rung) / (s * s)
		}
		if cost < least {
			best, least = s, cost
		}
	}
	return best
}
