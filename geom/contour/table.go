package contour

// Cells, corners, edges and faces.
//
// Corner c of a cell has the x, y, z side of bit 0, 1, 2 of c. Edge e runs
// along axis e/4; with u and v the two axes after it in turn, bit 0 of e%4 is
// its side in u and bit 1 its side in v. Face f is square to axis f/2, on side
// f%2.

// edgeCorners are the lower and the upper corner of each edge.
var edgeCorners = func() (t [12][2]uint8) {
	for e := range t {
		d := e / 4
		u, v := (d+1)%3, (d+2)%3
		c := uint8(e&1)<<u | uint8(e>>1&1)<<v
		t[e] = [2]uint8{c, c | 1<<d}
	}
	return
}()

// faceCorners are the corners of each face, counter-clockwise seen from
// outside the cell.
var faceCorners = func() (t [6][4]uint8) {
	for f := range t {
		d, s := f/2, uint8(f%2)
		u, v := (d+1)%3, (d+2)%3
		for i, q := range [4][2]uint8{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
			c := q[0]<<u | q[1]<<v | s<<d
			if s == 1 {
				t[f][i] = c
			} else {
				t[f][3-i] = c
			}
		}
	}
	return
}()

// edgeOf is the edge between two corners, -1 where there is none.
var edgeOf = func() (t [8][8]int8) {
	for i := range t {
		for j := range t[i] {
			t[i][j] = -1
		}
	}
	for e, c := range edgeCorners {
		t[c[0]][c[1]], t[c[1]][c[0]] = int8(e), int8(e)
	}
	return
}()

// pattern is what the surface does in a cell with given corner signs: its
// loops on the cell's boundary, one for each patch of surface in the cell.
type pattern struct {
	loops     uint8
	loop      [12]int8  // of each edge, -1 where the surface does not cross it
	round     [][]uint8 // the edges of each loop
	ambiguous uint8     // faces on which the surface makes two arcs
}

// patterns holds the pattern of each set of inner corners. On a face with two
// inner corners across from each other each inner corner is cut off: the same
// rule on both sides of the face.
var patterns = func() (t [256]pattern) {
	for c := range t {
		t[c] = newPattern(uint8(c))
	}
	return
}()

func newPattern(inside uint8) pattern {
	p := pattern{loop: [12]int8{-1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1, -1}}
	in := func(c uint8) bool { return inside>>c&1 != 0 }
	var next [12]int8
	crossed := [12]bool{}
	for f, cs := range faceCorners {
		arcs := 0
		for i, c := range cs {
			if before := cs[(i+3)%4]; in(before) || !in(c) {
				continue
			}
			arcs++
			enter := edgeOf[cs[(i+3)%4]][c]
			j := i
			for in(cs[(j+1)%4]) {
				j = (j + 1) % 4
			}
			leave := edgeOf[cs[j]][cs[(j+1)%4]]
			next[leave] = enter
			crossed[leave] = true
		}
		if arcs > 1 {
			p.ambiguous |= 1 << f
		}
	}
	for e := range next {
		if !crossed[e] || p.loop[e] >= 0 {
			continue
		}
		for i := int8(e); p.loop[i] < 0; i = next[i] {
			p.loop[i] = int8(p.loops)
		}
		p.loops++
	}
	p.round = make([][]uint8, p.loops)
	for e, l := range p.loop {
		if l >= 0 {
			p.round[l] = append(p.round[l], uint8(e))
		}
	}
	return p
}
