package wall

import (
	"cmp"
	"math"
	"slices"

	"waxwright/geom/vec"
)

// reach is the size of the grid's cells in spacings. Thinned out, samples side
// by side lie up to two spacings apart, in cells that still touch.
const reach = 2

// minor is the share of a place's area below which its edges count with its
// walls, or its walls with its edges: between a wedge of 45 degrees, whose sides
// meet farther than its limit only over the last sixth, and one of 14, an edge
// over the first quarter.
const minor = 0.2

// keen is the share of the limit that a place's edges must come down to, to be
// edges and no walls that lean: the last sample before the edge of a wedge of 60
// degrees, an eighth of the limit from it, measures 0.15.
const keen = 0.25

// places joins findings to spots. Findings of the same two owners hang together
// if they lie in the same or in neighbouring cells of a grid, or face each
// other. What hangs together is one spot, or two if neither its edges nor its
// walls are minor.
func (v *survey) places(found []finding) []Spot {
	g := newGroups(found, reach*v.o.Spacing)
	groupOf := map[int32]int{}
	var groups [][]int32 // members, by first member
	for i := range found {
		r := g.find(g.cellOf[i])
		k, ok := groupOf[r]
		if !ok {
			k = len(groups)
			groupOf[r] = k
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], int32(i))
	}
	var spots []Spot
	for _, all := range groups {
		var kind [2][]int32 // walls, edges
		var area [2]float64
		least := v.limit
		for _, i := range all {
			k := 0
			if found[i].edge {
				k = 1
				least = min(least, found[i].width)
			}
			kind[k] = append(kind[k], i)
			area[k] += found[i].area
		}
		switch {
		case least > keen*v.limit:
			spots = append(spots, spotOf(found, all, all, false))
		case area[0]+area[1] == 0:
			spots = append(spots, spotOf(found, all, kind[0], len(kind[0]) == 0))
		case area[1] < minor*area[0]:
			spots = append(spots, spotOf(found, all, kind[0], false))
		case area[0] < minor*area[1]:
			spots = append(spots, spotOf(found, all, kind[1], true))
		default:
			spots = append(spots, spotOf(found, kind[0], kind[0], false), spotOf(found, kind[1], kind[1], true))
		}
	}
	o := v.o
	spots = slices.DeleteFunc(spots, func(s Spot) bool {
		return (o.MinArea > 0 || o.MinExtent > 0) &&
			!(o.MinArea > 0 && s.Area >= o.MinArea || o.MinExtent > 0 && s.Extent >= o.MinExtent)
	})
	slices.SortStableFunc(spots, func(a, b Spot) int { return cmp.Compare(a.Width, b.Width) })
	return spots
}

// spotOf returns the spot of the findings in all, as thin as the thinnest of
// those in own, or in all if own is empty.
func spotOf(found []finding, all, own []int32, edge bool) Spot {
	if len(own) == 0 {
		own = all
	}
	s := Spot{Width: math.Inf(1), Box: vec.Empty(), Tags: found[all[0]].tags, Edge: edge}
	for _, i := range own {
		if f := &found[i]; f.width < s.Width {
			s.Width, s.At, s.Other = f.width, f.p, f.q
		}
	}
	for _, i := range all {
		s.Area += found[i].area
		s.Box = s.Box.With(found[i].p)
	}
	s.Extent = extent(found, all)
	return s
}

// extent returns the largest distance found by walking to the farthest member
// three times: the diameter, but for odd shapes.
func extent(found []finding, of []int32) float64 {
	from := found[of[0]].p
	best := 0.0
	for range 3 {
		next := from
		d2 := 0.0
		for _, i := range of {
			if d := found[i].p.Sub(from).Len2(); d > d2 {
				d2, next = d, found[i].p
			}
		}
		best = max(best, math.Sqrt(d2))
		from = next
	}
	return best
}

// groups are the occupied cells of a grid, joined (union-find).
type groups struct {
	size   float64
	at     map[spotCell]int32
	root   []int32
	cellOf []int32 // of each finding
}

// spotCell is a cell of the grid for one pair of owners.
type spotCell struct {
	x, y, z int64
	tags    [2]uint32
}

// beside returns the neighbour d of 27; number 13 is the cell itself, and 26 - d
// lies opposite d.
func (k spotCell) beside(d int) spotCell {
	k.x += int64(d%3 - 1)
	k.y += int64(d/3%3 - 1)
	k.z += int64(d/9 - 1)
	return k
}

func newGroups(found []finding, size float64) *groups {
	g := &groups{size: size, at: map[spotCell]int32{}, cellOf: make([]int32, len(found))}
	var cells []spotCell
	for i := range found {
		k := g.cell(&found[i], found[i].p)
		c, ok := g.at[k]
		if !ok {
			c = int32(len(g.root))
			g.at[k] = c
			g.root = append(g.root, c)
			cells = append(cells, k)
		}
		g.cellOf[i] = c
	}
	for i, k := range cells {
		for d := range 13 { // half of the 26 neighbours
			if c, ok := g.at[k.beside(d)]; ok {
				g.join(int32(i), c)
			}
		}
	}
	for i := range found {
		k := g.cell(&found[i], found[i].q)
		if c, ok := g.at[k]; ok {
			g.join(g.cellOf[i], c)
			continue
		}
		for d := range 27 {
			if c, ok := g.at[k.beside(d)]; ok {
				g.join(g.cellOf[i], c)
			}
		}
	}
	return g
}

func (g *groups) cell(f *finding, p vec.P) spotCell {
	p = p.Mul(1 / g.size)
	return spotCell{int64(math.Floor(p.X)), int64(math.Floor(p.Y)), int64(math.Floor(p.Z)), f.tags}
}

func (g *groups) find(i int32) int32 {
	for g.root[i] != i {
		g.root[i] = g.root[g.root[i]]
		i = g.root[i]
	}
	return i
}

func (g *groups) join(i, j int32) {
	i, j = g.find(i), g.find(j)
	g.root[max(i, j)] = min(i, j)
}
