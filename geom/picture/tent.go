package picture

import (
	"math"
	"sync"

	"waxwright/geom/vec"
)

// tent is the light round the piece: a white tent over warm paper, with bright
// soft panels and a dark line above the horizon, so that polished metal has
// something to mirror. Directions are in the paper's frame: x to the right, y
// away from the viewer or up the picture, z off the paper.
//
// All sizes and strengths are composition, chosen by eye.
type tent struct {
	right, away, up vec.P // the frame, world
	center          vec.P // of the piece
	radius          float64
}

// panel is a soft rectangle of light on the tent.
type panel struct {
	at, u, v vec.P   // its middle, and its sides
	hu, hv   float64 // half sizes, as tangents
	light    light
}

var panels = []panel{
	lamp(vec.P{X: -0.78, Y: 0.34, Z: 0.53}, 0.55, 0.45, light{3.20, 3.16, 3.10}),  // key, upper left
	lamp(vec.P{X: 0.92, Y: 0.05, Z: 0.40}, 0.17, 0.75, light{1.70, 1.74, 1.80}),   // strip, right
	lamp(vec.P{X: 0.20, Y: 0.95, Z: 0.26}, 1.00, 0.13, light{1.90, 1.90, 1.88}),   // strip, behind
	lamp(vec.P{X: -0.25, Y: -0.90, Z: 0.42}, 0.50, 0.12, light{1.15, 1.10, 1.02}), // low, before
}

func lamp(at vec.P, hu, hv float64, l light) panel {
	at = at.Unit()
	u := vec.P{Z: 1}.Cross(at).Unit()
	return panel{at: at, u: u, v: at.Cross(u), hu: hu, hv: hv, light: l}
}

var (
	paperLight = light{0.922, 0.880, 0.800} // sRGB 246, 241, 231
	wallLow    = light{0.26, 0.255, 0.25}
	wallHigh   = light{0.66, 0.66, 0.67}
	horizon    = light{0.035, 0.034, 0.036}
)

// local takes a world direction to the tent's frame.
func (t *tent) local(d vec.P) vec.P {
	return vec.P{X: d.Dot(t.right), Y: d.Dot(t.away), Z: d.Dot(t.up)}
}

// from returns the light that reaches p from direction d, both world; soft
// blurs it as a rough surface does. The tent is near enough for flat metal to
// mirror a gradient.
func (t *tent) from(p, d vec.P, soft float64) light {
	q := t.local(p.Sub(t.center)).Mul(nearness / t.radius)
	return tentLight(q.Add(t.local(d)).Unit(), soft)
}

// nearness is the radius of the piece over that of the tent.
const nearness = 0.42

// tentLight returns the light from a direction of length 1 in the tent's frame.
func tentLight(d vec.P, soft float64) light {
	w := 0.03 + soft
	wall := walls(d)
	l := wall.mix(paperLight.times(0.86), smooth(w*0.5, -w*0.5, d.Z))
	dark := smooth(-0.10-w, 0.01, d.Z) * smooth(0.22+w, 0.06, d.Z) / (1 + 3*soft)
	l = l.mix(horizon, 0.92*dark)
	return panelsOver(panels, l, d, soft)
}

// walls is the tent's own light: brighter above, and across it a slow fall
// from the key's side to the other, which flat metal shows as its sheen.
func walls(d vec.P) light {
	l := wallLow.mix(wallHigh, smooth(0, 1, d.Z))
	return l.times(0.34 + 1.62*smooth(-0.56, 0.50, 0.66*d.Y-0.60*d.X))
}

// dome is the light without the key panel, blurred.
func (t *tent) dome(d vec.P) light {
	return panelsOver(panels[1:], walls(d), d, 0.3)
}

// panelsOver lays the panels that shine from d over the light l.
func panelsOver(ps []panel, l light, d vec.P, soft float64) light {
	for i := range ps {
		b := &ps[i]
		c := d.Dot(b.at)
		if c <= 0.05 {
			continue
		}
		e := 0.05 + soft*0.9
		x, y := math.Abs(d.Dot(b.u)/c), math.Abs(d.Dot(b.v)/c)
		s := smooth(b.hu+e, b.hu-e, x) * smooth(b.hv+e, b.hv-e, y)
		if s > 0 {
			s *= min(1, b.hu/(0.6*e)) * min(1, b.hv/(0.6*e))
			l = l.mix(b.light, s)
		}
	}
	return l
}

// sparkle is the light that a stone sees at p from direction d, both world: the
// tent, darker, with small lamps, since stones live by contrast.
func (t *tent) sparkle(p, d vec.P) light {
	q := t.local(p.Sub(t.center)).Mul(nearness / t.radius)
	return sparkleMap().at(q.Add(t.local(d)))
}

// sparkleAt is the sparkle from a direction of length 1 in the tent's frame.
func sparkleAt(v vec.P) light {
	l := tentLight(v, 0)
	if v.Z < 0 {
		return l.times(0.55)
	}
	// light and dark in patches, as a room has them
	a := math.Sin(6.1*v.X+2.3*v.Y+0.7) + math.Sin(-3.2*v.X+5.7*v.Y+2.1) + math.Sin(4.4*v.X-6.8*v.Y+4.0)
	l = l.times(0.18 + 1.15*smooth(-0.9, 1.1, a))
	for i := range sparks {
		c := v.Dot(sparks[i].at)
		if s := smooth(sparks[i].edge, sparks[i].edge+0.010, c); s > 0 {
			l = l.mix(light{3.2, 3.15, 3.05}, s)
		}
	}
	return l
}

// sparkleMap is the sparkle of all directions, worked out once: stones ask for
// it millions of times.
var sparkleMap = sync.OnceValue(func() *octaMap {
	m := new(octaMap)
	for y := range octaSide {
		for x := range octaSide {
			l := sparkleAt(octaDir(x, y))
			m[y*octaSide+x] = [3]float32{float32(l.R), float32(l.G), float32(l.B)}
		}
	}
	return m
})

// octaMap is a map of all directions: the octahedron unfolded to a square (E.
// Praun, H. Hoppe, "Spherical parametrization and remeshing", 2003).
type octaMap [octaSide * octaSide][3]float32

const octaSide = 513 // odd, so that the folds run along corners

// octaDir is the direction at the corner x, y of the map.
func octaDir(x, y int) vec.P {
	u, v := float64(x)*2/(octaSide-1)-1, float64(y)*2/(octaSide-1)-1
	d := vec.P{X: u, Y: v, Z: 1 - math.Abs(u) - math.Abs(v)}
	if d.Z < 0 {
		d.X, d.Y = math.Copysign(1-math.Abs(v), u), math.Copysign(1-math.Abs(u), v)
	}
	return d.Unit()
}

// at blends the four directions of the map round d, of any length but 0.
func (m *octaMap) at(d vec.P) light {
	s := 1 / (math.Abs(d.X) + math.Abs(d.Y) + math.Abs(d.Z))
	u, v := d.X*s, d.Y*s
	if d.Z < 0 {
		u, v = math.Copysign(1-math.Abs(v), u), math.Copysign(1-math.Abs(u), v)
	}
	x, y := (u+1)*(octaSide-1)/2, (v+1)*(octaSide-1)/2
	ix, iy := max(0, min(int(x), octaSide-2)), max(0, min(int(y), octaSide-2))
	fx, fy := float32(x-float64(ix)), float32(y-float64(iy))
	a, b := &m[iy*octaSide+ix], &m[iy*octaSide+ix+1]
	e, f := &m[(iy+1)*octaSide+ix], &m[(iy+1)*octaSide+ix+1]
	var l [3]float64
	for k := range l {
		top, low := a[k]+(b[k]-a[k])*fx, e[k]+(f[k]-e[k])*fx
		l[k] = float64(top + (low-top)*fy)
	}
	return light{l[0], l[1], l[2]}
}

// spark is a small round lamp.
type spark struct {
	at   vec.P
	edge float64 // cosine of its radius
}

var sparks = func() (out []spark) {
	ring := func(count int, tilt, radius, turn float64) {
		s, c := math.Sincos(tilt)
		for i := range count {
			b := vec.Bearing(s, turn+2*math.Pi*float64(i)/float64(count))
			out = append(out, spark{b.At(c), math.Cos(radius)})
		}
	}
	ring(3, 0.20, 0.07, 0.90)
	ring(5, 0.48, 0.10, 0.35)
	ring(7, 0.80, 0.12, 0.10)
	ring(9, 1.15, 0.09, 0.25)
	return out
}()
