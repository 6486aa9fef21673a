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

// shadeMetal returns the light that metal at p sends to the eye.
func (st *stage) shadeMetal(m *metalLook, p, n, eye vec.P) light {
	c := n.Dot(eye)
	r := n.Mul(2 * c).Sub(eye)
	sharp := st.tent.from(p, r, m.rough)
	broad := st.tent.from(p, r, 0.55+0.45*m.rough)
	return sharp.mix(broad, 0.25).by(m.fresnel(c))
}

// shadeMatte returns the light that paper, clay or paint at p sends to the eye.
func (st *stage) shadeMatte(albedo light, p, n, eye vec.P) light {
	d := st.tent.local(n)
	key := max(0, d.Dot(panels[0].at))
	l := 0.42 + 0.16*d.Z + 0.55*key
	return albedo.times(l + 0.1*math.Pow(1-max(0, n.Dot(eye)), 3))
}
