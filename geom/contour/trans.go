package contour

import "waxwright/geom/vec"

// Cells beside smaller ones. Such a cell sees more signs than its corners': at
// the middles of edges and faces that smaller cells touch. Its points are
// numbered x + 3y + 9z in half cells, 0 to 26; its edges, whole or half, by
// their lower point, axis and whether they are half.

// transition is a cell beside smaller ones that the surface passes.
type transition struct {
	cell  uint16
	known uint32 // points whose sign it sees
	sign  uint32 // points that are inside
	loops []loopEdge
}

// loopEdge says which vertex's patch crosses an edge.
type loopEdge struct {
	edge uint8
	vert uint16
}

// halfEdge is the code of the half edge, or whole edge, that starts at a point;
// a cell never has both.
func halfEdge(point, axis int) uint8 { return uint8(point*3 + axis) }

// half reports whether the edge is a half one: its middle is a point that the
// cell sees. A regular cell has no record and no half edges.
func (t *transition) half(code uint8) bool {
	return t != nil && t.known>>(code/3+pointStep[code%3])&1 != 0
}

// pointStep is how far points half a cell apart along each axis are in number.
var pointStep = [3]uint8{1, 3, 9}

// cornerPoint is the point of each corner.
var cornerPoint = [8]uint8{0, 2, 6, 8, 18, 20, 24, 26}

// transition returns the cell's record, nil for a regular cell.
func (b *block) transition(x, y, z int) *transition {
	if b.trans == nil {
		return nil
	}
	if i := b.transAt[x+side*(y+side*z)]; i >= 0 {
		return &b.trans[i]
	}
	return nil
}

// faceRims are the eight points round each face, counter-clockwise seen from
// outside; corners have even places.
var faceRims = func() (t [6][8]uint8) {
	for f, cs := range faceCorners {
		for i, c := range cs {
			a, b := cornerPoint[c], cornerPoint[cs[(i+1)%4]]
			t[f][2*i], t[f][2*i+1] = a, (a+b)/2
		}
	}
	return
}()

// faceMiddles is the point in the middle of each face.
var faceMiddles = func() (t [6]uint8) {
	for f, r := range faceRims {
		t[f] = (r[0] + r[4]) / 2
	}
	return
}()

// rim writes the points round a face that is not cut, and returns their number.
func (t *transition) rim(face int, points *[8]uint8) int {
	n := 0
	for i, p := range faceRims[face] {
		if i%2 == 0 || t.known>>p&1 != 0 {
			points[n] = p
			n++
		}
	}
	return n
}

// rimArcs finds the arcs of the surface on a face, given the points round it
// and the inner ones among all: each row of inner points is cut off by one arc.
// enter and leave get the edges at which the row begins and ends.
func rimArcs(points []uint8, sign uint32, enter, leave *[4]uint8) int {
	n := len(points)
	arcs := 0
	in := func(i int) bool { return sign>>points[i%n]&1 != 0 }
	for i := range points {
		if in(i+n-1) || !in(i) {
			continue
		}
		j := i
		for in(j + 1) {
			j++
		}
		enter[arcs] = edgeBetween(points[(i+n-1)%n], points[i])
		leave[arcs] = edgeBetween(points[j%n], points[(j+1)%n])
		arcs++
	}
	return arcs
}

// edgeBetween is the code of the edge between two points.
func edgeBetween(a, b uint8) uint8 {
	if b < a {
		a, b = b, a
	}
	d := b - a
	for axis, step := range pointStep {
		if d == step || d == 2*step {
			return halfEdge(int(a), axis)
		}
	}
	panic("contour: no edge between two points")
}

// transitions finds the cells of b beside smaller ones, and makes their
// vertices. The vertices that they had before are left without a triangle.
func (w *worker) transitions(b *block) {
	m := w.m
	var near [27]neighbour
	any := false
	for n := range near {
		if steps := abs(n%3-1) + abs(n/3%3-1) + abs(n/9-1); steps == 1 || steps == 2 {
			near[n] = m.neighbour(b.key, n)
			any = any || near[n].finer
		}
	}
	if !any {
		return
	}
	m.lattice(b.key, 0, &w.lat)
	b.transAt = make([]int16, side*side*side)
	for i := range b.transAt {
		b.transAt[i] = -1
	}
	b.trans = []transition{}
	for z := range side {
		for y := range side {
			step := 1
			if y > 0 && y < side-1 && z > 0 && z < side-1 {
				step = side - 1
			}
			for x := 0; x < side; x += step {
				w.transitionCell(b, &near, x, y, z)
			}
		}
	}
}

func abs(a int) int { return max(a, -a) }

// transitionCell makes one cell's record, if it lies beside smaller cells and
// the surface passes it.
func (w *worker) transitionCell(b *block, near *[27]neighbour, x, y, z int) {
	t := transition{cell: uint16(x + side*(y+side*z))}
	in := b.inside(x, y, z)
	for c, p := range cornerPoint {
		t.known |= 1 << p
		t.sign |= uint32(in>>c&1) << p
	}
	beside := false
	for p := range 27 {
		if t.known>>p&1 != 0 || p == 13 {
			continue
		}
		h := [3]int{2*x + p%3, 2*y + p/3%3, 2*z + p/9}
		inside, known := w.m.fineSign(near, h)
		switch known {
		case seen:
		case proven: // no surface there: the sign of the corners round it
			inside = in>>nearCorner(p)&1 != 0
		default:
			continue
		}
		beside = true
		t.known |= 1 << p
		if inside {
			t.sign |= 1 << p
		}
	}
	if !beside || t.sign == 0 || t.sign == t.known {
		return
	}
	w.traceCell(b, &t, x, y, z)
	b.transAt[t.cell] = int16(len(b.trans))
	b.trans = append(b.trans, t)
}

// nearCorner is a corner of the smallest edge or face that point p is the
// middle of.
func nearCorner(p int) int {
	c := 0
	for i, h := range [3]int{p % 3, p / 3 % 3, p / 9} {
		if h == 2 {
			c |= 1 << i
		}
	}
	return c
}

// How a smaller cell's sign is known.
const (
	unseen = iota // there are no smaller cells
	seen
	proven // there were, and the surface does not pass them
)

// fineSign returns the sign of a point of a block's border, in half cells, as
// the smaller cells beside it have it.
func (m *mesher) fineSign(near *[27]neighbour, h [3]int) (inside bool, how int) {
	var out [3]int // the steps that lead from the point out of the block
	for i := range h {
		if h[i] == 0 {
			out[i] = -1
		} else if h[i] == 2*side {
			out[i] = 1
		}
	}
	for sub := 1; sub < 8; sub++ {
		n, scale, ok := 0, 1, true
		at := h
		for i := range 3 {
			s := 0
			if sub>>i&1 != 0 {
				if s = out[i]; s == 0 {
					ok = false
				}
			}
			at[i] -= 2 * side * s
			n += (s + 1) * scale
			scale *= 3
		}
		if !ok || !near[n].finer {
			continue
		}
		how = max(how, proven)
		// the point lies in one child or between several
		c := 0
		for i := range 3 {
			if at[i] > side {
				c |= 1 << i
				at[i] -= side
			}
		}
		child := m.at[near[n].b.child(c)]
		if child == nil || !child.marked {
			continue
		}
		return child.sign[row(at[1], at[2])]>>at[0]&1 != 0, seen
	}
	return false, how
}

// traceCell follows the surface's arcs over the cell's boundary to loops, and
// makes a vertex for each.
func (w *worker) traceCell(b *block, t *transition, x, y, z int) {
	var next [81]uint8
	for i := range next {
		next[i] = 255
	}
	var points [8]uint8
	var enter, leave [4]uint8
	link := func(points []uint8) {
		for i := range rimArcs(points, t.sign, &enter, &leave) {
			next[leave[i]] = enter[i]
		}
	}
	for f, rim := range faceRims {
		mid := faceMiddles[f]
		if t.known>>mid&1 == 0 {
			link(points[:t.rim(f, &points)])
			continue
		}
		for i := 0; i < 8; i += 2 {
			link([]uint8{rim[i], rim[i+1], mid, rim[(i+7)%8]})
		}
	}
	h := w.m.cell(b.level)
	w.solver.enter(b.local, w.corner(x, y, z, 0), h)
	for e := range next {
		if next[e] == 255 {
			continue
		}
		w.cross = w.cross[:0]
		for i := uint8(e); next[i] != 255; {
			w.cross = append(w.cross, w.halfCrossing(t, x, y, z, i))
			t.loops = append(t.loops, loopEdge{i, uint16(len(b.verts))})
			i, next[i] = next[i], 255
		}
		v, good := w.solver.patch(w.cross)
		if !good {
			b.faults = append(b.faults, fault{at: v.at, width: h})
		}
		b.verts = append(b.verts, v)
	}
}

// halfCrossing returns the ends of a whole or half edge of a cell.
func (w *worker) halfCrossing(t *transition, x, y, z int, code uint8) crossing {
	p, step := int(code/3), int(pointStep[code%3])
	q := p + step
	if !t.half(code) {
		q += step
	}
	c := crossing{in: w.halfPoint(x, y, z, p), out: w.halfPoint(x, y, z, q)}
	if t.sign>>p&1 == 0 {
		c.in, c.out = c.out, c.in
	}
	return c
}

// halfPoint returns a point of a cell of the block whose lattice is loaded.
func (w *worker) halfPoint(x, y, z, p int) vec.P {
	mid := func(c []float64, i, h int) float64 {
		if h == 1 {
			return (c[i] + c[i+1]) / 2
		}
		return c[i+h/2]
	}
	return vec.P{X: mid(w.lat.X, x, p%3), Y: mid(w.lat.Y, y, p/3%3), Z: mid(w.lat.Z, z, p/9)}
}
