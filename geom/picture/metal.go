package picture

import (
	"math"

	"waxwright/geom/vec"
)

// metalLook is a Metal ready for shading.
type metalLook struct {
	straight light   // reflected at right angles to the surface
	rough    float64 // 0 to 1
}

func metalOf(m Metal) metalLook {
	return metalLook{linear(m.Color), max(0, min(m.Roughness, 1))}
}

// fresnel is the share that metal reflects at the cosine c between normal and
// eye: Schlick, "An Inexpensive BRDF Model for Physically-based Rendering"
// (1994).
func (m *metalLook) fresnel(c float64) light {
	g := 1 - max(0, min(c, 1))
	g2 := g * g
	return m.straight.mix(light{1, 1, 1}, g2*g2*g)
}

// shadeMetal returns the light that metal at p sends to the eye. Worn edges
// (soft above 0) gather light from all the directions that their curve mirrors.
func (st *stage) shadeMetal(m *metalLook, p, n, eye vec.P, soft float64) light {
	c := n.Dot(eye)
	r := n.Mul(2 * c).Sub(eye)
	g := st.beams.gather(p, n, r, 1)
	sharp := st.mirrored(p, n, r, max(soft, m.rough), g.clear)
	broad := g.fall.times(0.9)
	rim := 0.5 + 0.5*smooth(0, 0.42, c) // sets the outline off against the paper
	return sharp.mix(broad, 0.25).by(m.fresnel(c)).times(rim)
}

// mirrored is the light that reaches p, on a face with normal n, from
// direction r: of the tent, of the paper, or of the body that stands there.
// clear tells how much of the sky about r is seen.
func (st *stage) mirrored(p, n, r vec.P, soft, clear float64) light {
	up := r.Dot(st.tent.up)
	if clear > 0.999 && up > 0.25 {
		return st.tent.from(p, r, soft)
	}
	o := p.Add(n.Mul(offFace * st.tent.radius))
	h := st.tree.first(o, r)
	if h.tri < 0 {
		l := st.tent.from(p, r, soft)
		if t := -st.ground.beyond(o) / up; up < 0 && t > 0 {
			x, y, _ := st.cam.Project(o.Add(r.Mul(t)))
			l = l.by(st.shadeAt(x, y))
		}
		return l
	}
	return st.second(h, o, r, 0)
}

// offFace is how far rays start off their face, in radii of the piece: some
// 0.005 mm, as far as a usual mesh deviates from its surface.
const offFace = 4e-4

// second is the light of a body that is seen in another: no further mirrors.
// lift is light that falls on it besides that of the lamps.
func (st *stage) second(h hit, o, d vec.P, lift float64) light {
	t := &st.tri[h.tri]
	b := &st.items[t.item]
	if b.gem != nil && b.gem.solid != nil {
		l, _ := st.shadeFacets(b, o, d, 3)
		return l
	}
	p := o.Add(d.Mul(float64(h.t)))
	n := t.normal(1-float64(h.u)-float64(h.v), float64(h.u), float64(h.v))
	eye := d.Neg()
	c := n.Dot(eye)
	r := n.Mul(2 * c).Sub(eye)
	g := st.beams.gather(p, n, r, 3)
	g.fall = g.fall.add(light{lift, lift, lift})
	g.clear = min(1, g.clear+lift)
	switch {
	case b.gem != nil:
		return b.gem.color.by(g.fall)
	case b.hued || b.paint != nil:
		return g.fall.times(0.6)
	}
	if m, ok := b.look.(Matte); ok {
		return linear(m.Color).by(g.fall)
	}
	l := st.tent.from(p, r, 0.25+b.metal.rough).times(0.3 + 0.7*g.clear)
	return l.mix(g.fall, 0.3).by(b.metal.fresnel(c))
}

// shadeMatte returns the light that paper, clay or paint at p sends to the eye.
func (st *stage) shadeMatte(albedo light, p, n, eye vec.P) light {
	g := st.beams.gather(p, n, n, 1)
	bounce := 0.12 * (1 - st.tent.up.Dot(n)) * g.open
	l := g.fall.times(0.9).add(light{bounce, bounce * 0.96, bounce * 0.88})
	return albedo.by(l).times(1 + 0.25*math.Pow(1-max(0, n.Dot(eye)), 3))
}
