package wall

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Neck is a heavy spot that metal reaches only through a thin neck: it stays
// liquid when the neck has set, and shrinks with nothing to draw on.
type Neck struct {
	At       vec.P   // centre of the heaviest ball
	Diameter float64 // of the largest ball that fits there, mm
	Through  vec.P   // the thinnest place of the widest way to it
	Width    float64 // there: the diameter of the largest ball that passes, mm
	Tag      uint32  // owner of the surface next to the heavy spot
}

// neckCells is how many cells of the ball map the widest neck that is looked
// for spans: the balls side by side in it share a disc 0.9 times as wide, and
// more when balls in between are tried.
const neckCells = 4

// Necks returns the places where a ball of diameter heavy mm or more fits but
// to which no ball of ratio times its diameter passes from where the metal
// comes in, the heaviest first. Metal comes in at the feeds; where none lies in
// a body, at its heaviest place. Bodies apart feed each other nothing. Slack is
// the option that counts, and Workers, Progress, Tree.
//
// Of two heavy spots behind one neck the heavier is reported, the other only
// if there is a neck between them. Width is a proven lower bound, mostly within
// 2 %; it is 0, and Through is At, for a neck thinner than about a quarter of
// heavy times ratio, in which no ball of the map lies. The mesh is to be closed
// and to face outwards.
//
// It is the casters' rule of growing circles, each section thinner than the
// next towards the feed (common practice, no source), with balls for circles:
// the balls, widest ways first, gather to lumps, and where two lumps meet the
// lesser has found its neck.
func Necks(ctx context.Context, m *mesh.Mesh, heavy, ratio float64, feeds []vec.P, o Options) ([]Neck, error) {
	if !(heavy > 0) || math.IsInf(heavy, 0) || !(ratio > 0 && ratio < 1) {
		return nil, fmt.Errorf("wall: heavy spots of %g mm behind necks of %g of that are none", heavy, ratio)
	}
	across := m.Bounds().Size().Len()
	if !(across > 0) {
		return nil, m.Check()
	}
	v, err := newSurvey(ctx, m, nil, across, o, inside)
	if err != nil {
		return nil, err
	}
	size := heavy * ratio / neckCells
	balls, err := v.balls(size, size/2, heavy/2, ratio)
	if err != nil {
		return nil, err
	}
	ways, err := v.ways(balls)
	if err != nil {
		return nil, err
	}
	g := &gathering{survey: v, ballMap: balls, heavy: heavy, ratio: ratio, body: v.bodies()}
	return g.necks(ways, feeds)
}

// way joins two balls of the map that overlap.
type way struct {
	a, b int32
	r    float64 // radius of the disc that both share
}

// ways returns the ways between balls in neighbouring cells, the widest first.
func (v *survey) ways(m *ballMap) ([]way, error) {
	pieces := (len(m.ball) + pieceSize - 1) / pieceSize
	parts := make([][]way, pieces)
	err := v.each(pieces, func(k int) {
		for i := k * pieceSize; i < min((k+1)*pieceSize, len(m.ball)); i++ {
			at := m.cell(m.ball[i].c)
			for d := range 27 {
				n := [3]int64{at[0] + int64(d%3-1), at[1] + int64(d/3%3-1), at[2] + int64(d/9-1)}
				j, ok := m.at[n]
				if !ok || int(j) <= i {
					continue
				}
				if r, _ := shared(&m.ball[i], &m.ball[j]); r > 0 {
					parts[k] = append(parts[k], way{int32(i), j, r})
				}
			}
		}
	})
	all := slices.Concat(parts...)
	slices.SortStableFunc(all, func(a, b way) int { return cmp.Compare(b.r, a.r) })
	return all, err
}

// bodies returns the body of each triangle, -1 for those of none.
func (v *survey) bodies() []int32 {
	shells := v.tree.Shells()
	of := make([]int32, len(v.m.T))
	mark := func(shell, body int) {
		for _, t := range shells[shell].T {
			of[t] = int32(body)
		}
	}
	for i, b := range mesh.Bodies(shells) {
		mark(b.Outer, i)
		for _, s := range b.Voids {
			mark(s, i)
		}
	}
	return of
}

// gathering joins balls to lumps.
type gathering struct {
	*survey
	*ballMap
	heavy, ratio float64
	body         []int32 // of each triangle
	up           []int32 // union-find over the balls
	lumps        []lump  // at the roots
	joins        []way   // that joined lumps
	found        []Neck
}

// lump is a set of balls with ways between them.
type lump struct {
	top  int32 // its largest ball
	gate int32 // where metal comes in
	fed  bool  // it does
}

// feed returns the ball from which the lump is fed.
func (l lump) feed() int32 {
	if l.fed {
		return l.gate
	}
	return l.top
}

func (g *gathering) root(i int32) int32 {
	for g.up[i] != i {
		g.up[i] = g.up[g.up[i]]
		i = g.up[i]
	}
	return i
}

// before reports whether x is the one of two lumps that feeds the other.
func (g *gathering) before(x, y lump) bool {
	if x.fed != y.fed {
		return x.fed
	}
	return g.ball[x.top].r >= g.ball[y.top].r
}

// necks joins the balls way by way, the widest first.
func (g *gathering) necks(ways []way, feeds []vec.P) ([]Neck, error) {
	g.up = make([]int32, len(g.ball))
	g.lumps = make([]lump, len(g.ball))
	for i := range g.up {
		g.up[i], g.lumps[i].top = int32(i), int32(i)
	}
	for _, f := range feeds {
		if i := g.nearest(f); i >= 0 {
			g.lumps[i].gate, g.lumps[i].fed = i, true
		}
	}
	for i, w := range ways {
		if i%pieceSize == 0 && g.ctx.Err() != nil {
			return nil, g.ctx.Err()
		}
		a, b := g.root(w.a), g.root(w.b)
		if a == b {
			continue
		}
		if !g.before(g.lumps[a], g.lumps[b]) {
			a, b = b, a
		}
		if y := g.lumps[b]; !y.fed {
			g.judge(y.top, w)
		}
		if top := g.lumps[b].top; g.ball[top].r > g.ball[g.lumps[a].top].r {
			g.lumps[a].top = top
		}
		g.up[b] = a
		g.joins = append(g.joins, w)
	}
	g.cutOff()
	slices.SortStableFunc(g.found, func(a, b Neck) int { return cmp.Compare(b.Diameter, a.Diameter) })
	return g.found, g.ctx.Err()
}

// cutOff adds the lumps to which no way leads from the one that feeds their
// body: their necks are thinner than any ball of the map.
func (g *gathering) cutOff() {
	feeder := map[int32]int32{} // of each body, the root
	for i := range g.up {
		if r := int32(i); g.up[i] == r {
			b := g.body[g.ball[g.lumps[r].top].near]
			if f, ok := feeder[b]; !ok || !g.before(g.lumps[f], g.lumps[r]) {
				feeder[b] = r
			}
		}
	}
	for i := range g.up {
		r := int32(i)
		if l := g.lumps[r]; g.up[i] == r && !l.fed && feeder[g.body[g.ball[l.top].near]] != r {
			g.judge(l.top, way{l.top, l.top, 0})
		}
	}
}

// judge keeps the neck w of the lump with the given top, if it is one.
func (g *gathering) judge(top int32, w way) {

	// a ball of the map is short of the largest about by a cell at the most
	if r := g.ball[top].r + 2*g.size; 2*r < g.heavy || w.r >= g.ratio*r {
		return
	}
	b := g.grown(g.ball[top], vec.P{}, g.size, math.Inf(1))
	if 2*b.r < g.heavy || w.r >= g.ratio*b.r {
		return
	}
	if g.root(g.nearest(b.c)) != g.root(top) {
		return // it has grown into another lump: no neck is between
	}
	n := Neck{At: b.c, Diameter: 2 * b.r, Through: b.c, Tag: g.tag(b.near)}
	if w.r > 0 {
		r, at := g.narrowest(g.path(top, w), g.ratio*b.r)
		if r >= g.ratio*b.r {
			return
		}
		n.Width, n.Through = 2*r, at
	}
	g.found = append(g.found, n)
}

// path returns the balls from top, whose lump the way w is about to join to
// another, to the place from which that is fed.
func (g *gathering) path(top int32, w way) []int32 {
	near := map[int32][]int32{} // of the balls of both lumps
	a, b := g.root(w.a), g.root(w.b)
	for _, x := range append(g.joins, w) {
		if r := g.root(x.a); r == a || r == b {
			near[x.a] = append(near[x.a], x.b)
			near[x.b] = append(near[x.b], x.a)
		}
	}
	if g.root(top) == a {
		a = b
	}
	end := g.lumps[a].feed()
	// the ways that joined lumps are a tree: the first path is the only one
	from := map[int32]int32{end: end}
	for next := []int32{end}; len(next) > 0; next = next[1:] {
		for _, j := range near[next[0]] {
			if _, ok := from[j]; !ok {
				from[j] = next[0]
				next = append(next, j)
			}
		}
	}
	p := []int32{top}
	for i := top; i != end; p = append(p, i) {
		i = from[i]
	}
	return p
}

// narrowest returns the radius of the largest ball that passes along a path of
// balls of the map, and where it passes most narrowly; it does not look for
// more than enough. It is better than the ways of the map, for each ball grows
// across the path before the passages between them are measured.
func (g *gathering) narrowest(path []int32, enough float64) (float64, vec.P) {
	const halvings = 5
	least, at := math.Inf(1), vec.P{}
	ridge := make([]inball, len(path))
	for i, k := range path {
		along := g.ball[path[min(i+1, len(path)-1)]].c.Sub(g.ball[path[max(i-1, 0)]].c)
		ridge[i] = g.grown(g.ball[k], along, g.ball[k].r/4, enough)
		if i == 0 {
			continue
		}
		if r, p := g.passage(&ridge[i-1], &ridge[i], halvings, enough); r < least {
			least, at = r, p
		}
	}
	return least, at
}
