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
	st.beams = newBeams(&st.tent)
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
		at := (j*grid+s/grid)*span + i*grid + s%grid
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
		c := &shreds[k]
		sx := (float64(t.x0+i)*grid + float64(c.sample%grid) + 0.5) / grid
		sy := (float64(t.y0+j)*grid + float64(c.sample/grid) + 0.5) / grid
		sum = sum.add(st.shade(c.id, sx, sy, st.bevel(shreds[:n], k)).times(float64(c.count)))
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

// bevel returns how the normal of shred k leans over to another shred of the
// same body that it meets in the pixel: no real edge is sharper than that, and
// the light that it catches makes metal look made.
func (st *stage) bevel(shreds []shred, k int) vec.P {
	c := &shreds[k]
	if c.id < 0 {
		return vec.P{}
	}
	var lean vec.P
	for l := range shreds {
		o := &shreds[l]
		if l == k || o.id < 0 || st.tri[o.id].item != st.tri[c.id].item {
			continue
		}
		if math.Abs(float64(o.front-c.front))*st.cam.Scale < 3 {
			lean = lean.Add(o.n.Mul(0.8))
		}
	}
	return lean
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

// shade returns the display light of what is seen at a picture position. lean
// is added to the normal of metal (see bevel).
func (st *stage) shade(id int32, x, y float64, lean vec.P) light {
	if id <= capMark {
		return st.hatch(int(capMark-id), x, y)
	}
	t := &st.tri[id]
	b := &st.items[t.item]
	if b.gem != nil && b.gem.solid != nil {
		o, d := st.cam.ray(x, y)
		return st.shadeFacets(b, o, d, gemBounces).rolled()
	}
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
	return st.shadeMetal(&b.metal, p, n.Add(lean).Unit(), eye).rolled()
}

// shadeSmoothGem is a cabochon or a pearl.
func (st *stage) shadeSmoothGem(b *body, p, n, eye vec.P) light {
	g := b.gem
	c := n.Dot(eye)
	f := dielectric(c, 1/g.index)
	r := n.Mul(2 * c).Sub(eye)
	body := st.shadeMatte(g.color, p, n, eye)
	return body.times(1 - f).add(st.tent.from(p, r, 0.02).times(f))
}
