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

// places joins findings to spots. Findings of the same two owners and zone hang
// together if they lie in the same or in neighbouring cells of a grid, or face each
// other. What hangs together is one spot, or two if neither its edges nor its
// walls are minor.
func (v *survey) places(found []finding) ([]Spot, error) {
	if v.o.Zone != nil {
		err := v.each(len(found), func(i int) {
			f := &found[i]
			f.zone = v.o.Zone(f.p, f.q, f.tags)
		})
		if err != nil {
			return nil, err
		}
	}
	if v.o.ZoneLimit != nil {
		found = slices.DeleteFunc(found, func(f finding) bool { return !(f.width < v.o.ZoneLimit(f.zone)-hair) })
	}
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
	parts := make([][]Spot, len(groups))
	err := v.each(len(groups), func(i int) { parts[i] = v.place(found, groups[i]) })
	if err != nil {
		return nil, err
	}
	o := v.o
	spots := slices.DeleteFunc(slices.Concat(parts...), func(s Spot) bool {
		return (o.MinArea > 0 || o.MinExtent > 0) &&
			!(o.MinArea > 0 && s.Area >= o.MinArea || o.MinExtent > 0 && s.Extent >= o.MinExtent)
	})
	slices.SortStableFunc(spots, func(a, b Spot) int { return cmp.Compare(a.Width, b.Width) })
	return spots, nil
}

// place returns the spots of one group of findings.
func (v *survey) place(found []finding, all []int32) []Spot {
	var walls, edges []int32
	var wallArea, edgeArea float64
	slices.SortStableFunc(all, func(a, b int32) int { return cmp.Compare(found[a].width, found[b].width) })
	for _, i := range all {
		if found[i].edge {
			edges = append(edges, i)
			edgeArea += found[i].area
		} else {
			walls = append(walls, i)
			wallArea += found[i].area
		}
	}
	if len(edges) == 0 || edges[0] != all[0] || !v.meet(found, edges) {
		// the sides lean, if at all, to a narrowest place where they are apart
		return []Spot{v.spotOf(found, all, all, false)}
	}
	if stand := v.standing(found, edges); len(stand) > 0 {
		// an edge, and beside it sides that lean to a narrowest place
		walls = append(walls, stand...)
		slices.SortStableFunc(walls, func(a, b int32) int { return cmp.Compare(found[a].width, found[b].width) })
		return []Spot{v.spotOf(found, walls, walls, false), v.spotOf(found, all, edges, true)}
	}
	switch {
	case len(walls) == 0 || wallArea < minor*edgeArea:
		return []Spot{v.spotOf(found, all, edges, true)}
	case edgeArea <= minor*wallArea:
		return []Spot{v.spotOf(found, all, walls, false)}
	}
	return []Spot{v.spotOf(found, walls, walls, false), v.spotOf(found, edges, edges, true)}
}

// meet reports whether the sides of the thinnest of the findings draw together until
// they meet: of the first that tells. Where a crease runs out there may be no telling.
func (v *survey) meet(found []finding, of []int32) bool {
	for _, i := range of {
		if at := v.settle(&found[i]); at.meets || at.least {
			return at.meets
		}
	}
	return false
}

// standing returns those of the findings whose sides lean to a narrowest place at
// which they stand apart, as those of a rim between a hole and an edge do, wherever
// else in the same group the sides meet.
func (v *survey) standing(found []finding, of []int32) (stand []int32) {
	for _, i := range of {
		if at := v.settle(&found[i]); at.least && at.width >= found[i].width/4 {
			stand = append(stand, i)
		}
	}
	return stand
}

// spotOf returns the spot of the findings in all, as thin as the thinnest of
// those in own; both are sorted by width.
func (v *survey) spotOf(found []finding, all, own []int32, edge bool) Spot {
	s := Spot{Width: math.Inf(1), Box: vec.Empty(), Tags: found[all[0]].tags, Zone: found[all[0]].zone, Edge: edge}
	for _, i := range own {
		f := &found[i]
		if edge || !f.fixed || v.borneOut(found, own, f) {
			at := v.settle(f)
			s.Width, s.At, s.Other = at.width, at.p, at.q
			break
		}
	}
	if math.IsInf(s.Width, 1) { // nothing but creases
		at := v.settle(&found[own[0]])
		s.Width, s.At, s.Other, s.Edge = at.width, at.p, at.q, at.meets
	}
	for _, i := range all {
		s.Area += found[i].area
		s.Box = s.Box.With(found[i].p)
	}
	s.Extent = extent(found, all)
	return s
}

// borneOut reports whether a finding from a crease is seen from the far side,
// too. Else it is a corner where the crease runs out, smaller than the spacing.
func (v *survey) borneOut(found []finding, of []int32, f *finding) bool {
	near := 1.5 * v.o.Spacing
	for _, i := range of {
		g := &found[i]
		if g.width > 2*f.width {
			return false
		}
		if !g.fixed && g.p.Sub(f.q).Len2() < near*near {
			return true
		}
	}
	return false
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

// spotCell is a cell of the grid for one pair of owners in one zone.
type spotCell struct {
	x, y, z int64
	tags    [2]uint32
	zone    int
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
	return spotCell{int64(math.Floor(p.X)), int64(math.Floor(p.Y)), int64(math.Floor(p.Z)), f.tags, f.zone}
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
