package patch

import (
	"math"
	"slices"

	"waxwright/geom/vec"
)

// pair names the two surfaces of a crease, the lower number first.
type pair struct{ a, b int32 }

// table says of the four cases of two surfaces (bit 0: a is inside, bit 1: b)
// in which of them there is matter. Where that depends on further surfaces that
// pass along the same curve, it says so of all their cases.
type table struct {
	two uint8
	sheaf
}

// crease reports whether the matter depends on both surfaces.
func (t table) crease() bool {
	return t.two>>1&5 != t.two&5 && t.two>>2 != t.two&3
}

// crossed reports whether matter lies in two opposite cases.
func (t table) crossed() bool { return t.two == 0b1001 || t.two == 0b0110 }

// corner is a point in which creases end.
type corner struct {
	at       vec.P
	cell     int32 // whose program is true there
	branches []branch
}

// branch is a crease that leaves a corner.
type branch struct {
	pair
	dir   vec.P
	truth table
	used  bool
}

const (
	// snapAlong is how near in mm to a curve, where nothing ends, a surface lies that
	// passes along it.
	snapAlong = 1e-9
	// steep is the slope above which a surface is crossed rather than touched.
	steep = 1e-3
	// probe is how far in mm along a crease is asked where a surface touches it, and
	// probeOff how far off the surface is there that leaves it.
	probe    = 5e-3
	probeOff = 1e-8
	// twinProbe is as far for a face that runs on smoothly at the crease, a seam:
	// where it does not it is more than twinOff from there.
	twinProbe = 3e-4
	twinOff   = 1e-11
)

// findCorners solves the corners of every cell.
func (b *builder) findCorners() error {
	seen := map[[3]int32][]int32{}
	key := func(p vec.P) [3]int32 {
		const s = 1 / (16 * merge)
		return [3]int32{int32(math.Floor(p.X * s)), int32(math.Floor(p.Y * s)), int32(math.Floor(p.Z * s))}
	}
	known := func(p vec.P) bool {
		reach := vec.P{X: merge, Y: merge, Z: merge}
		lo, hi := key(p.Sub(reach)), key(p.Add(reach)) // seldom more than one box
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				for z := lo[2]; z <= hi[2]; z++ {
					for _, i := range seen[[3]int32{x, y, z}] {
						if b.corners[i].at.Sub(p).Len() < merge {
							return true
						}
					}
				}
			}
		}
		return false
	}
	add := func(p vec.P, ci int) {
		if known(p) {
			return
		}
		seen[key(p)] = append(seen[key(p)], int32(len(b.corners)))
		b.corners = append(b.corners, corner{at: p, cell: int32(ci)})
	}
	found := make([][]vec.P, len(b.cells))
	err := b.each(len(b.cells), func(_, i int) error {
		found[i] = b.cornersIn(&b.cells[i])
		return nil
	})
	if err != nil {
		return err
	}
	for ci, list := range found {
		for _, p := range list {
			add(p, ci)
		}
	}
	err = b.each(len(b.corners), func(_, i int) error { return b.branch(&b.corners[i]) })
	if err != nil {
		return err
	}
	b.corners = slices.DeleteFunc(b.corners, func(k corner) bool {
		n := len(k.branches)
		return n == 0 || n == 2 && through(k.branches)
	})
	return nil
}

// cornersIn solves the corners of a cell.
func (b *builder) cornersIn(c *cell) (found []vec.P) {
	found = append(b.slitEnds(c), b.tipsIn(c)...)
	for i, x := range c.ids {
		for j, y := range c.ids[:i] {
			if c.half < leastCell && !b.foreign(x, y) {
				if q, ok := b.touch(x, y, c); ok {
					found = append(found, q)
				}
			}
			for _, z := range c.ids[:j] {
				if b.strange(c, x, y, z) {
					continue
				}
				if q, ok := b.meet([]int32{x, y, z}, c.at); ok && c.holds(q, wallGrow) {
					found = append(found, q)
				}
			}
		}
	}
	return found
}

// straightOn is the cosine of the angle between a crease's directions before and after
// a point through which it passes: 8 degrees.
const straightOn = 0.99

// through reports whether two branches are one crease that passes.
func through(br []branch) bool {
	return br[0].pair == br[1].pair && br[0].truth == br[1].truth && br[0].dir.Dot(br[1].dir) < -straightOn
}

// touch finds a point in a least cell where two surfaces touch but do not run
// alongside each other: their creases cross there.
func (b *builder) touch(x, y int32, c *cell) (vec.P, bool) {
	q := c.at
	for range 40 {
		q, _ = b.meet([]int32{x}, q)
		_, n := b.slope(x, q)
		e1 := n.Square()
		e2 := n.Cross(e1)
		// a stationary point of y along x
		grad := func(p vec.P) (u, v float64) {
			p, _ = b.meet([]int32{x}, p)
			_, nx := b.slope(x, p)
			_, ny := b.slope(y, p)
			t := ny.Sub(nx.Mul(nx.Dot(ny)))
			return t.Dot(e1), t.Dot(e2)
		}
		const h = slopeStep
		u, v := grad(q)
		u1, v1 := grad(q.Add(e1.Mul(h)))
		u2, v2 := grad(q.Add(e2.Mul(h)))
		a, bb, cc, d := (u1-u)/h, (u2-u)/h, (v1-v)/h, (v2-v)/h
		det := a*d - bb*cc
		if math.Abs(det) < leastBent {
			return q, false
		}
		s, t := (u*d-v*bb)/det, (a*v-cc*u)/det
		q = q.Sub(e1.Mul(s)).Sub(e2.Mul(t))
		if !c.holds(q, 3) {
			return q, false
		}
		if math.Abs(s)+math.Abs(t) < stepsDone {
			break
		}
	}
	q, _ = b.meet([]int32{x}, q)
	return q, c.holds(q, wallGrow) && math.Abs(b.value(y, q)) < snap
}

// leastBent in 1/mm2 is the least product of the differences of the bends of two
// surfaces that touch in a point rather than along a line.
const leastBent = 1e-3

// branch fills in the creases that leave a corner.
func (b *builder) branch(k *corner) error {
	c := &b.cells[k.cell]
	var on []int32
	for _, id := range c.ids {
		if math.Abs(b.value(id, k.at)) < snap {
			on = append(on, id)
		}
	}
	for i, x := range on {
		for _, y := range on[:i] {
			if b.foreign(x, y) {
				continue
			}
			pr := pair{min(x, y), max(x, y)}
			for _, d := range b.leaving(pr, k.at) {
				t, err := b.truth(c, pr, k.at, d)
				if err != nil {
					return err
				}
				if !b.creased(pr, t) {
					continue
				}
				if t.crossed() {
					return refuse("two bodies touch along an edge", k.at)
				}
				k.branches = append(k.branches, branch{pair: pr, dir: d, truth: t})
			}
		}
	}
	return nil
}

// clearShare is the share of the farthest that a point of a small circle is off a
// surface that is not taken to be on it.
const clearShare = 0.005

// leaving returns the directions in which the curve of a pair leaves p.
func (b *builder) leaving(pr pair, p vec.P) []vec.P {
	if dirs, ok := b.leavingEdge(pr, p); ok {
		return dirs
	}
	base, other := pr.a, pr.b
	if b.tipAt(base, p) {
		base, other = other, base
	}
	if b.tipAt(base, p) {
		return nil // both end in it
	}
	_, na := b.slope(base, p)
	_, nb := b.slope(other, p)
	t := na.Cross(nb)
	if t.Len() > leastAngle && !b.tipAt(other, p) {
		t = t.Unit()
		return []vec.P{t, t.Neg()}
	}
	// The surfaces touch, or one has a tip: look round on a small circle.
	e1 := na.Square()
	e2 := na.Cross(e1)
	at := func(w float64) (vec.P, float64) {
		s, c := math.Sincos(w)
		q, _ := b.meet([]int32{base}, p.Add(e1.Mul(probe*c)).Add(e2.Mul(probe*s)))
		return q, b.value(other, q)
	}
	const n = 48
	angle := func(i int) float64 { return (float64(i) + 0.31) * 2 * math.Pi / n }
	var f [n]float64
	most := 0.0
	for i := range f {
		_, f[i] = at(angle(i))
		most = max(most, math.Abs(f[i]))
	}
	var clear []int // samples that are surely off the other surface
	for i := range f {
		if math.Abs(f[i]) > clearShare*most {
			clear = append(clear, i)
		}
	}
	var out []vec.P
	for k, i := range clear {
		lo, hi := angle(i), 0.0
		f0, f1 := f[i], 0.0
		if k+1 < len(clear) {
			hi, f1 = angle(clear[k+1]), f[clear[k+1]]
		} else {
			hi, f1 = angle(clear[0])+2*math.Pi, f[clear[0]]
		}
		if f0 < 0 == (f1 < 0) {
			continue
		}
		for range 40 {
			m := (lo + hi) / 2
			if _, f := at(m); f < 0 == (f0 < 0) {
				lo = m
			} else {
				hi = m
			}
		}
		q, _ := at(lo)
		out = append(out, q.Sub(p).Unit())
	}
	return out
}

// Masks of four variables over sixteen cases.
var masks = [4]uint64{0xAAAA, 0xCCCC, 0xF0F0, 0xFF00}

// truth returns the table of a pair in a cell at p, or, where d is not zero,
// just beyond p in that direction along their curve.
func (b *builder) truth(c *cell, pr pair, p, d vec.P) (table, error) {
	if s := &b.surf[pr.b]; s.slit != nil && !s.slitsOn(p, d) {
		return table{}, nil
	}
	free := [most]int32{pr.a, pr.b, -1, -1}
	n := 2
	next, seam := b.beyond[pr] // a rounded face, which is at its seam where the upright one is
	twin := next.id
	if !seam {
		twin = -1
	}
	coupled := false
	var room [2*mostIn + 2]uint64
	signs := room[:0]
	for _, id := range c.ids {
		m := uint64(0)
		if id == pr.a || id == pr.b || !b.real(id) {
			signs = append(signs, m)
			continue
		}
		v := b.value(id, p)
		near := snap
		if d == (vec.P{}) {
			near = snapAlong
		}
		if math.Abs(v) < near {
			v = 0
			if d != (vec.P{}) {
				g := b.slopeTo(id, p, d)
				if v = g.Dot(d); math.Abs(v) < steep || id == twin || b.tipAt(id, p) { // which at a notch, or there, has no slope
					far, off := probe, probeOff
					if id == twin { // which bends away from the pair, or is where that is
						far, off = twinProbe, twinOff
					}
					q, _ := b.meet([]int32{pr.a, pr.b}, b.ahead(pr, p, d, far))
					if v = b.value(id, q); math.Abs(v) < off {
						v = 0
					}
				}
			}
		}
		if v == 0 && seam && id == twin {
			coupled = true
		} else if v == 0 {
			if n == len(free) {
				return table{}, refuse("many faces through one curve", p)
			}
			free[n] = id
			n++
		} else if v < 0 {
			m = math.MaxUint64
		}
		signs = append(signs, m)
	}
	slices.Sort(free[2:n]) // so that both ends of a curve say the same
	for i, id := range c.ids {
		if k := slices.Index(free[:n], id); k >= 0 {
			signs[i] = masks[k]
		} else if coupled && id == twin {
			if signs[i] = masks[0]; next.turned {
				signs[i] = ^masks[0]
			}
		}
	}
	all := c.truth(signs)
	h := sheaf{n: n, ids: free, cases: uint16(all)}.needed()
	if one := b.level(h, p); one.n < h.n {
		h = one.needed()
		if h.n == 2 && h.of(pr) {
			return table{two: uint8(h.cases & 15)}, nil
		}
	}
	if b.face(pr.b) && h.n < n && (h.n < 2 || h.n == 2 && !h.of(pr)) {
		return table{}, nil // of others that pass here
	}
	if n == 2 || h.n == 2 && h.of(pr) {
		return table{two: uint8(all & 15)}, nil
	}
	if !b.face(pr.b) {
		if !slices.Contains(h.ids[:h.n], pr.a) {
			return table{}, nil // the surface is not the solid's here
		}
		for k := 1; k < 1<<(n-2); k++ {
			if all>>(4*k)&15 != all&15 {
				return table{}, refuse("faces through one seam", p)
			}
		}
		return table{two: uint8(all & 15)}, nil
	}
	return b.bundled(pr, h, p, d)
}
