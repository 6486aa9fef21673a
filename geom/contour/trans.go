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
	if b.even() {
		return nil
	}
	if i := b.seam.at[cellNumber(x, y, z)]; i >= 0 {
		return &b.seam.trans[i]
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

// border is what a block sees of the smaller cells beside it: the signs of
// points on its border, in half cells, that are corners of such cells.
type border struct {
	known, inside [halves * halves]uint16 // row z*halves+y, a bit for each x
}

// halves is the number of half-cell points along the edge of a block.
const halves = 2*side + 1

// transitions finds the cells of b beside smaller ones, and makes their
// vertices. The vertices that they had before are left without a triangle.
func (w *worker) transitions(b *block) {
	w.border = border{}
	any := false
	for n := range 27 {
		step := [3]int{n%3 - 1, n/3%3 - 1, n/9 - 1}
		if steps := abs(step[0]) + abs(step[1]) + abs(step[2]); steps > 2 {
			continue
		}
		if o := w.m.neighbour(b.key, n); o.b != nil && o.b.level == b.level && o.b.gone != 0 {
			any = true
			w.look(b, o.b, step)
		}
	}
	if !any {
		return
	}
	w.m.lattice(b.key, 0, &w.lat)
	b.seam.at = make([]int8, side*side*side)
	for i := range b.seam.at {
		b.seam.at[i] = -1
	}
	b.seam.trans = []transition{}
	for z := range side {
		for y := range side {
			step := 1
			if y > 0 && y < side-1 && z > 0 && z < side-1 && b.gone == 0 {
				step = side - 1
			}
			for x := 0; x < side; x += step {
				if octant(x, y, z)&b.gone == 0 {
					w.transitionCell(b, x, y, z)
				}
			}
		}
	}
}

func abs(a int) int { return max(a, -a) }

// look notes the signs that the children of block o have on b's border, or in b
// where the two are the same; o lies one step from b. Where a child is missing
// the surface does not pass, and its points have the sign of b's corners there.
func (w *worker) look(b, o *block, step [3]int) {
	for c := range 8 {
		if o.gone>>c&1 == 0 {
			continue
		}
		kid := w.m.at.get(o.child(c))
		if kid != nil && !kid.marked {
			kid = nil
		}
		var base, lo, hi [3]int // where the child begins, and the common points, in half cells of b
		for i, s := range step {
			base[i] = 2*side*s + side*(c>>i&1)
			lo[i], hi[i] = max(base[i], 0), min(base[i]+side, 2*side)
		}
		for z := lo[2]; z <= hi[2]; z++ {
			for y := lo[1]; y <= hi[1]; y++ {
				r := z*halves + y
				for x := lo[0]; x <= hi[0]; x++ {
					in := false
					if kid != nil {
						in = kid.sign[row(y-base[1], z-base[2])]>>(x-base[0])&1 != 0
					} else if w.border.known[r]>>x&1 != 0 {
						continue
					} else {
						in = b.sign[row(y/2, z/2)]>>(x/2)&1 != 0
					}
					w.border.known[r] |= 1 << x
					if in {
						w.border.inside[r] |= 1 << x
					} else {
						w.border.inside[r] &^= 1 << x
					}
				}
			}
		}
	}
}

// transitionCell makes one cell's record, if it lies beside smaller cells and
// the surface passes it.
func (w *worker) transitionCell(b *block, x, y, z int) {
	t := transition{cell: uint16(cellNumber(x, y, z))}
	for p := range 9 { // rows of three points
		r := (2*z+p/3)*halves + 2*y + p%3
		t.known |= uint32(w.border.known[r]>>(2*x)&7) << (3 * p)
		t.sign |= uint32(w.border.inside[r]>>(2*x)&7) << (3 * p)
	}
	if t.known&^cornerPoints == 0 {
		return
	}
	in := b.inside(x, y, z)
	t.sign &^= cornerPoints
	for c, p := range cornerPoint {
		t.sign |= uint32(in>>c&1) << p
	}
	t.known |= cornerPoints
	if t.sign == 0 || t.sign == t.known {
		return
	}
	w.traceCell(b, &t, x, y, z)
	b.seam.at[t.cell] = int8(len(b.seam.trans))
	b.seam.trans = append(b.seam.trans, t)
}

// cornerPoints are the points that are corners.
const cornerPoints = 1<<0 | 1<<2 | 1<<6 | 1<<8 | 1<<18 | 1<<20 | 1<<24 | 1<<26

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
		v.loose = len(w.cross) < len(t.loops) || !w.solver.holds(v.at)
		if !good {
			b.faults = append(b.faults, w.solver.fault(&v, cellNumber(x, y, z)))
		}
		b.add(v)
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
