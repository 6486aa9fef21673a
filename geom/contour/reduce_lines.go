package contour

import (
	"context"
	"math"

	"waxwright/geom/vec"
)

// Angles between two triangles whose edge joins two vertices of creases.
var (
	cosFlat  = math.Cos(1.5 * math.Pi / 180) // less shows no crease: 1 um in a cell of 0.05 mm
	cosSharp = math.Cos(35 * math.Pi / 180)  // more is no curvature: it is less in any cell that resolves the curve
)

// closeSheets is how far from a vertex another sheet of the surface is looked
// for, in tolerances: triangles of sheets more than two apart can't cross.
const closeSheets = 1.5

// opposed is the cosine of the angle between the normals of two faces beyond which
// these look at or away from each other, and make a gap or a wall: 120 degrees, those
// of a wedge of 60.
const opposed = -0.5

// prepare finds what the vertices of the plot may do, the normals of the free
// ones, and where sheets come close. It ends early with ctx.
func (h *hand) prepare(ctx context.Context, p *plot) {
	r := h.r
	for i := range p.verts {
		if i%128 == 0 && ctx.Err() != nil {
			return
		}
		u := p.vertex(i)
		lines, kinds, length2 := 0, uint8(0), 0.0
		sum := vec.P{}
		for e := r.out[u]; ; {
			m := h.lineMark(e)
			r.mark[e] = m
			if m != 0 {
				lines++
				kinds |= 1 << m
			}
			length2 = max(length2, r.at[r.dest(e)].Sub(r.at[u]).Len2())
			sum = sum.Add(r.unit(e / 3))
			if e = r.turn(e); e == r.out[u] {
				break
			}
		}
		switch {
		case lines == 0 && r.class[u] != corner:
			r.rank[u] = free
		case lines == 2 && kinds&(kinds-1) == 0 && r.class[u] != corner:
			r.rank[u] = along
		default:
			r.rank[u] = fixed
		}
		h.look(u, sum, math.Sqrt(length2))
	}
}

// look notes the normal of a free vertex, and whether another sheet is near.
func (h *hand) look(u uint32, sum vec.P, reach float64) {
	r := h.r
	at := r.at[u]
	l := h.f.local(at)
	least := 0.7 // of the probe's length: across a concave edge of 90 degrees
	n := sum.Unit()
	if r.rank[u] == free {
		_, n, _ = l.Slope(at)
		r.normal[u] = [3]float32{float32(n.X), float32(n.Y), float32(n.Z)}
	} else {
		least = 0.3 // faces that meet at less than 35 degrees are close sheets themselves
	}
	step := closeSheets * r.opt.tol
	out, a, _ := l.Slope(at.Add(n.Mul(step)))
	in, b, _ := l.Slope(at.Sub(n.Mul(step)))
	if out < least*step && a.Dot(n) < opposed || in > -least*step && b.Dot(n) < opposed {
		r.tight[u] = float32(reach)
	}
}

// unit returns the unit normal of a triangle, zero where it has none.
func (r *reducer) unit(t int32) vec.P {
	a, b, c := r.at[r.org[3*t]], r.at[r.org[3*t+1]], r.at[r.org[3*t+2]]
	return b.Sub(a).Cross(c.Sub(a)).Unit()
}

// lineMark returns the marks of an edge, the same for both its halves.
func (h *hand) lineMark(e int32) uint8 {
	r := h.r
	e = min(e, r.twin[e])
	t := r.twin[e]
	m := uint8(0)
	if len(r.tag) > 0 && r.tag[e/3] != r.tag[t/3] {
		m = isSeam
	}
	if r.class[r.org[e]] == smooth || r.class[r.org[t]] == smooth {
		return m
	}
	n, o := r.unit(e/3), r.unit(t/3)
	c := n.Dot(o)
	if c > cosFlat {
		return m
	}
	if c < cosSharp {
		return m | isLine
	}
	// Where the surface is smooth its normal is half-way between the two, at
	// an edge it is that of one of them.
	mid := r.at[r.org[e]].Lerp(r.at[r.org[t]], 0.5)
	_, g, _ := h.f.local(mid).Slope(mid)
	if g.Dot(n.Add(o).Unit()) < math.Cos(math.Acos(c)/4) {
		m |= isLine
	}
	return m
}

// weld moves the vertices of edges too short to print onto each other.
func (r *reducer) weld(ctx context.Context) error {
	for i := range r.org {
		if i%pace == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if e := int32(i); r.org[e] != dead && !r.join(e) && e < r.twin[e] {
			r.stitch(e)
		}
	}
	return nil
}

// close reports whether two vertices are too near to each other to print.
func (r *reducer) close(u, v uint32) bool {
	return r.at[u].Sub(r.at[v]).Len2() < weldLength*weldLength
}

// join collapses an edge that is too short, if that may be.
func (r *reducer) join(e int32) bool {
	u, v := r.org[e], r.dest(e)
	if r.class[u] > r.class[v] || !r.close(u, v) || !r.linked(e) {
		return false
	}
	r.collapse(e)
	return true
}

// stitch joins the tips of e's two triangles if they lie in one place: the
// triangles lie on each other.
func (r *reducer) stitch(e int32) bool {
	t := r.twin[e]
	x, y := r.org[prev(e)], r.org[prev(t)]
	if !r.close(x, y) || r.between(x, y) >= 0 || r.valence(r.org[e], 4) < 4 || r.valence(r.org[t], 4) < 4 {
		return false
	}
	m := r.mark[e]
	r.flip(e)
	if r.join(e) || r.join(t) {
		return true
	}
	for range 3 { // the fourth turn is none at all
		r.flip(e)
	}
	r.mark[e], r.mark[t] = m, m
	return false
}
