package patch

import (
	"math"

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
	// sowMost is how many points a whole surface would get at most: of one for
	// which they are more, a face is a small part that does without.
	sowMost = 50_000
)

// sow puts points on a face that is bent both ways, in rows round its axis, as
// far apart as its bend asks each way: what fill adds by halving lies up to twice
// as close. Three points of a regular triangle with the side s leave a surface of
// the radius r by s^2 / 6r, in its middle.
func (b *builder) sow(f *face) {
	l := f.lay
	side := math.Sqrt(6 * sowShare * b.tol)
	switch l.Form {
	case sdf.FormRim:
		b.sowRim(f)
	case sdf.FormSphere:
		b.sowBall(f, side, l.O, l.x, l.y, l.z, l.A, math.Pi)
	case sdf.FormCapsule:
		b.sowBall(f, side, l.O, l.X, l.Y, l.U.Neg(), l.B, math.Pi/2)
		b.sowBall(f, side, l.O.Add(l.U.Mul(l.A)), l.X, l.Y, l.U, l.B, math.Pi/2)
	case sdf.FormTorus:
		rows := math.Sqrt(3) / 2 * side * math.Sqrt(l.B)
		n := max(3, math.Ceil(2*math.Pi*l.B/rows))
		rows = 2 * math.Pi * l.B / n
		if n*2*math.Pi*(l.A+l.B)/rows > sowMost {
			return
		}
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
	if n*n > sowMost {
		return
	}
	for k := range int(n) + 1 {
		s, c := math.Sincos(down * float64(k) / n)
		b.sowRow(f, down*r/n, k, o.Add(z.Mul(r*c)), x, y, r*s, side)
	}
}

// sowRow sows points round a circle, in turn from its start and beside it.
func (b *builder) sowRow(f *face, rows float64, row int, o, x, y vec.P, r, along float64) {
	if b.ctx.Err() != nil {
		return // fill says so
	}
	n := max(1, math.Ceil(2*math.Pi*r/along))
	apart := sowRoom * rows
	for k := range int(n) {
		s, c := math.Sincos(2 * math.Pi * (float64(k) + float64(row&1)/2) / n)
		p := o.Add(x.Mul(r * c)).Add(y.Mul(r * s))
		q := f.lay.flat(b, p, 0)
		if !(max(math.Abs(q.X), math.Abs(q.Y))*f.scale <= grid) {
			continue
		}
		b.put(f, f.place(q), f.latest(), room{func(v int32) bool { return b.at(f, v).Sub(p).Len() < apart }, true})
	}
}

// latest returns a triangle beside the point that was added last.
func (f *face) latest() int32 { return int32(len(f.tri.Triangles) - 1) }

// rowShare is the share of the tolerance for the chords across the rows of a rim,
// which comes on top of that along them.
const rowShare = 0.2

// sowRim sows the rounded edge of a rim in rows along its seam, which makes
// triangles as long as the outline allows and as narrow as the rounding asks.
func (b *builder) sowRim(f *face) {
	l := f.lay
	turn := 2 * math.Acos(max(0, 1-rowShare*b.tol/l.B))
	n := int(math.Ceil(math.Pi / 2 / turn))
	apart := 0.3 * l.B / float64(n) * f.scale
	if l.mitred() { // whose rows are closer at the seam
		apart = 0.3 * l.B * (1 - math.Cos(math.Pi/2/float64(n))) * f.scale
	}
	for _, i := range f.arcs {
		a := &b.arcs[i]
		if b.beyond[a.pair].id != f.id || a.b < int32(b.faced.Surfaces()) && !b.faced.Seam(int(a.b)) {
			continue
		}
		for _, k := range a.pts {
			p := b.pts[k]
			_, out := b.slope(f.id, p)
			q := l.flat(b, p, 0)
			inward := vec.P2{X: -out.Dot(l.X) * l.B, Y: -out.Dot(l.Y) * l.B}
			for row := 1; row <= n; row++ {
				part := float64(row) / float64(n)
				if l.mitred() {
					part = 1 - math.Cos(math.Pi/2*part)
				}
				at := f.place(q.Add(inward.Mul(part)))
				b.put(f, at, f.latest(), room{f.within(at, apart), true})
			}
		}
	}
}
