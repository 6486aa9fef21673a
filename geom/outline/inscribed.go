package outline

import (
	"container/heap"
	"math"

	"waxwright/geom/vec"
)

// Inscribed returns the largest circle that fits into the outline beside the
// holes: its centre, and its radius to within tol. The radius is 0 where no
// circle of radius tol fits. Of several largest circles it is one, always the
// same.
//
// Branch and bound over squares, the most promising first: a circle about a
// point of a square is larger than that about its middle by half the diagonal
// at the most.
func (o Outline) Inscribed(holes []Outline, tol float64) (c vec.P2, r float64) {
	if o.Empty() {
		return vec.P2{}, 0
	}
	cut := func(mid vec.P2, half float64) square {
		r := -o.Dist(mid)
		for _, h := range holes {
			if !h.Empty() {
				r = min(r, h.Dist(mid))
			}
		}
		return square{mid, half, r}
	}
	box := o.Bounds()
	size := box.Size()
	best := cut(box.Center(), max(size.X, size.Y)/2)
	q := squares{best}
	for len(q) > 0 {
		s := heap.Pop(&q).(square)
		if s.most() <= max(best.r, 0)+tol {
			break
		}
		h := s.half / 2
		for _, d := range [4]vec.P2{{X: -h, Y: -h}, {X: h, Y: -h}, {X: -h, Y: h}, {X: h, Y: h}} {
			k := cut(s.mid.Add(d), h)
			if k.r > best.r {
				best = k
			}
			heap.Push(&q, k)
		}
	}
	return best.mid, max(best.r, 0)
}

// square is a cell of the search.
type square struct {
	mid  vec.P2
	half float64 // of a side
	r    float64 // of the largest circle about mid, negative outside
}

// most is the largest radius that a circle about a point of the square may
// have.
func (s square) most() float64 { return s.r + s.half*math.Sqrt2 }

// squares is a heap, the most promising first.
type squares []square

func (q squares) Len() int           { return len(q) }
func (q squares) Less(i, j int) bool { return q[i].most() > q[j].most() }
func (q squares) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *squares) Push(x any)        { *q = append(*q, x.(square)) }
func (q *squares) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}
