package manifold

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
	"waxwright/geom/mesh/exact"
	"waxwright/geom/vec"
)

// rp is a point in rational numbers.
type rp [3]*big.Rat

func rat(p vec.P) rp {
	f := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
	return rp{f(p.X), f(p.Y), f(p.Z)}
}

func (p rp) sub(q rp) (r rp) {
	for i := range r {
		r[i] = new(big.Rat).Sub(p[i], q[i])
	}
	return r
}

func (p rp) dot(q rp) *big.Rat {
	s := new(big.Rat)
	for i := range p {
		s.Add(s, new(big.Rat).Mul(p[i], q[i]))
	}
	return s
}

func (p rp) cross(q rp) (r rp) {
	for i := range r {
		j, k := (i+1)%3, (i+2)%3
		r[i] = new(big.Rat).Sub(new(big.Rat).Mul(p[j], q[k]), new(big.Rat).Mul(p[k], q[j]))
	}
	return r
}

// slowly relates two triangles in rational numbers: both are cut with the plane
// of the other, and the two intervals on the common line are compared.
func slowly(a, b *triangle) relation {
	pa, pb := [3]rp{}, [3]rp{}
	for i := range 3 {
		pa[i], pb[i] = rat(a[i]), rat(b[i])
	}
	na := pa[1].sub(pa[0]).cross(pa[2].sub(pa[0]))
	nb := pb[1].sub(pb[0]).cross(pb[2].sub(pb[0]))
	line := na.cross(nb)
	if line.dot(line).Sign() == 0 {
		if na.dot(pb[0].sub(pa[0])).Sign() != 0 {
			return apart
		}
		return inPlane(pa, pb, na)
	}
	la, ha, wa := cut(pa, pb[0], nb, line)
	lb, hb, wb := cut(pb, pa[0], na, line)
	if la == nil || lb == nil {
		return apart
	}
	lo, hi := la, ha
	if lb.Cmp(lo) > 0 {
		lo = lb
	}
	if hb.Cmp(hi) < 0 {
		hi = hb
	}
	switch c := hi.Cmp(lo); {
	case c < 0:
		return apart
	case c == 0:
		return touching
	case wa && wb:
		return crossing
	case wa || wb:
		return standing
	default:
		return touching
	}
}

// cut returns where t meets the plane, measured along line, and whether it has
// corners on both sides.
func cut(t [3]rp, o, n, line rp) (lo, hi *big.Rat, through bool) {
	var d [3]*big.Rat
	neg, pos := false, false
	for i := range t {
		d[i] = n.dot(t[i].sub(o))
		neg = neg || d[i].Sign() < 0
		pos = pos || d[i].Sign() > 0
	}
	at := func(x *big.Rat) {
		if lo == nil || x.Cmp(lo) < 0 {
			lo = x
		}
		if hi == nil || x.Cmp(hi) > 0 {
			hi = x
		}
	}
	for i := range t {
		k := (i + 1) % 3
		if d[i].Sign() == 0 {
			at(line.dot(t[i]))
		}
		if d[i].Sign()*d[k].Sign() < 0 {
			s := new(big.Rat).Quo(d[i], new(big.Rat).Sub(d[i], d[k]))
			x, y := line.dot(t[i]), line.dot(t[k])
			at(new(big.Rat).Add(x, s.Mul(s, y.Sub(y, x))))
		}
	}
	return lo, hi, neg && pos
}

// inPlane tells whether two triangles in one plane with normal n overlap.
func inPlane(a, b [3]rp, n rp) relation {
	for range 2 {
		turn := a[1].sub(a[0]).cross(a[2].sub(a[0])).dot(n).Sign()
		for i := range 3 {
			e := a[(i+1)%3].sub(a[i])
			out := true
			for _, q := range b {
				if e.cross(q.sub(a[i])).dot(n).Sign()*turn > 0 {
					out = false
				}
			}
			if out {
				return apart
			}
		}
		a, b = b, a
	}
	return covering
}

// pairOf draws two triangles that are likely to meet in a special way.
func pairOf(t *rapid.T, shared bool) (a, b triangle) {
	flat := rapid.IntRange(0, 4).Draw(t, "flat") == 0
	size := rapid.IntRange(1, 4).Draw(t, "size")
	scale := []float64{1, 0.1}[rapid.IntRange(0, 1).Draw(t, "scale")] // 0.1: rounded planes
	seed := rapid.Uint64().Draw(t, "seed")
	next := func() float64 {
		seed += 0x9e3779b97f4a7c15
		z := seed
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		return scale * float64(int(z>>33%uint64(2*size+1))-size)
	}
	for {
		for i := range 3 {
			a[i], b[i] = vec.P{X: next(), Y: next(), Z: next()}, vec.P{X: next(), Y: next(), Z: next()}
		}
		for i := 0; flat && i < 3; i++ {
			a[i].Z, b[i].Z = 0, 0
		}
		if shared {
			b[0] = a[0]
		}
		if !exact.Collinear(a[0], a[1], a[2]) && !exact.Collinear(b[0], b[1], b[2]) {
			return a, b
		}
	}
}

func TestRelateAgreesWithRationals(t *testing.T) {
	var met [standing + 1]int
	rapid.Check(t, func(t *rapid.T) {
		for range 20 {
			a, b := pairOf(t, false)
			got, want := relate(&a, &b), slowly(&a, &b)
			met[want]++
			if got.relation != want {
				t.Fatalf("%v and %v: relation %d, rationals say %d", a, b, got.relation, want)
			}
			if got.relation == standing {
				checkStanding(t, &a, &b, got)
			}
			if back := relate(&b, &a); back.relation != want {
				t.Fatalf("%v and %v: %d one way, %d the other", a, b, want, back.relation)
			}
			if seenApart(&a, &b, mainAxis(normal(&a))) && want != apart && want != touching {
				t.Fatalf("%v and %v: called apart, rationals say %d", a, b, want)
			}
		}
	})
	for r, n := range met {
		if n == 0 {
			t.Errorf("no pair of relation %d was drawn", r)
		}
	}
}

func TestRelateAtAgreesWithRationals(t *testing.T) {
	var met [standing + 1]int
	rapid.Check(t, func(t *rapid.T) {
		for range 20 {
			a, b := pairOf(t, true)
			if a[1] == b[1] || a[1] == b[2] || a[2] == b[1] || a[2] == b[2] {
				continue
			}
			got, want := relateAt(&a, &b), slowly(&a, &b)
			if want == touching && got.relation == apart {
				want = apart // the shared corner alone is no contact
			}
			met[want]++
			if got.relation != want {
				t.Fatalf("%v and %v: relation %d, rationals say %d", a, b, got.relation, want)
			}
			if got.relation == standing {
				checkStanding(t, &a, &b, got)
			}
			if wedgesApart(&a, &b, mainAxis(normal(&a))) && want != apart {
				t.Fatalf("%v and %v: called apart, rationals say %d", a, b, want)
			}
		}
	})
	for r, n := range met {
		if n == 0 {
			t.Errorf("no pair of relation %d was drawn", r)
		}
	}
}

// checkStanding holds that the named corner alone is out of the other's plane.
func checkStanding(t *rapid.T, a, b *triangle, c contact) {
	if !c.second {
		a, b = b, a
	}
	for i := range 3 {
		if off := exact.Side(a[0], a[1], a[2], b[i]) != 0; off != (i == c.corner) {
			t.Fatalf("corner %d of %v is named to stand on %v", c.corner, *b, *a)
		}
	}
}
