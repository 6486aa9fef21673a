package contour

import (
	"fmt"
	"math"

	"waxwright/geom/sdf"
)

// The ladder: cell sizes halve from level to level, so a face that bends with
// some radius gets cells up to twice as small as it needs. The size of the
// root decides where the rungs lie.

// rungs is how many places of the rungs are tried.
const rungs = 16

// survey returns the cell sizes that the faces need in each of the blocks of a
// coarse sweep that the surface may pass, and the edge of these blocks.
func (m *mesher) survey() (need []float64, edge float64) {
	w := m.newWorker()
	last := uint8(min(m.top, surveyLevel))
	var look func(k key, src *sdf.Local)
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
		h := m.coarsest
		w.words = local.Words(w.words[:0])
		for _, f := range w.words {
			h = min(h, m.opt.cellFor(local.Bend(f, c, half*halfDiagonal)))
		}
		need = append(need, h)
	}
	look(key{}, m.code.Whole())
	return need, m.cell(last) * side
}

// surveyLevel is the level of the survey's blocks: 32 across.
const surveyLevel = 5

// halfDiagonal is how much longer half the diagonal of a cube is than half its
// edge: sqrt 3.
const halfDiagonal = 1.7320508075688772

// cellsPerFace is how many cells the surface passes for each square of a cell's
// size: 1 where it is square to an axis, 1.5 at most on average.
const cellsPerFace = 1.5

// enough returns an error if the survey foretells too many cells.
func (m *mesher) enough(need []float64, edge float64) error {
	cells := 0.0
	for _, h := range need {
		h = min(h, edge)
		cells += cellsPerFace * (edge / h) * (edge / h)
	}
	if cells > mostCells {
		return fmt.Errorf("contour: some %.0f million cells would be needed, the most is %d million; a larger tolerance needs fewer", cells/1e6, mostCells/1_000_000)
	}
	return nil
}

// stretch returns the factor, from 1 to 2, by which the root of the grid should
// grow so that the fewest cells are needed.
func (m *mesher) stretch(need []float64) float64 {
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
