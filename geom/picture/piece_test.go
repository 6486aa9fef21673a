package picture

import (
	"image/color"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

var (
	silver  = Metal{color.NRGBA{0xf4, 0xf1, 0xec, 0xff}, 0.10}
	gold    = Metal{color.NRGBA{0xf3, 0xcf, 0x7d, 0xff}, 0.10}
	citrine = Gem{Color: color.NRGBA{0xf2, 0xb2, 0x2e, 0xff}, Index: 1.55, Fire: 0.013, Faceted: true}
	garnet  = Gem{Color: color.NRGBA{0xb8, 0x2a, 0x5c, 0xff}, Index: 1.76, Fire: 0.022, Faceted: true}
	white   = Gem{Color: color.NRGBA{0xff, 0xff, 0xff, 0xff}, Index: 2.42, Fire: 0.044, Faceted: true}
)

// sun is a plate with lobes: a rim r(bearing) swept by a profile with a
// rounded front edge, and shallow rays on its face.
func sun(r float64, lobes, steps int) *mesh.Mesh {
	rim := func(b float64) float64 { return r * (0.93 + 0.07*math.Abs(math.Cos(b*float64(lobes)/2))) }
	var levels []vec.P2 // share of the radius' edge offset, height
	levels = append(levels, vec.P2{X: 0, Y: -1.3})
	for i := 0; i <= 8; i++ {
		s, c := math.Sincos(math.Pi / 2 * float64(i) / 8)
		levels = append(levels, vec.P2{X: 0.35 - 0.35*c, Y: -0.35 + 0.35*s})
	}
	rings := steps / 4
	m := &mesh.Mesh{}
	n := len(levels) + rings + 1
	for s := range steps {
		b := 2 * math.Pi * float64(s) / float64(steps)
		for _, l := range levels {
			m.V = append(m.V, vec.Bearing(rim(b)-l.X, b).At(l.Y))
		}
		for i := 1; i <= rings; i++ { // the face, inwards to the middle
			q := rim(b) - 0.35
			q *= 1 - float64(i)/float64(rings)
			groove := 0.0
			if q > 0.62*r && q < 0.9*r {
				groove = -0.4 * math.Pow(math.Max(0, math.Cos(b*float64(4*lobes))), 2) * math.Min(1, (q-0.62*r)/(0.02*r))
			}
			if d := math.Abs(q - 0.4345*r); d < 0.11*r { // a channel under the petals
				groove = -0.75 * math.Min(1, (0.11*r-d)/(0.03*r))
			}
			if q < 0.24*r { // a seat under the heart
				groove = -1.25 + 0.6*q/(0.24*r)
			}
			m.V = append(m.V, vec.Bearing(q, b).At(groove))
		}
		m.V = append(m.V, vec.P{Z: -1.3})
	}
	for s := range steps {
		for i := range n - 1 {
			a, b := uint32(s*n+i), uint32(s*n+i+1)
			c, d := uint32((s+1)%steps*n+i), uint32((s+1)%steps*n+i+1)
			if i == n-2 { // the back: rim to middle
				a, c = uint32(s*n), uint32((s+1)%steps*n)
				m.T = append(m.T, [3]uint32{a, c, b})
				continue
			}
			m.T = append(m.T, [3]uint32{a, b, c}, [3]uint32{b, d, c})
		}
	}
	return m
}

// piece is the typical piece: a ring of stones round a heart stone on a
// scalloped plate, each in prongs, the heart in a bezel, a bail on top. At
// fine 3 it has some 130,000 triangles, at 6 half a million.
func piece(fine int) Scene {

	var s Scene
	add := func(m *mesh.Mesh, p vec.Place, l Look) { s.Items = append(s.Items, Item{Mesh: m, Place: p, Look: l}) }
	const count = 10
	heart, petal := 5.0, 2.5
	gap := 0.2
	ring := (petal + gap) / (2 * math.Sin(math.Pi/count))
	add(sun(ring+petal/2+3, count, 160*fine), vec.Here, silver)
	cut := brilliant()
	scaled := func(d float64) *mesh.Mesh {
		c := &mesh.Mesh{T: cut.T}
		for _, v := range cut.V {
			c.V = append(c.V, v.Mul(d))
		}
		return c
	}
	hm, pm := scaled(heart), scaled(petal)
	add(hm, vec.Shift(vec.P{Z: 0.95}), citrine)
	add(revolve([]vec.P2{{X: 2.1, Y: -0.6}, {X: 2.85, Y: -0.6}, {X: 2.95, Y: 0.9}, {X: 2.85, Y: 1.3}, {X: 2.70, Y: 1.42}, {X: 2.55, Y: 1.38}, {X: 2.45, Y: 1.25}, {X: 2.5, Y: 0.9}, {X: 2.1, Y: 0.4}}, true, 70*fine), vec.Here, silver)
	prong := pin(0.34, -0.5, 1.25, 3*fine)
	for i := range count {
		b := 2 * math.Pi * (float64(i) + 0.5) / count
		add(pm, vec.Shift(vec.Bearing(ring, b).At(0.62)).After(vec.TurnZ(-b)), garnet)
		for _, r := range []float64{ring - 0.78, ring + 0.78} {
			add(prong, vec.Shift(vec.Bearing(r, b+math.Pi/count).At(0)), silver)
		}
	}
	tilt := vec.Turn(vec.P{Y: 1}, math.Pi/2)
	add(torus(1.7, 0.45, 10*fine), vec.Shift(vec.P{Y: ring + petal/2 + 3 + 1.2, Z: -0.65}).After(tilt), silver)
	return s
}
