package patch

import (
	"math"

	"waxwright/geom/vec"
)

const (
	// meetSteps is how many steps are taken: to halve a mm down to settledStep takes 43.
	meetSteps = 60
	// meetStep in mm is how long one is at most.
	meetStep = 1.0
	// dampTwo and dampThree are added to the squares of two and three normals where
	// these are alike, or one vanishes: a thousandth of what two that cross at
	// leastCross leave, and the square of leastDet.
	dampTwo   = 1e-3 * leastCross * leastCross
	dampThree = leastDet * leastDet
	// leastDet is the least determinant of three normals that is divided by.
	leastDet = 1e-7
)

// meet takes p to where all of the surfaces (one to three) pass: Newton's
// steps of least length. Where surfaces touch the steps are halved only, and
// what is found is exact to about 1e-7 mm.
func (b *builder) meet(ids []int32, p vec.P) (vec.P, bool) {
	var f [3]float64
	var g [3]vec.P
	for range meetSteps {
		worst := 0.0
		for i, id := range ids {
			f[i], g[i] = b.slope(id, p)
			worst = max(worst, math.Abs(f[i]))
		}
		var d vec.P
		switch len(ids) {
		case 1:
			d = g[0].Mul(f[0] / g[0].Len2())
		case 2:
			c := g[0].Dot(g[1])
			a, e := g[0].Len2()+dampTwo, g[1].Len2()+dampTwo
			det := a*e - c*c
			d = g[0].Mul((f[0]*e - f[1]*c) / det).Add(g[1].Mul((f[1]*a - f[0]*c) / det))
		default:
			d = least3(f, g)
		}
		l := d.Len()
		if math.IsNaN(l) {
			return p, false
		}
		if l > meetStep {
			d = d.Mul(meetStep / l)
		}
		p = p.Sub(d)
		if l < settledStep || worst < settledValue || l < settledTouch && worst < settledTouch {
			return p, true
		}
	}
	for _, id := range ids {
		if math.Abs(b.value(id, p)) > exact {
			return p, false
		}
	}
	return p, true
}

// least3 solves g d = f, damped where it is singular.
func least3(f [3]float64, g [3]vec.P) vec.P {
	c := g[1].Cross(g[2])
	det := g[0].Dot(c)
	if math.Abs(det) > leastDet {
		d := c.Mul(f[0]).Add(g[2].Cross(g[0]).Mul(f[1])).Add(g[0].Cross(g[1]).Mul(f[2]))
		return d.Mul(1 / det)
	}
	var m [3][3]float64
	for i := range 3 {
		for j := range 3 {
			m[i][j] = g[i].Dot(g[j])
		}
		m[i][i] += dampThree
	}
	r0, r1, r2 := vec.P{X: m[0][0], Y: m[0][1], Z: m[0][2]}, vec.P{X: m[1][0], Y: m[1][1], Z: m[1][2]}, vec.P{X: m[2][0], Y: m[2][1], Z: m[2][2]}
	k := r1.Cross(r2)
	det = r0.Dot(k)
	if det == 0 {
		return vec.P{X: math.NaN()}
	}
	x := k.Mul(f[0]).Add(r2.Cross(r0).Mul(f[1])).Add(r0.Cross(r1).Mul(f[2])).Mul(1 / det)
	return g[0].Mul(x.X).Add(g[1].Mul(x.Y)).Add(g[2].Mul(x.Z))
}
