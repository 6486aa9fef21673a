package wall

import (
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// inball is a ball that lies inside the metal.
type inball struct {
	c    vec.P
	r    float64
	near uint32 // the triangle nearest to c
}

// ballMap is a set of inner balls, one to a cell of a grid.
type ballMap struct {
	ball []inball
	size float64 // of the cells
	at   map[[3]int64]int32
}

// balls fills the metal with inner balls of radius least and more, one for each
// cell of the grid: the largest of those about a point in the metal and those
// that have grown from there. No ball grows that may be part of the widest way
// as it is: one larger than ratio times the largest. The map is empty where no
// ball of radius heavy fits.
func (v *survey) balls(size, least, heavy, ratio float64) (*ballMap, error) {
	box := v.m.Bounds()
	lo := box.Min.Mul(1 / size)
	nx := int(box.Max.X/size-math.Floor(lo.X)) + 1
	ny := int(box.Max.Y/size-math.Floor(lo.Y)) + 1
	at := func(i int, lo float64) float64 { return (math.Floor(lo) + float64(i) + 0.5) * size }
	found := make([][]inball, nx)
	step := v.counter(2 * nx)
	err := v.each(nx, func(i int) {
		for j := 0; j < ny && v.ctx.Err() == nil; j++ {
			o := vec.P{X: at(i, lo.X), Y: at(j, lo.Y), Z: box.Min.Z - size}
			found[i] = v.column(found[i], o, box.Max.Z-o.Z, size)
		}
		step()
	})
	if err != nil {
		return nil, err
	}
	most := 0.0
	for _, f := range found {
		for _, b := range f {
			most = max(most, b.r)
		}
	}
	if most+size*math.Sqrt(3)/2 < heavy { // no point is farther from a middle
		return &ballMap{size: size}, nil
	}
	err = v.each(nx, func(i int) {
		for _, b := range found[i] {
			if b.r < ratio*most && v.ctx.Err() == nil {
				found[i] = append(found[i], v.swelled(b))
			}
		}
		step()
	})
	m := &ballMap{size: size, at: map[[3]int64]int32{}}
	for _, f := range found {
		for _, b := range f {
			if b.r >= least {
				m.add(b)
			}
		}
	}
	return m, err
}

// column appends the balls about the middles of the cells along the line from
// o up.
func (v *survey) column(to []inball, o vec.P, height, size float64) []inball {
	up := vec.P{Z: 1}
	ends := v.crossings(o, up, height)
	for i := 1; i < len(ends); i++ {
		lo, hi := o.Z+ends[i-1], o.Z+ends[i]
		mid := vec.P{X: o.X, Y: o.Y, Z: (lo + hi) / 2}
		if !(hi-lo > v.o.Slack) || !v.inside(mid) {
			continue
		}
		for k := math.Ceil(lo/size - 0.5); (k+0.5)*size < hi; k++ {
			c := vec.P{X: o.X, Y: o.Y, Z: (k + 0.5) * size}
			if h, ok := v.tree.Near(c, v.limit); ok && h.Dist > 0 {
				to = append(to, inball{c, h.Dist, h.T})
			}
		}
	}
	return to
}

// crossings returns how far from o along d the surface is crossed, ascending.
func (v *survey) crossings(o, d vec.P, reach float64) []float64 {
	var s []float64
	v.tree.RayAll(o, d, reach, func(h mesh.Hit) { s = append(s, h.Dist) })
	slices.Sort(s)
	return s
}

// swelled returns an inner ball that has grown from b: away from where it
// touches until it touches again, and so on while that makes it larger by much.
// On a round rod one turn would do, but on its triangles a ball rests soon.
func (v *survey) swelled(b inball) inball {
	const (
		turns = 5
		much  = 1.01
	)
	for range turns {
		h, ok := v.tree.Near(b.c, 2*b.r)
		if !ok {
			break
		}
		next := v.swell(b, h.P)
		done := next.r < b.r*much
		if b = next; done {
			break
		}
	}
	return b
}

// swell returns the largest inner ball that touches at q like b does.
func (v *survey) swell(b inball, q vec.P) inball {
	d := b.c.Sub(q).Mul(1 / b.r)
	r := v.limit
	if h, ok := v.tree.Ray(b.c, d, v.limit); ok {
		r = (b.r + h.Dist) / 2
	}
	for range mostShrinks {
		c := q.Add(d.Mul(r))
		h, ok := v.tree.Near(c, r*(1-play))
		if !ok {
			break
		}
		w := h.P.Sub(q)
		next := w.Len2() / (2 * w.Dot(d))
		if !(next < r && next > b.r) {
			return b
		}
		r = next
	}
	c := q.Add(d.Mul(r))
	if h, ok := v.tree.Near(c, v.limit); ok && h.Dist > b.r {
		return inball{c, h.Dist, h.T}
	}
	return b
}

// inside reports whether p lies in the metal: the surface next to it faces
// away from it.
func (v *survey) inside(p vec.P) bool {
	h, ok := v.tree.Near(p, v.limit)
	return ok && h.P.Sub(p).Dot(v.facingAt(h)) > 0
}

func (m *ballMap) cell(p vec.P) [3]int64 {
	p = p.Mul(1 / m.size)
	return [3]int64{int64(math.Floor(p.X)), int64(math.Floor(p.Y)), int64(math.Floor(p.Z))}
}

func (m *ballMap) add(b inball) {
	k := m.cell(b.c)
	i, ok := m.at[k]
	switch {
	case !ok:
		m.at[k] = int32(len(m.ball))
		m.ball = append(m.ball, b)
	case b.r > m.ball[i].r:
		m.ball[i] = b
	}
}

// nearest returns the ball that lies nearest to p, -1 if there is none.
func (m *ballMap) nearest(p vec.P) int32 {
	best, at := math.Inf(1), int32(-1)
	for i := range m.ball {
		if d := m.ball[i].c.Sub(p).Len() - m.ball[i].r; d < best {
			best, at = d, int32(i)
		}
	}
	return at
}

// grown returns the largest inner ball that steps uphill from b lead to, to
// all sides, or across the axis if it is not zero: the distance from the
// surface is tried all round, the step halved where none is better by a
// sixteenth of it. It stops at the radius enough.
func (v *survey) grown(b inball, axis vec.P, step, enough float64) inball {
	axis = axis.Unit()
	for step > v.o.Slack/10 && b.r < enough {
		best := b
		for d := range 27 {
			e := vec.P{X: float64(d%3 - 1), Y: float64(d/3%3 - 1), Z: float64(d/9 - 1)}
			e = e.Sub(axis.Mul(axis.Dot(e)))
			c := b.c.Add(e.Mul(step))
			if h, ok := v.tree.Near(c, b.r+2*step); ok && h.Dist > best.r {
				best = inball{c, h.Dist, h.T}
			}
		}
		slow := best.r < b.r+step/16
		if b = best; slow {
			step /= 2
		}
	}
	return b
}

// shared returns the radius of the largest ball that gets from a to b within
// both, and where it has to pass: the circle in which their surfaces cross, or
// the middle of the lesser ball where that circle lies beyond it; 0 if they are
// apart.
func shared(a, b *inball) (r float64, at vec.P) {
	d := a.c.Sub(b.c).Len()
	if d >= a.r+b.r {
		return 0, a.c.Lerp(b.c, 0.5)
	}
	if float64(d*d) <= math.Abs(float64(a.r*a.r)-float64(b.r*b.r)) {
		if a.r < b.r {
			return a.r, a.c
		}
		return b.r, b.c
	}
	x := (float64(d*d) + float64(a.r*a.r) - float64(b.r*b.r)) / (2 * d) // from a to the circle
	return math.Sqrt(max(float64(a.r*a.r)-float64(x*x), 0)), a.c.Lerp(b.c, x/d)
}

// passage returns the radius of the largest ball that gets from a to b, and
// where it passes most narrowly: better than shared, by balls in between, each
// side of which is halved so many times at most, and not where enough get by.
func (v *survey) passage(a, b *inball, halvings int, enough float64) (float64, vec.P) {
	r, at := shared(a, b)
	axis := b.c.Sub(a.c)
	if halvings == 0 || r >= enough || r >= 0.995*min(a.r, b.r) || axis == (vec.P{}) {
		return r, at
	}
	h, ok := v.tree.Near(at, v.limit)
	if !ok {
		return r, at
	}
	mid := v.grown(inball{at, h.Dist, h.T}, axis, max(r, h.Dist)/4, min(enough, a.r, b.r))
	r1, at1 := v.passage(a, &mid, halvings-1, enough)
	r2, at2 := v.passage(&mid, b, halvings-1, enough)
	if r2 < r1 {
		r1, at1 = r2, at2
	}
	if r1 > r {
		return r1, at1
	}
	return r, at
}
