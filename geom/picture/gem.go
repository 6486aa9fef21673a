package picture

import (
	"fmt"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// gemLook is a Gem ready for shading.
type gemLook struct {
	color  light // seen through a usual path
	absorb light // per mm, by Beer and Lambert
	index  float64
	least  float64 // mm: light takes colour along at least this path
	fire   float64
	cloud  float64
	solid  *facets // nil for smooth stones
}

// usualPath is the length that light travels inside a brilliant before it
// comes back to the eye, in widths of the stone (from memory, no source).
const usualPath = 2.2

func gemOf(g Gem, it Item, solids map[*mesh.Mesh]*facets) (*gemLook, error) {
	if g.Index == 0 {
		g.Index = 1.54
	}
	if !(g.Index >= 1 && g.Index <= 4) {
		return nil, fmt.Errorf("refractive index %g is out of range: 1 to 4", g.Index)
	}
	l := &gemLook{
		color: linear(g.Color), index: g.Index,
		fire: max(0, min(g.Fire, 0.3)), cloud: max(0, min(g.Cloud, 1)),
	}
	box := vec.BoxOf(it.Mesh.V...)
	width := box.Size().Len() / math.Sqrt(2.3) // of a stone about 0.6 as deep as wide
	l.least = 0.6 * usualPath * width
	floor := func(v float64) float64 { return -math.Log(max(v, 0.004)) / (usualPath * max(width, 1e-6)) }
	l.absorb = light{floor(l.color.R), floor(l.color.G), floor(l.color.B)}
	if !g.Faceted {
		return l, nil
	}
	f, ok := solids[it.Mesh]
	if !ok {
		var err error
		if f, err = facetsOf(it.Mesh); err != nil {
			return nil, err
		}
		solids[it.Mesh] = f
	}
	l.solid = f
	return l, nil
}

// facets is a convex solid as the planes of its faces, in the coordinates of
// its mesh.
type facets struct{ planes []Plane }

const (
	maxFacets = 1024
	// facetSlack is how far corners of a flat face may stand off its plane, as
	// a share of the stone's size: three roundings to float32 are below 1e-6.
	facetSlack = 1e-5
)

// facetsOf finds the planes of a convex mesh.
func facetsOf(m *mesh.Mesh) (*facets, error) {
	f := &facets{}
	size := vec.BoxOf(m.V...).Size().Len()
	slack := facetSlack * size
next:
	for _, t := range m.T {
		a := m.V[t[0]]
		n := m.V[t[1]].Sub(a).Cross(m.V[t[2]].Sub(a))
		if n.Len() < slack*slack {
			continue
		}
		n = n.Unit()
		d := n.Dot(a)
		for _, p := range f.planes {
			if p.Normal.Dot(n) > 1-1e-6 && math.Abs(p.Offset-d) <= 2*slack {
				continue next
			}
		}
		if len(f.planes) == maxFacets {
			return nil, fmt.Errorf("a faceted stone with more than %d faces", maxFacets)
		}
		f.planes = append(f.planes, Plane{n, d})
	}
	for _, p := range f.planes {
		for _, v := range m.V {
			if p.beyond(v) > 100*slack {
				return nil, fmt.Errorf("a faceted stone that is not convex: %v stands %g mm out of a face", v, p.beyond(v))
			}
		}
	}
	return f, nil
}

// enter returns where the line p + t d enters the solid, and through which face.
func (f *facets) enter(p, d vec.P) (t float64, face int) {
	t, face = math.Inf(-1), -1
	for i := range f.planes {
		pl := &f.planes[i]
		nd := pl.Normal.Dot(d)
		if nd >= 0 {
			continue
		}
		if s := (pl.Offset - pl.Normal.Dot(p)) / nd; s > t {
			t, face = s, i
		}
	}
	return t, face
}

// leave returns where a line from p, inside, leaves the solid.
func (f *facets) leave(p, d vec.P) (t float64, face int) {
	t, face = math.Inf(1), -1
	for i := range f.planes {
		pl := &f.planes[i]
		nd := pl.Normal.Dot(d)
		if nd <= 1e-12 {
			continue
		}
		if s := pl.Offset - pl.Normal.Dot(p); s < t*nd { // few are divided: it is slow
			t, face = s/nd, i
		}
	}
	return t, face
}

const (
	gemBounces = 8
	gemLeast   = 0.03 // light below this share is not followed further
)

// shadeFacets follows the line of sight o + t d into a faceted stone, through
// a number of inner reflections. Lines that meet the same faces first have the
// same path.
func (st *stage) shadeFacets(b *body, o, d vec.P, bounces int) (sum light, path uint64) {
	g := b.gem
	lo, ld := b.place.Local(o), b.place.LocalDir(d)
	t, face := g.solid.enter(lo, ld)
	if face < 0 {
		return g.color, 0
	}
	p, n := lo.Add(ld.Mul(t)), g.solid.planes[face].Normal
	if bounces == gemBounces {
		ld = b.place.LocalDir(st.cam.toEye(b.place.Point(p)).Neg())
	}
	c := max(-n.Dot(ld), 0.01)
	f := dielectric(c, 1/g.index)
	sum = st.gemLight(b, p, ld.Add(n.Mul(2*c))).times(f)
	ld = refract(ld, n, c, 1/g.index)
	w := 1 - f
	way := 0.0 // mm inside
	path = uint64(face)
	for i := range bounces {
		t, face = g.solid.leave(p, ld)
		if face < 0 {
			break
		}
		t = max(t, 0)
		p = p.Add(ld.Mul(t))
		way += t
		if i < 3 {
			path = path*maxFacets + uint64(face)
		}
		n = g.solid.planes[face].Normal.Neg()
		c = -n.Dot(ld)
		f = dielectric(c, g.index)
		if f < 1 {
			tint := g.through(max(way, g.least)).times(w * (1 - f))
			out := refract(ld, n, c, g.index)
			l, open := st.gemLight(b, p, out), true
			if w*(1-f) > 0.2 && bounces == gemBounces && b.place.Dir(out).Dot(st.tent.up) < 0.3 {
				l, open = st.behind(b, p, out, l)
			}
			if open && g.fire > 0 {
				l.R = st.gemLight(b, p, bent(ld, n, c, g.index-g.fire/2, out)).R
				l.B = st.gemLight(b, p, bent(ld, n, c, g.index+g.fire/2, out)).B
			}
			sum = sum.add(l.by(tint))
			w *= f
		}
		if w < gemLeast {
			break
		}
		ld = ld.Add(n.Mul(2 * c))
	}
	sum = sum.add(g.through(way).times(w * 0.35))
	if g.cloud > 0 {
		wp := b.place.Point(lo.Add(g.solid.at(lo, b.place.LocalDir(d))))
		milk := st.shadeMatte(g.color, wp, b.place.Dir(g.solid.front(lo, b.place.LocalDir(d))), d.Neg())
		sum = sum.mix(milk, g.cloud)
	}
	return sum, path
}

func (f *facets) at(o, d vec.P) vec.P {
	t, _ := f.enter(o, d)
	return d.Mul(t)
}

func (f *facets) front(o, d vec.P) vec.P {
	_, i := f.enter(o, d)
	return f.planes[max(i, 0)].Normal
}

// through is what is left of white light after a path of s mm.
func (g *gemLook) through(s float64) light {
	return light{math.Exp(-g.absorb.R * s), math.Exp(-g.absorb.G * s), math.Exp(-g.absorb.B * s)}
}

// gemLight is the tent's light at a stone, p and d in the stone's coordinates.
func (st *stage) gemLight(b *body, p, d vec.P) light {
	return st.tent.sparkle(b.place.Point(p), b.place.Dir(d))
}

// behind is the light that comes to a stone's back from direction d, both in
// the stone's coordinates: mostly its seat. It is free, and tells so, where
// nothing stands in the way.
func (st *stage) behind(b *body, p, d vec.P, free light) (light, bool) {
	wp, wd := b.place.Point(p), b.place.Dir(d)
	h := st.tree.first(wp.Add(wd.Mul(offFace*st.tent.radius)), wd)
	if h.tri < 0 || st.items[st.tri[h.tri].item].gem != nil {
		return free, true
	}
	return st.second(h, wp, wd, seatLight), false
}

// seatLight is what a stone lets through to its seat, where lamps outside it
// are in the shadow of the stone itself.
const seatLight = 0.35

// bent refracts, or falls back where this colour no longer comes out.
func bent(d, n vec.P, c, ratio float64, other vec.P) vec.P {
	if r := refract(d, n, c, ratio); r != (vec.P{}) {
		return r
	}
	return other
}

// refract bends direction d at a face with normal n against it; c is the
// cosine between them, ratio the index here over the index beyond. It returns
// zero where all light is reflected (Snell).
func refract(d, n vec.P, c, ratio float64) vec.P {
	k := 1 - ratio*ratio*(1-c*c)
	if k < 0 {
		return vec.P{}
	}
	return d.Mul(ratio).Add(n.Mul(ratio*c - math.Sqrt(k)))
}

// dielectric is the share of unpolarised light that a face between two clear
// bodies reflects (Fresnel); c and ratio as for refract.
func dielectric(c, ratio float64) float64 {
	k := 1 - ratio*ratio*(1-c*c)
	if k <= 0 {
		return 1
	}
	t := math.Sqrt(k)
	s := (ratio*c - t) / (ratio*c + t)
	p := (c - ratio*t) / (c + ratio*t)
	return min(1, (s*s+p*p)/2)
}
