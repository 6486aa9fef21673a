package wall

import (
	"math"

	"waxwright/geom/vec"
)

// sample is a place at which the width is measured.
type sample struct {
	kind   kind
	t, u   uint32 // the triangle; of a crease also the one beyond
	vertex uint32 // of a tip, or the one that asks (for Thickness)
	p      vec.P  // on the mesh
	n      vec.P  // outward, as the triangles have it
	area   float64
	share  float64 // of the turn from t's normal to u's
}

// kind says where a sample lies.
type kind uint8

const (
	onFace kind = iota
	onCrease
	onTip
)

// mostSamples bounds the samples on triangles of a large mesh (1 GB of them at
// the most): beyond it the spacing grows.
const mostSamples = 8e6

// turned is the turn in radians from which on an edge or a tip gets samples of
// its own, and the step between their normals: 20 degrees. Half a step off the
// best normal a width is 1.5 % too large, and at half a spacing from an edge of
// less turn a wall is no more than 1.4 % of the spacing thicker than at the edge.
const turned = 20 * math.Pi / 180

// pieceSize is the number of triangles or vertices that one task samples.
const pieceSize = 1 << 13

// samples returns the places to measure at, thinned out, in an order that does
// not depend on the number of workers.
func (v *survey) samples() ([]sample, error) {
	gap := max(v.o.Spacing, math.Sqrt(v.m.Area()/mostSamples))
	nt, nv := len(v.m.T), len(v.m.V)
	faces := (nt + pieceSize - 1) / pieceSize
	tips := (nv + pieceSize - 1) / pieceSize
	bags := make([]*sieve, faces+tips)
	err := v.each(len(bags), func(i int) {
		b := newSieve(v, gap, 0)
		bags[i] = b
		if i < faces {
			for t := i * pieceSize; t < min((i+1)*pieceSize, nt); t++ {
				b.face(uint32(t), gap)
				b.creases(uint32(t), gap)
			}
			return
		}
		i -= faces
		for u := i * pieceSize; u < min((i+1)*pieceSize, nv); u++ {
			b.tip(uint32(u))
		}
	})
	if err != nil {
		return nil, err
	}
	total := 0
	for _, b := range bags {
		total += len(b.kept)
	}
	all := newSieve(v, gap, total)
	for _, b := range bags {
		for i := range b.kept {
			all.add(&b.kept[i])
		}
		if err := v.ctx.Err(); err != nil {
			return nil, err
		}
	}
	return all.kept, nil
}

// sieve keeps one sample for each cell of a grid, direction, owner and kind:
// the first of those with the largest area, which gathers the area of all.
type sieve struct {
	v    *survey
	gap  float64
	at   map[cell]int32
	kept []sample
	own  []float64 // area that the kept sample itself had
}

// cell is what samples have in common of which one is kept.
type cell struct {
	x, y, z int64
	facing  int16 // one of 6 directions for triangles, of several hundred for creases and tips
	kind    kind
	tag     uint32
}

// newSieve returns a sieve with room for n samples.
func newSieve(v *survey, gap float64, n int) *sieve {
	return &sieve{v: v, gap: gap, at: make(map[cell]int32, n), kept: make([]sample, 0, n), own: make([]float64, 0, n)}
}

func (b *sieve) add(s *sample) {
	k := cell{
		x: int64(math.Floor(s.p.X / b.gap)), y: int64(math.Floor(s.p.Y / b.gap)), z: int64(math.Floor(s.p.Z / b.gap)),
		kind: s.kind, tag: b.v.tag(s.t),
	}
	if s.kind != onFace {
		// a quarter is 14 degrees, less than the steps between normals
		part := func(x float64) int16 { return int16(math.Floor(4*x + 0.5)) }
		k.facing = part(s.n.X) + 9*part(s.n.Y) + 81*part(s.n.Z)
	} else {
		k.facing = mainAxis(s.n)
	}
	i, ok := b.at[k]
	if !ok {
		b.at[k] = int32(len(b.kept))
		b.kept = append(b.kept, *s)
		b.own = append(b.own, s.area)
		return
	}
	sum := b.kept[i].area + s.area
	if s.area > b.own[i] {
		b.kept[i], b.own[i] = *s, s.area
	}
	b.kept[i].area = sum
}

// mainAxis returns 1, 2 or 3 for the axis that n runs along most, negative
// against it.
func mainAxis(n vec.P) int16 {
	x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	axis, along := int16(1), n.X
	if y > x {
		axis, along = 2, n.Y
	}
	if z > max(x, y) {
		axis, along = 3, n.Z
	}
	if along < 0 {
		return -axis
	}
	return axis
}

// face lays samples on triangle t: rows along its longest side, no farther
// than gap apart, each sample in the middle of its share.
func (b *sieve) face(t uint32, gap float64) {
	n := b.v.fan.normal[t]
	if n == (vec.P{}) {
		return
	}
	p, q, r := b.v.m.Corners(int(t))
	if d, e := q.Sub(p).Len2(), r.Sub(q).Len2(); e > d && e >= p.Sub(r).Len2() {
		p, q, r = q, r, p
	} else if f := p.Sub(r).Len2(); f > d {
		p, q, r = r, p, q
	}
	side := q.Sub(p).Len()
	area := q.Sub(p).Cross(r.Sub(p)).Len() / 2
	rows := max(math.Ceil(2*area/side/gap), 1)
	for j := range int(rows) {
		if b.v.ctx.Err() != nil {
			return
		}
		y0, y1 := 1-float64(j)/rows, 1-float64(j+1)/rows
		y := 1 - (y0+y1)/2
		from, to := p.Lerp(r, y), q.Lerp(r, y)
		k := max(math.Ceil(to.Sub(from).Len()/gap), 1)
		share := area * (float64(y0*y0) - float64(y1*y1)) / k
		for i := range int(k) {
			b.add(&sample{p: from.Lerp(to, (float64(i)+0.5)/k), n: n, t: t, area: share})
		}
	}
}

// creases lays samples on those edges of triangle t, shared with a later one,
// that point into the matter, with normals all the way from one side's to the
// other's.
func (b *sieve) creases(t uint32, gap float64) {
	m, f := b.v.m, b.v.fan
	n := f.normal[t]
	for k := range 3 {
		i, j := m.T[t][k], m.T[t][(k+1)%3]
		u, ok := f.across(m, t, i, j)
		if !ok || u < t {
			continue
		}
		nu := f.normal[u]
		if n.Dot(nu) > math.Cos(turned) || !b.v.sinks(n, m.V[i], m.T[u]) {
			continue
		}
		p, q := m.V[i], m.V[j]
		turn := math.Atan2(n.Cross(nu).Len(), n.Dot(nu))
		steps := 2 * math.Ceil(turn/turned/2) // even, so that the middle is one
		count := max(math.Ceil(q.Sub(p).Len()/gap), 1)
		for a := 0.0; a <= steps; a++ {
			x := slerp(n, nu, turn, a/steps)
			for c := range int(count) {
				b.add(&sample{kind: onCrease, p: p.Lerp(q, (float64(c)+0.5)/count), n: x, t: t, u: u, share: a / steps})
			}
		}
	}
}

// slerp returns the unit vector at the share s of the turn from a to b.
func slerp(a, b vec.P, turn, s float64) vec.P {
	if turn > 3.1 { // folded back on itself: any way round will do
		return a.Lerp(b, s).Unit()
	}
	return a.Mul(math.Sin((1 - s) * turn)).Add(b.Mul(math.Sin(s * turn))).Unit()
}

// sinks reports whether all of triangle t lies on the side of the plane through
// p with normal n that a dent into the matter leaves.
func (v *survey) sinks(n, p vec.P, t [3]uint32) bool {
	for _, u := range t {
		if d := v.m.V[u].Sub(p); d.Dot(n)*float64(v.side) > turned/100*d.Len() {
			return false
		}
	}
	return true
}

// tip lays a sample on vertex u if it points into the matter.
func (b *sieve) tip(u uint32) {
	m, f := b.v.m, b.v.fan
	n, least := b.v.mean(u, func(t uint32) vec.P { return f.normal[t] })
	if least > math.Cos(turned/2) {
		return
	}
	ts := f.of(u)
	for _, t := range ts {
		if !b.v.sinks(n, m.V[u], m.T[t]) {
			return
		}
	}
	b.add(&sample{kind: onTip, p: m.V[u], n: n, t: ts[0], vertex: u})
}

// mean returns the mean of the normals round vertex u, weighted by angles, and
// the least cosine between it and one of them.
func (v *survey) mean(u uint32, normal func(t uint32) vec.P) (n vec.P, least float64) {
	ts := v.fan.of(u)
	for _, t := range ts {
		n = n.Add(normal(t).Mul(cornerAngle(v.m, t, u)))
	}
	n = n.Unit()
	least = 1
	for _, t := range ts {
		least = min(least, normal(t).Dot(n))
	}
	return n, least
}

// corners returns samples for Thickness: for every corner of a triangle one
// that stands a little way in from it.
func (v *survey) corners() []sample {
	s := make([]sample, 0, len(v.m.V))
	for u := range uint32(len(v.m.V)) {
		first := len(s)
		for _, t := range v.fan.of(u) {
			n := v.fan.normal[t]
			if n == (vec.P{}) || v.has(s[first:], n) || v.o.Where != nil && !v.o.Where(v.m.V[u], n) {
				continue
			}
			s = append(s, sample{p: v.aside(v.m.V[u], t), n: n, t: t, vertex: u})
		}
	}
	return s
}

// aside returns p, which lies on the border of triangle t, moved inwards: by a
// twentieth of the way to its middle, and twice the usual chord error at most.
func (v *survey) aside(p vec.P, t uint32) vec.P {
	a, b, c := v.m.Corners(int(t))
	d := a.Add(b).Add(c).Mul(1. / 3).Sub(p)
	l := d.Len()
	if l == 0 {
		return p
	}
	return p.Add(d.Mul(min(0.05, 2*DefaultSlack/l)))
}

// has reports whether one of the samples has nearly the normal n.
func (v *survey) has(s []sample, n vec.P) bool {
	for i := range s {
		if s[i].n.Dot(n) > math.Cos(turned) {
			return true
		}
	}
	return false
}

// tag returns the owner of triangle t, 0 if the mesh has none.
func (v *survey) tag(t uint32) uint32 {
	if len(v.m.Tag) == 0 {
		return 0
	}
	return v.m.Tag[t]
}
