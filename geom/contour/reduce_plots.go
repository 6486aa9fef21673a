package contour

import (
	"slices"

	"waxwright/geom/vec"
)

// plot is a box of space and the vertices in it. Plots are the leaves of an
// octree over the vertices, so they do not overlap: triangles that lie within
// different plots can't cross, and what is done within them can be done at
// once, with the same result for any number of goroutines.
type plot struct {
	number int32
	verts  []uint64 // the vertices along the octree's path: Morton code, number
	box    vec.Box
}

// vertex returns the i-th vertex.
func (p *plot) vertex(i int) uint32 { return uint32(p.verts[i]) }

// plotSize is how many vertices a plot may hold: some ten thousandths of a
// second's work each, and borders that are a tenth of it.
const plotSize = 8192

// plotBits is the depth of the octree: cells of a 1024th of the whole.
const plotBits = 10

// plots cuts the living vertices into plots and sets plotOf. The octree's
// root is shifted by a share of its size, so that the borders of one shift lie
// within the plots of others: they are at whole multiples of dyadic fractions
// of the root, and a third is none.
func (r *reducer) plots(shift float64) []plot {
	box := vec.Empty()
	alive := 0
	for v, h := range r.out {
		if h >= 0 {
			box = box.With(r.at[v])
			alive++
		}
	}
	if alive == 0 {
		return nil
	}
	s := box.Size()
	edge := max(2*max(s.X, s.Y, s.Z), weldLength)
	lo := box.Min.Sub(vec.P{X: 1, Y: 1, Z: 1}.Mul(edge * shift / 2))
	scale := (1 << plotBits) / edge * (1 - 1e-9)
	verts := make([]uint64, 0, alive)
	for v, h := range r.out {
		if h < 0 {
			continue
		}
		d := r.at[v].Sub(lo)
		m := spread(uint32(d.X*scale)) | spread(uint32(d.Y*scale))<<1 | spread(uint32(d.Z*scale))<<2
		verts = append(verts, uint64(m)<<32|uint64(v))
	}
	verts = sorted(verts)
	var ps []plot
	var cut func(vs []uint64, level int)
	cut = func(vs []uint64, level int) {
		if len(vs) == 0 {
			return
		}
		if len(vs) <= plotSize || level == plotBits {
			p := plot{number: int32(len(ps)), verts: vs, box: vec.Empty()}
			for _, v := range vs {
				r.plotOf[uint32(v)] = p.number
				p.box = p.box.With(r.at[uint32(v)])
			}
			ps = append(ps, p)
			return
		}
		s := 32 + 3*(plotBits-1-level)
		for len(vs) > 0 {
			top := vs[0] >> s
			n, _ := slices.BinarySearchFunc(vs, top, func(v, t uint64) int {
				if v>>s <= t {
					return -1
				}
				return 1
			})
			cut(vs[:n], level+1)
			vs = vs[n:]
		}
	}
	cut(verts, 0)
	return ps
}

// largestFirst returns the plots in the order in which they are best taken by
// several workers: so all are done at about the same time.
func largestFirst(ps []plot) []*plot {
	order := make([]*plot, len(ps))
	for i := range ps {
		order[i] = &ps[i]
	}
	slices.SortStableFunc(order, func(a, b *plot) int { return len(b.verts) - len(a.verts) })
	return order
}

// sorted returns the keys by their Morton codes, equal ones in the order in
// which they were; keys itself is used up. It is a radix sort by a third of the
// codes' bits at a time.
func sorted(keys []uint64) []uint64 {
	to := make([]uint64, len(keys))
	for shift := 32; shift < 32+3*plotBits; shift += plotBits {
		var start [1 << plotBits]int
		for _, k := range keys {
			start[k>>shift&(1<<plotBits-1)]++
		}
		n := 0
		for i, c := range start {
			start[i] = n
			n += c
		}
		for _, k := range keys {
			d := k >> shift & (1<<plotBits - 1)
			to[start[d]] = k
			start[d]++
		}
		keys, to = to, keys
	}
	return keys
}

// spread puts two zeros between the low ten bits of x.
func spread(x uint32) uint32 {
	x &= 1<<plotBits - 1
	x = (x | x<<16) & 0x030000ff
	x = (x | x<<8) & 0x0300f00f
	x = (x | x<<4) & 0x030c30c3
	return (x | x<<2) & 0x09249249
}
