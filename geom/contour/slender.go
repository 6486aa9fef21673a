package contour

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Slender faces: a wire or a tunnel thinner than a cell has but one face, and can
// pass between the cells' corners, whole or in parts. The cells through which its
// middle runs have a fault.

// slim is the radius, in cells, below which a wire along an edge of the lattice may
// hold none of its points, sqrt(1/2), and some more for one that runs aslant.
const slim = 0.87

// slender reports whether a face of the program bends so much within the cube that
// it may pass between the corners of cells.
func (p *prober) slender(local *sdf.Local, c vec.P, half float64) bool {
	p.words = local.Words(p.words[:0])
	for _, w := range p.words {
		if p.bends(local, w, c, half) {
			return true
		}
	}
	return false
}

func (p *prober) bends(local *sdf.Local, w sdf.Word, c vec.P, half float64) bool {
	return local.Bend(w, c, half*halfDiagonal) < slim*p.h
}

// thread looks at one cell for a slender face whose middle runs through it.
func (p *prober) thread(local *sdf.Local, c vec.P, x, y, z int) {
	half := p.h / 2
	lo := c.Sub(vec.P{X: half, Y: half, Z: half})
	on := func(q vec.P) bool {
		v, _ := p.b.local.At(q)
		return math.Abs(v) <= onFace
	}
	p.words = local.Words(p.words[:0])
	for _, w := range p.words {
		if !p.bends(local, w, c, half) {
			continue
		}
		a := land(local, w, c)
		b, ok := p.across(local, w, a)
		if !ok || !holds(lo, p.h, a.Lerp(b, 0.5)) || !on(a) || !on(b) {
			continue
		}
		tag := local.Tag(w)
		p.b.faults = append(p.b.faults, fault{
			cell: cellNumber(x, y, z), at: c, width: b.Sub(a).Len(), tags: [2]uint32{tag, tag}, one: true,
		})
		return
	}
}

// across returns the other side of a slender face, from a point of it.
func (p *prober) across(local *sdf.Local, w sdf.Word, a vec.P) (b vec.P, ok bool) {
	const steps = 16
	_, n := local.Slope(w, a)
	for _, sign := range [2]float64{-1, 1} { // metal, then air
		dir := n.Mul(sign)
		for k := 1; k <= steps; k++ {
			b = a.Add(dir.Mul(2 * slim * p.h * float64(k) / steps))
			if local.Value(w, b)*sign < 0 {
				return land(local, w, b), true
			}
		}
	}
	return a, false
}
