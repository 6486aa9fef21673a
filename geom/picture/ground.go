package picture

import (
	"math"

	"waxwright/geom/vec"
)

// The paper's shadow is soft: it is worked out on a coarse grid over the
// picture and blended between.
const shadeStep = 6 // pixels

// shadowGrid holds the share of open light on the paper, at every corner of
// the coarse grid.
type shadowGrid struct {
	cols, rows int
	share      []light
}

// layShadow fills the grid.
func (st *stage) layShadow() {
	if st.o.Bare || !st.facing {
		return
	}
	g := &st.shadow
	g.cols, g.rows = st.o.Width/shadeStep+2, st.o.Height/shadeStep+2
	g.share = make([]light, g.cols*g.rows)
	each(st.o.Workers, len(g.share), func(i int) {
		p, ok := st.paperAt(float64(i%g.cols*shadeStep), float64(i/g.cols*shadeStep))
		if !ok {
			g.share[i] = light{1, 1, 1}
			return
		}
		g.share[i] = st.beams.onPaper(p, st.ground.Normal)
	})
	g.smooth()
}

// smooth takes the grain out of the grid: each corner becomes a mean of 3 x 3,
// weighted 1 2 1 both ways.
func (g *shadowGrid) smooth() {
	row := make([]light, len(g.share))
	at := func(s []light, x, y int) light {
		return s[max(0, min(y, g.rows-1))*g.cols+max(0, min(x, g.cols-1))]
	}
	for i := range row {
		x, y := i%g.cols, i/g.cols
		row[i] = at(g.share, x-1, y).add(at(g.share, x+1, y)).mix(at(g.share, x, y).times(2), 0.5).times(0.5)
	}
	for i := range row {
		x, y := i%g.cols, i/g.cols
		g.share[i] = at(row, x, y-1).add(at(row, x, y+1)).mix(at(row, x, y).times(2), 0.5).times(0.5)
	}
}

// onPaper is the share of open light that reaches the paper at p. Every lamp
// stands for a patch of the tent, so its shadow's edge is blurred by the
// height of what casts it.
func (bs *beams) onPaper(p, up vec.P) light {
	q := p.Sub(bs.center)
	var sum light
	for i := range bs.all {
		b := &bs.all[i]
		sum = sum.add(b.light.times(b.dir.Dot(up) * bs.blurred(b, q)))
	}
	return light{sum.R / bs.open.R, sum.G / bs.open.G, sum.B / bs.open.B}
}

// patch is the angle between neighbouring lamps, radians.
const patch = 0.16

// blurred is sees with an edge as wide as the caster is high.
func (bs *beams) blurred(b *beam, q vec.P) float64 {
	x := float32(q.Dot(b.su) + float64(b.side)/2)
	y := float32(q.Dot(b.sv) + float64(b.side)/2)
	wide := float32(widest * float64(b.side))
	cell := b.side / cells
	z := float32(q.Dot(b.dir) + 0.5*bs.texel)
	cx := max(0, min(int(x)/cell, cells-1))
	cy := max(0, min(int(y)/cell, cells-1))
	if b.coarse[cy*cells+cx] <= z {
		return 1
	}
	var high, casters float32 // how high are the casters near by?
	for i := 1; i < len(ringTaps); i += 2 {
		o := &ringTaps[i]
		if h := b.at(x+o[0]*wide, y+o[1]*wide) - z; h > 0 {
			high += h
			casters++
		}
	}
	if h := b.at(x, y) - z; h > 0 {
		high += h
		casters++
	}
	if casters == 0 {
		return 1
	}
	high /= casters
	far := float64(high) / (fade * bs.half)
	if casters == float32(len(ringTaps)/2+1) { // deep in shadow
		return 1 - 1/(1+far*far)
	}
	r := max(1.2, min(patch*high/float32(bs.texel), wide))
	lit := 0
	for i := range ringTaps {
		o := &ringTaps[i]
		if b.at(x+o[0]*r, y+o[1]*r) <= z {
			lit++
		}
	}
	return 1 - (1-float64(lit)/float64(len(ringTaps)))/(1+far*far)
}

// fade is the height, in radii of the piece, from which a caster throws half
// its shadow: light from the sides of the tent fills what hangs high.
const fade = 0.75

// at is the map's height at a position in texels.
func (m *beam) at(x, y float32) float32 {
	ix, iy := int(x), int(y)
	if uint(ix) >= uint(m.side) || uint(iy) >= uint(m.side) {
		return farBelow
	}
	return m.near[iy*m.side+ix]
}

// ringTaps are places in the unit disc, on a spiral.
var ringTaps = func() (t [16][2]float32) {
	for i := range t {
		r := math.Sqrt((float64(i) + 0.5) / float64(len(t)))
		s, c := math.Sincos(2.399963 * float64(i)) // the golden angle
		t[i] = [2]float32{float32(r * c), float32(r * s)}
	}
	return t
}()

// shadeAt is the share of open light on the paper at a picture position.
func (st *stage) shadeAt(x, y float64) light {
	g := &st.shadow
	if g.share == nil {
		return light{1, 1, 1}
	}
	x, y = max(0, x/shadeStep), max(0, y/shadeStep)
	ix, iy := min(int(x), g.cols-2), min(int(y), g.rows-2)
	fx, fy := min(x-float64(ix), 1), min(y-float64(iy), 1)
	s := g.share[iy*g.cols+ix:]
	return s[0].mix(s[1], fx).mix(s[g.cols].mix(s[g.cols+1], fx), fy)
}

// paper is the display light of the paper at a picture position.
func (st *stage) paper(x, y float64) light {
	w, h := float64(st.o.Width), float64(st.o.Height)
	dx, dy := (x-w/2)/w, (y-h/2)/h
	l := paperLight.times(1 - 0.16*(dx*dx+dy*dy) + 0.016*grain(int(x), int(y)))
	s := st.shadeAt(x, y)
	d := 1 - s.G // shadows on warm paper are warm
	return light{l.R * s.R * (1 + 0.06*d), l.G * s.G, l.B * s.B * (1 - 0.05*d)}
}

// grain is the paper's own unevenness at a pixel, -0.5 to 0.5: a hash of the
// position (the finaliser of MurmurHash3, A. Appleby, 2011).
func grain(x, y int) float64 {
	h := uint32(x)*0x9e3779b1 ^ uint32(y)*0x85ebca77
	h = (h ^ h>>16) * 0x85ebca6b
	h = (h ^ h>>13) * 0xc2b2ae35
	h ^= h >> 16
	return float64(h)/(1<<32) - 0.5
}
