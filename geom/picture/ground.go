package picture

import (
	"math"

	"waxwright/geom/vec"
)

// The paper's shadow is soft: it is worked out on a coarse grid over the
// picture and blended between.
const shadeStep = 4 // pixels

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
	x := float32(q.Dot(b.su) + mapSide/2)
	y := float32(q.Dot(b.sv) + mapSide/2)
	z := float32(q.Dot(b.dir) + 0.5*bs.texel)
	cx := max(0, min(int(x)/cell, cells-1))
	cy := max(0, min(int(y)/cell, cells-1))
	if b.coarse[cy*cells+cx] <= z {
		return 1
	}
	var high, casters float32 // how high are the casters near by?
	for i := 1; i < len(ringTaps); i += 2 {
		o := &ringTaps[i]
		if h := b.at(x+o[0]*widest, y+o[1]*widest) - z; h > 0 {
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
	r := max(1.2, min(patch*high/casters/float32(bs.texel), widest))
	lit := 0
	for i := range ringTaps {
		o := &ringTaps[i]
		if b.at(x+o[0]*r, y+o[1]*r) <= z {
			lit++
		}
	}
	return float64(lit) / float64(len(ringTaps))
}

// at is the map's height at a position in texels.
func (m *beam) at(x, y float32) float32 {
	ix, iy := int(x), int(y)
	if uint(ix) >= mapSide || uint(iy) >= mapSide {
		return farBelow
	}
	return m.near[iy*mapSide+ix]
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
	l := paperLight.times(1 - 0.16*(dx*dx+dy*dy))
	s := st.shadeAt(x, y)
	d := 1 - s.G // shadows on warm paper are warm
	return light{l.R * s.R * (1 + 0.06*d), l.G * s.G, l.B * s.B * (1 - 0.05*d)}
}
