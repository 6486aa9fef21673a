package picture

import (
	"context"
	"image"
	"math"

	"waxwright/geom/vec"
)

// stage is a scene set up for one picture.
type stage struct {
	*soup
	cam    Camera
	o      Options
	ground Plane
	facing bool // the paper is seen from above, not edge-on
	hides  bool // the paper may hide something
	tent   tent
	beams  *beams
	tree   *rayTree
	shadow shadowGrid

	scr         []point
	cols, rows  int
	first, list []int32 // triangles of each tile
	caps        []capFace
}

func newStage(sp *soup, cam Camera, o Options) *stage {
	st := &stage{soup: sp, cam: cam, o: o, ground: groundOf(sp, cam, o)}
	st.facing = st.ground.Normal.Dot(cam.Back) > 0.15
	st.hides = o.Ground != nil && st.facing && !o.Bare
	box := vec.BoxOf(sp.used...)
	up := st.ground.Normal
	away := cam.Up.Sub(up.Mul(cam.Up.Dot(up)))
	if away.Len() < 1e-6 {
		away = cam.Right.Cross(up).Neg()
	}
	away = away.Unit()
	st.tent = tent{
		right: away.Cross(up), away: away, up: up,
		center: box.Center(), radius: max(box.Size().Len()/2, 1e-9),
	}
	return st
}

// prepare does all that comes before the tiles.
func (st *stage) prepare(ctx context.Context) error {
	st.project()
	st.bin()
	st.prepareCaps()
	st.beams = newBeams(&st.tent, st.o)
	st.tree = plant(st.soup, st.o.Workers)
	st.cast(ctx)
	if ctx.Err() == nil {
		st.layShadow()
	}
	return ctx.Err()
}

// paperAt returns where the paper is seen at a pixel position.
func (st *stage) paperAt(x, y float64) (vec.P, bool) {
	if !st.facing {
		return vec.P{}, false
	}
	o, d := st.cam.ray(x, y)
	t := -st.ground.beyond(o) / st.ground.Normal.Dot(d)
	return o.Add(d.Mul(t)), !math.IsNaN(t)
}

// order visits the samples of a pixel from the middle outwards.
var order = [grid * grid]int{4, 1, 3, 5, 7, 0, 2, 6, 8}

// shred is a part of a pixel that shows one smooth surface.
type shred struct {
	id, sample int32
	count      int
	n          vec.P
	front      float32
}

// sameSurface is the least cosine between normals that are shaded as one.
const sameSurface = 0.985

// resolve turns the samples of a tile into pixels.
func (st *stage) resolve(t *tile, img *image.NRGBA) {
	for j := range tileSide {
		y := t.y0 + j
		if y >= st.o.Height {
			return
		}
		for i := range tileSide {
			x := t.x0 + i
			if x >= st.o.Width {
				break
			}
			st.pixel(t, i, j, img.Pix[img.PixOffset(x, y):])
		}
	}
}

// pixel shades one pixel: each surface in it once, weighted by its samples.
func (st *stage) pixel(t *tile, i, j int, pix []uint8) {
	var shreds [grid * grid]shred
	n, bare := 0, 0
next:
	for _, s := range order {
		at := t.at(i, j, s%grid, s/grid)
		id := t.id[at]
		if id == none {
			bare++
			continue
		}
		var normal vec.P
		for k := range n {
			c := &shreds[k]
			if c.id == id {
				c.count++
				continue next
			}
		}
		if id >= 0 {
			normal = st.faceNormal(id)
			for k := range n {
				c := &shreds[k]
				if c.id >= 0 && st.tri[c.id].item == st.tri[id].item && c.n.Dot(normal) > sameSurface {
					c.count++
					continue next
				}
			}
		}
		shreds[n] = shred{id: id, sample: int32(s), count: 1, n: normal, front: st.frontOf(t.z[at])}
		n++
	}
	var sum light
	for k := range n {
		sum = sum.add(st.shadeShred(t, i, j, &shreds[k]).times(float64(shreds[k].count)))
	}
	if bare > 0 && !st.o.Bare {
		sum = sum.add(st.paper(float64(t.x0+i)+0.5, float64(t.y0+j)+0.5).times(float64(bare)))
	}
	total := float64(grid * grid)
	alpha := 1.0
	if st.o.Bare {
		if bare == grid*grid {
			return
		}
		total -= float64(bare)
		alpha = total / (grid * grid)
	}
	sum = sum.times(1 / total)
	pix[0], pix[1], pix[2] = level(srgb(sum.R)), level(srgb(sum.G)), level(srgb(sum.B))
	pix[3] = level(255 * alpha)
}

// at is the buffer index of sample dx, dy of pixel i, j of the tile.
func (t *tile) at(i, j, dx, dy int) int {
	return (j*grid+dy+apron)*span + i*grid + dx + apron
}

// shadeShred shades a shred of pixel i, j where its first sample is.
func (st *stage) shadeShred(t *tile, i, j int, c *shred) light {
	dx, dy := int(c.sample)%grid, int(c.sample)/grid
	x := float64(t.x0+i) + (float64(dx)+0.5)/grid
	y := float64(t.y0+j) + (float64(dy)+0.5)/grid
	if c.id <= capMark {
		return st.hatch(c.id, x, y)
	}
	b := &st.items[st.tri[c.id].item]
	if b.gem != nil && b.gem.solid != nil {
		return st.shadeStone(t, int(st.tri[c.id].item), t.x0+i, t.y0+j, x, y)
	}
	if _, ok := b.look.(Metal); !ok {
		return st.shade(c.id, x, y, vec.P{})
	}
	return st.shade(c.id, x, y, st.bevel(t, i, j, c))
}

// shadeStone takes more samples where the pattern of facets changes: one in the
// middle where it follows the path of the pixel before, else two on a diagonal,
// and two on the other if they followed other paths. px, py is the pixel.
func (st *stage) shadeStone(t *tile, item, px, py int, x, y float64) light {
	const d = 0.25
	b := &st.items[item]
	trace := func(dx, dy float64) (light, uint64) {
		o, v := st.cam.ray(x+dx, y+dy)
		l, path := st.shadeFacets(b, o, v, gemBounces)
		return l.rolled(), path
	}
	before := t.way
	t.way = way{item: -1}
	if before.item == item && before.x == px-1 && before.y == py {
		if l, p := trace(0, 0); p == before.path {
			t.way = way{item, px, py, p}
			return l
		}
	}
	l, p := trace(-d, -d)
	m, q := trace(d, d)
	l = l.add(m)
	if p == q {
		t.way = way{item, px, py, p}
		return l.times(0.5)
	}
	m, _ = trace(d, -d)
	l = l.add(m)
	m, _ = trace(-d, d)
	return l.add(m).times(0.25)
}

// probes are samples two steps from the middle of a pixel.
var probes = [8][2]int{{-1, -1}, {1, -1}, {3, -1}, {-1, 1}, {3, 1}, {-1, 3}, {1, 3}, {3, 3}}

// bevel returns how the normal of a shred leans over to other faces of the
// same body across an outer edge close by: no real edge is sharper than some
// hundredths of a millimetre, and the light that it catches makes metal look
// made by hand.
func (st *stage) bevel(t *tile, i, j int, c *shred) vec.P {
	var lean vec.P
	count := 0.0
	step := 1 / (grid * st.cam.Scale) // mm a sample
	for _, o := range probes {
		at := t.at(i, j, o[0], o[1])
		id := t.id[at]
		if id < 0 || id == c.id || st.tri[id].item != st.tri[c.id].item {
			continue
		}
		n := st.faceNormal(id)
		if n.Dot(c.n) > sameSurface {
			continue
		}
		dx, dy := float64(o[0]-int(c.sample)%grid), float64(o[1]-int(c.sample)/grid)
		dz := float64(st.frontOf(t.z[at]) - c.front)
		if math.Abs(dz) > 9*step {
			continue
		}
		to := st.cam.Right.Mul(dx * step).Sub(st.cam.Up.Mul(dy * step)).Add(st.cam.Back.Mul(dz))
		if to.Dot(c.n) < 0 && to.Dot(n) > 0 {
			lean = lean.Add(n)
			count++
		}
	}
	return lean.Unit().Mul(min(0.35*count, 0.8))
}

func level(v float64) uint8 { return uint8(max(0, min(v+0.5, 255))) }

// frontOf turns buffer depth back into a distance in front of the centre.
func (st *stage) frontOf(z float32) float32 {
	if st.cam.Dist == 0 {
		return z
	}
	return float32(st.cam.Dist * (1 - 1/float64(z)))
}

// faceNormal is the mean normal of a triangle's corners.
func (st *stage) faceNormal(id int32) vec.P { return st.tri[id].normal(1, 1, 1) }

// normal blends the normals of the corners.
func (t *tri) normal(a, b, c float64) vec.P {
	return vec.P{
		X: a*float64(t.n[0][0]) + b*float64(t.n[1][0]) + c*float64(t.n[2][0]),
		Y: a*float64(t.n[0][1]) + b*float64(t.n[1][1]) + c*float64(t.n[2][1]),
		Z: a*float64(t.n[0][2]) + b*float64(t.n[1][2]) + c*float64(t.n[2][2]),
	}.Unit()
}

// weights returns the shares of a triangle's corners at a picture position.
func (st *stage) weights(t *tri, x, y float64) (w [3]float64) {
	a, b, c := &st.scr[t.v[0]], &st.scr[t.v[1]], &st.scr[t.v[2]]
	fx, fy := x*grid*sub, y*grid*sub
	ax, ay := float64(a.x)-fx, float64(a.y)-fy
	bx, by := float64(b.x)-fx, float64(b.y)-fy
	cx, cy := float64(c.x)-fx, float64(c.y)-fy
	w[0] = min(0, bx*cy-by*cx) * a.near // facing triangles have negative areas
	w[1] = min(0, cx*ay-cy*ax) * b.near
	w[2] = min(0, ax*by-ay*bx) * c.near
	s := w[0] + w[1] + w[2]
	if s == 0 {
		return [3]float64{1. / 3, 1. / 3, 1. / 3}
	}
	for i := range w {
		w[i] /= s
	}
	return w
}

// shade returns the display light of a triangle at a picture position. lean
// is added to the normal of metal (see bevel).
func (st *stage) shade(id int32, x, y float64, lean vec.P) light {
	t := &st.tri[id]
	b := &st.items[t.item]
	w := st.weights(t, x, y)
	p := st.pos[t.v[0]].Mul(w[0]).Add(st.pos[t.v[1]].Mul(w[1])).Add(st.pos[t.v[2]].Mul(w[2]))
	n := t.normal(w[0], w[1], w[2])
	eye := st.cam.toEye(p)
	if c := n.Dot(eye); c < 0.02 { // a smooth normal may lean over the edge
		n = n.Add(eye.Mul(0.02 - c)).Unit()
	}
	switch {
	case b.hued:
		h := st.hue[t.v[0]].times(w[0]).add(st.hue[t.v[1]].times(w[1])).add(st.hue[t.v[2]].times(w[2]))
		return st.shadeMatte(h, p, n, eye).rolled()
	case b.paint != nil:
		return st.shadeMatte(b.paint[t.src], p, n, eye).rolled()
	case b.gem != nil:
		return st.shadeSmoothGem(b, p, n, eye).rolled()
	}
	if _, ok := b.look.(Matte); ok {
		return st.shadeMatte(b.matte, p, n, eye).rolled()
	}
	l := st.shadeMetal(&b.metal, p, n, eye, 0)
	if lean != (vec.P{}) { // of an edge only its light is shown
		edge := st.shadeMetal(&b.metal, p, n.Add(lean).Unit(), eye, 0.35)
		l = l.mix(edge, smooth(-0.3, 0.1, edge.luma()-l.luma()))
	}
	return l.rolled()
}

// shadeSmoothGem is a cabochon or a pearl. Clear ones are lit from within:
// their dome gathers the key's light on the side away from it.
func (st *stage) shadeSmoothGem(b *body, p, n, eye vec.P) light {
	g := b.gem
	c := n.Dot(eye)
	r := n.Mul(2 * c).Sub(eye)
	body := st.shadeMatte(g.color, p, n, eye)
	if g.cloud < 1 {
		k := panels[0].at
		glow := smooth(-0.55, 0.95, st.tent.local(n).Dot(vec.P{X: -k.X, Y: -k.Y, Z: 0.3}.Unit()))
		deep := g.color.pow(0.75 + 0.75*c).times(0.22 + 1.25*glow)
		body = deep.mix(body, g.cloud)
	}
	f := dielectric(c, 1/g.index)
	return body.times(1 - f).add(st.mirrored(p, n, r, 0.02, 0).times(f))
}
