package patch

import (
	"math"

	"waxwright/geom/delaunay"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

const (
	// sowShare is the share of the tolerance at which a regular triangle between
	// sown points leaves a surface bent alike both ways; most are less regular.
	sowShare = 0.8
	// sowRoom is how near to others a point is not sown, as a share of the distance
	// between rows.
	sowRoom = 0.6
	// sowLong is how many times the distance between rows points lie apart in them
	// at most.
	sowLong = 5
	// flipLeast is the least height, as a share of the longest side, of a triangle
	// of the layout that a flip makes: what lies on the surface beside a lower one
	// may not lie there in the layout.
	flipLeast = 0.05
)

// sow puts points on a face that is bent both ways, in rows round its axis, as
// far apart as its bend asks each way: what fill adds by halving lies up to twice
// as close. Three points of a regular triangle with the side s leave a surface of
// the radius r by s^2 / 6r, in its middle.
func (b *builder) sow(f *face) {
	l := f.lay
	side := math.Sqrt(6 * sowShare * b.tol)
	switch l.Form {
	case sdf.FormSphere:
		b.sowBall(f, side, l.O, l.x, l.y, l.z, l.A, math.Pi)
	case sdf.FormCapsule:
		b.sowBall(f, side, l.O, l.X, l.Y, l.U.Neg(), l.B, math.Pi/2)
		b.sowBall(f, side, l.O.Add(l.U.Mul(l.A)), l.X, l.Y, l.U, l.B, math.Pi/2)
	case sdf.FormTorus:
		rows := math.Sqrt(3) / 2 * side * math.Sqrt(l.B)
		n := max(3, math.Ceil(2*math.Pi*l.B/rows))
		rows = 2 * math.Pi * l.B / n
		for k := range int(n) {
			s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / n)
			r := l.A + l.B*c
			along := min(side*math.Sqrt(r/math.Abs(c)), sowLong*rows)
			b.sowRow(f, rows, k, l.O.Add(l.U.Mul(l.B*s)), l.X, l.Y, r, along)
		}
	}
}

// sowBall sows rows round z from there down to an angle.
func (b *builder) sowBall(f *face, side float64, o, x, y, z vec.P, r, down float64) {
	side *= math.Sqrt(r)
	n := math.Ceil(down * r / (math.Sqrt(3) / 2 * side))
	for k := range int(n) + 1 {
		s, c := math.Sincos(down * float64(k) / n)
		b.sowRow(f, down*r/n, k, o.Add(z.Mul(r*c)), x, y, r*s, side)
	}
}

// sowRow sows points round a circle, in turn from its start and beside it.
func (b *builder) sowRow(f *face, rows float64, row int, o, x, y vec.P, r, along float64) {
	n := max(1, math.Ceil(2*math.Pi*r/along))
	room := sowRoom * rows
	for k := range int(n) {
		s, c := math.Sincos(2 * math.Pi * (float64(k) + float64(row&1)/2) / n)
		p := o.Add(x.Mul(r * c)).Add(y.Mul(r * s))
		q := f.lay.flat(b, p, 0)
		if !(max(math.Abs(q.X), math.Abs(q.Y))*f.scale <= grid) {
			continue
		}
		b.put(f, f.place(q), int32(len(f.tri.Triangles)-1), func(v int32) bool {
			return v != delaunay.Ghost && b.at(f, v).Sub(p).Len() < room
		})
	}
}

// flips puts other diagonals where triangles leave the limit and the others are
// nearer to the surface.
func (b *builder) flips(f *face, limit float64) {
	off := func(p vec.P) float64 { return math.Abs(b.value(f.id, p)) }
	mid := func(p, q vec.P) float64 { return b.sag(f.id, p, q) }
	centre := func(p, q, r vec.P) float64 { return off(p.Add(q).Add(r).Mul(1.0 / 3)) }
	const thin = 0.5 // of the tolerance, the least height of what a flip makes
	height := func(p, q, r vec.P) bool {
		long := max(p.Sub(q).Len(), q.Sub(r).Len(), r.Sub(p).Len())
		return q.Sub(p).Cross(r.Sub(p)).Len() > thin*b.tol*long
	}
	var work []delaunay.Edge
	for i, t := range f.tri.Inside() {
		for k := range 3 {
			if t.Fixed>>k&1 == 0 {
				work = append(work, delaunay.EdgeOf(i, k))
			}
		}
	}
	for n := len(work); len(work) > 0 && n < 1<<20; n++ {
		e := work[len(work)-1]
		work = work[:len(work)-1]
		t := &f.tri.Triangles[e.Triangle()]
		k := e.Slot()
		if !t.Inside || t.Fixed>>k&1 != 0 {
			continue
		}
		g := t.N[k]
		u := &f.tri.Triangles[g.Triangle()]
		v, a, c, q := b.at(f, t.V[k]), b.at(f, t.V[(k+1)%3]), b.at(f, t.V[(k+2)%3]), b.at(f, u.V[g.Slot()])
		now := [3]float64{mid(a, c), centre(v, a, c), centre(q, a, c)}
		if max(now[0], now[1], now[2]) <= limit {
			continue
		}
		then := [3]float64{mid(v, q), centre(v, a, q), centre(v, q, c)}
		sum := func(x [3]float64) float64 { return math.Pow(x[0], 4) + math.Pow(x[1], 4) + math.Pow(x[2], 4) }
		if sum(then) > 0.98*sum(now) || !height(v, a, q) || !height(v, q, c) {
			continue
		}
		x, y := f.tri.Points[t.V[k]], f.tri.Points[u.V[g.Slot()]]
		if slim(x, f.tri.Points[t.V[(k+1)%3]], y, flipLeast) || slim(y, f.tri.Points[t.V[(k+2)%3]], x, flipLeast) {
			continue
		}
		d, ok := f.tri.Flip(e)
		if !ok {
			continue
		}
		for _, x := range [2]delaunay.Edge{d, f.tri.Triangles[d.Triangle()].N[d.Slot()]} {
			for k := range 3 {
				if k != x.Slot() {
					work = append(work, delaunay.EdgeOf(x.Triangle(), k))
				}
			}
		}
	}
}

// slim reports whether a triangle of the layout is lower than a share of its
// longest side, or the wrong way round.
func slim(p, q, r delaunay.Point, least float64) bool {
	at := func(a, b delaunay.Point) vec.P2 {
		return vec.P2{X: float64(b.X) - float64(a.X), Y: float64(b.Y) - float64(a.Y)}
	}
	u, v := at(p, q), at(p, r)
	return u.Cross(v) < least*max(u.Dot(u), v.Dot(v), v.Sub(u).Dot(v.Sub(u)))
}
