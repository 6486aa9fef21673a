package picture

import (
	"context"
	"math"

	"waxwright/geom/crew"
	"waxwright/geom/vec"
)

// Which lights a place sees. The tent is taken as a few dozen distant lamps;
// for each, a map holds how near to it the scene comes, seen in parallel from
// the lamp. A place is in the lamp's shadow where the map is nearer than the
// place itself. All soft light, contact shadows and the darkness of grooves
// come from sums over the lamps.
//
// The maps are exact to about one texel; finer gaps close.

const (
	domeLamps  = 34
	keyCols    = 4
	keyRows    = 3
	largeSide  = 384 // texels a map, for pictures ...
	largeFrom  = 640 // ... of this many pixels and more, a side
	smallSide  = 256 // and for others
	biasTexels = 1.6 // how far places are moved off their surface, so that it does not shade itself
)

// beam is one lamp and its map.
type beam struct {
	dir, u, v vec.P     // towards the lamp, and the map's axes, world
	light     light     // radiance times solid angle
	su, sv    vec.P     // u and v, in texels
	side      int       // of the map, texels
	near      []float32 // how far towards the lamp the scene comes, from the centre
	coarse    []float32 // the nearest of a wide neighbourhood of each cell
}

// beams are all lamps of a stage.
type beams struct {
	all    []beam
	center vec.P
	side   int     // of a map, texels
	half   float64 // of a map, mm
	texel  float64 // mm
	open   light   // irradiance of the open paper
}

// newBeams spreads the lamps over the tent: a spiral over the dome (R. Swinbank,
// R. J. Purser, "Fibonacci grids", 2006) and a block over the key panel.
func newBeams(t *tent, o Options) *beams {
	b := &beams{center: t.center, half: 1.02 * t.radius, side: largeSide}
	if max(o.Width, o.Height) < largeFrom {
		b.side = smallSide
	}
	b.texel = 2 * b.half / float64(b.side)
	add := func(d vec.P, l light, solid float64) {
		w := t.right.Mul(d.X).Add(t.away.Mul(d.Y)).Add(t.up.Mul(d.Z))
		u := t.away.Cross(w)
		if u.Len() < 0.1 {
			u = t.right
		}
		u = u.Sub(w.Mul(u.Dot(w))).Unit()
		v := w.Cross(u)
		b.all = append(b.all, beam{
			dir: w, u: u, v: v, light: l.times(solid), side: b.side,
			su: u.Mul(1 / b.texel), sv: v.Mul(1 / b.texel),
		})
	}
	golden := math.Pi * (3 - math.Sqrt(5))
	for i := range domeLamps {
		z := 0.05 + 0.95*(float64(i)+0.5)/domeLamps
		r := math.Sqrt(1 - z*z)
		s, c := math.Sincos(golden * float64(i))
		d := vec.P{X: r * c, Y: r * s, Z: z}
		add(d, t.dome(d), 2*math.Pi*0.95/domeLamps)
	}
	key := &panels[0]
	for i := range keyCols * keyRows {
		x := (float64(i%keyCols)+0.5)/keyCols*2 - 1
		y := (float64(i/keyCols)+0.5)/keyRows*2 - 1
		d := key.at.Add(key.u.Mul(x * key.hu)).Add(key.v.Mul(y * key.hv)).Unit()
		c := d.Dot(key.at)
		add(d, key.light, 4*key.hu*key.hv*c*c*c/(keyCols*keyRows))
	}
	for i := range b.all {
		b.open = b.open.add(b.all[i].light.times(b.all[i].dir.Dot(t.up)))
	}
	return b
}

// cast draws all maps.
func (st *stage) cast(ctx context.Context) {
	bs := st.beams
	uvw := make([][][3]float32, st.o.Workers)
	_ = crew.Each(ctx, st.o.Workers, len(bs.all), func(w, i int) {
		if uvw[w] == nil {
			uvw[w] = make([][3]float32, len(st.pos))
		}
		st.castOne(&bs.all[i], uvw[w])
	})
}

// castOne draws the map of one lamp; uvw is working space for the vertices.
func (st *stage) castOne(b *beam, uvw [][3]float32) {
	b.near = make([]float32, b.side*b.side)
	for i := range b.near {
		b.near[i] = float32(math.Inf(-1))
	}
	mid := float64(b.side) / 2
	for i, p := range st.pos {
		q := p.Sub(st.beams.center)
		uvw[i] = [3]float32{
			float32(q.Dot(b.su) + mid),
			float32(q.Dot(b.sv) + mid),
			float32(q.Dot(b.dir)),
		}
	}
	for i := range st.tri {
		t := &st.tri[i]
		b.castTriangle(&uvw[t.v[0]], &uvw[t.v[1]], &uvw[t.v[2]])
	}
	b.widen()
}

const (
	cells    = 32   // a side of coarse
	widest   = 0.06 // the widest blur of a shadow on paper, as a share of the map
	widenBy  = 2    // cells: widest * cells, rounded up
	farBelow = -math.MaxFloat32
)

// widen fills coarse: for each cell the nearest that any texel comes within
// the widest blur.
func (m *beam) widen() {
	var own [cells * cells]float32
	for i := range own {
		own[i] = farBelow
	}
	cell := m.side / cells
	for y := range m.side {
		for x, z := range m.near[y*m.side : (y+1)*m.side] {
			if at := &own[y/cell*cells+x/cell]; z > *at {
				*at = z
			}
		}
	}
	m.coarse = make([]float32, cells*cells)
	for y := range cells {
		for x := range cells {
			most := float32(farBelow)
			for j := max(0, y-widenBy); j <= min(cells-1, y+widenBy); j++ {
				for i := max(0, x-widenBy); i <= min(cells-1, x+widenBy); i++ {
					most = max(most, own[j*cells+i])
				}
			}
			m.coarse[y*cells+x] = most
		}
	}
}

// castTriangle draws a triangle that faces the lamp. Triangles below a texel
// count where their middle lies.
func (m *beam) castTriangle(a, b, c *[3]float32) {
	area := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
	if area <= 0 {
		return
	}
	x0, x1 := min(a[0], b[0], c[0]), max(a[0], b[0], c[0])
	y0, y1 := min(a[1], b[1], c[1]), max(a[1], b[1], c[1])
	if x1-x0 < 1.2 && y1-y0 < 1.2 {
		m.mark(int((a[0]+b[0]+c[0])/3), int((a[1]+b[1]+c[1])/3), (a[2]+b[2]+c[2])/3)
		return
	}
	ix0, ix1 := max(int(x0-0.5), 0), min(int(x1+0.5), m.side-1)
	iy0, iy1 := max(int(y0-0.5), 0), min(int(y1+0.5), m.side-1)
	inv := 1 / area
	zx := ((b[2]-a[2])*(c[1]-a[1]) - (c[2]-a[2])*(b[1]-a[1])) * inv
	zy := ((c[2]-a[2])*(b[0]-a[0]) - (b[2]-a[2])*(c[0]-a[0])) * inv
	for y := iy0; y <= iy1; y++ {
		py := float32(y) + 0.5
		px := float32(ix0) + 0.5
		e0 := (c[0]-b[0])*(py-b[1]) - (c[1]-b[1])*(px-b[0])
		e1 := (a[0]-c[0])*(py-c[1]) - (a[1]-c[1])*(px-c[0])
		e2 := (b[0]-a[0])*(py-a[1]) - (b[1]-a[1])*(px-a[0])
		z := a[2] + zx*(px-a[0]) + zy*(py-a[1])
		row := m.near[y*m.side : (y+1)*m.side]
		for x := ix0; x <= ix1; x++ {
			if e0 >= 0 && e1 >= 0 && e2 >= 0 && z > row[x] {
				row[x] = z
			}
			e0 -= c[1] - b[1]
			e1 -= a[1] - c[1]
			e2 -= b[1] - a[1]
			z += zx
		}
	}
}

func (m *beam) mark(x, y int, z float32) {
	if uint(x) < uint(m.side) && uint(y) < uint(m.side) {
		if at := &m.near[y*m.side+x]; z > *at {
			*at = z
		}
	}
}

// sees returns how much of the lamp a place sees, 0 to 1: four texels round
// it, weighted by nearness.
func (bs *beams) sees(b *beam, q vec.P) float64 {
	mid, last := float64(b.side-1)/2, float64(b.side-1)
	x, y := q.Dot(b.su)+mid, q.Dot(b.sv)+mid
	if !(x >= 0 && y >= 0 && x < last && y < last) {
		return 1
	}
	z := float32(q.Dot(b.dir))
	ix, iy := int(x), int(y)
	if cell := b.side / cells; b.coarse[iy/cell*cells+ix/cell] <= z {
		return 1
	}
	fx, fy := x-float64(ix), y-float64(iy)
	n := b.near[iy*b.side+ix:]
	sum := 0.0
	if n[0] <= z {
		sum = (1 - fx) * (1 - fy)
	}
	if n[1] <= z {
		sum += fx * (1 - fy)
	}
	if n[b.side] <= z {
		sum += (1 - fx) * fy
	}
	if n[b.side+1] <= z {
		sum += fx * fy
	}
	return sum
}

// soft is the light that falls on a place: on its face, and about a mirrored
// direction.
type soft struct {
	fall  light   // irradiance of the face over that of open paper
	open  float64 // share of the sky over the face that is seen
	clear float64 // share of the lamps about the mirrored direction that is seen
}

// gather sums the lamps that p sees, with normal n and mirrored direction r;
// step 1 asks every lamp, step 3 one in three.
func (bs *beams) gather(p, n, r vec.P, step int) soft {
	q := p.Sub(bs.center).Add(n.Mul(biasTexels * bs.texel))
	var s soft
	var seen, all, clear, lobes float64
	for i := 0; i < len(bs.all); i += step {
		b := &bs.all[i]
		c := n.Dot(b.dir)
		if c <= 0 {
			continue
		}
		v := bs.sees(b, q)
		s.fall = s.fall.add(b.light.times(c * v))
		seen += c * v
		all += c
		if l := r.Dot(b.dir); l > 0 {
			l *= l
			l *= l
			l *= l
			clear += l * v
			lobes += l
		}
	}
	k := float64(step)
	s.fall = light{s.fall.R * k / bs.open.R, s.fall.G * k / bs.open.G, s.fall.B * k / bs.open.B}
	s.open, s.clear = 1, 1
	if all > 0 {
		s.open = seen / all
	}
	if lobes > 0 {
		s.clear = clear / lobes
	}
	return s
}
