package picture

import (
	"context"
	"image"
	"math"

	"waxwright/geom/crew"
)

// Which triangle is seen where, tile by tile:
//
//  1. project: every vertex to fixed-point sample positions and a depth that is
//     linear in the picture;
//  2. bin: every triangle that faces the viewer to the tiles that it may touch,
//     in the order of triangles;
//  3. for each tile on its own: draw its triangles into a buffer of depths and
//     numbers at grid x grid samples a pixel, then resolve the pixels (shade.go).
//
// Tiles share nothing, so that the number of workers changes no pixel.
// Positions are integers: neighbours that share an edge cover each sample
// once, by the top-left rule.

const (
	grid     = 3  // samples along a side of a pixel
	tileSide = 32 // pixels
	apron    = 1  // samples beyond the tile on every side, for the look of edges
	span     = tileSide*grid + 2*apron
	sub      = 64 // fixed-point steps a sample
)

// point is a vertex on the picture.
type point struct {
	x, y int64   // in 1/sub of a sample
	z    float64 // depth, linear in the picture, greater is nearer
	near float64 // perspective weight
}

// none marks a sample that shows paper. Marks from capMark down are cut faces
// (capID).
const (
	none    = -1
	capMark = -2
)

// project places vertex positions on the picture.
func (st *stage) project() {
	st.scr = make([]point, len(st.pos))
	each(st.o.Workers, len(st.pos), func(i int) {
		x, y, front := st.cam.Project(st.pos[i])
		p := point{near: st.cam.near(front)}
		p.x, p.y = steps(x), steps(y)
		p.z = st.depth(front)
		st.scr[i] = p
	})
}

func steps(pixels float64) int64 { return int64(math.Round(pixels * grid * sub)) }

// depth turns a distance in front of the camera's centre into buffer depth.
func (st *stage) depth(front float64) float64 {
	if st.cam.Dist == 0 {
		return front
	}
	return st.cam.near(front)
}

// bin lists the triangles of each tile. Vertices beyond the cut are projected
// too but belong to no triangle.
func (st *stage) bin() {
	st.cols = (st.o.Width + tileSide - 1) / tileSide
	st.rows = (st.o.Height + tileSide - 1) / tileSide
	type cover struct{ x0, y0, x1, y1 int16 } // tiles; x1 < x0 for none
	covers := make([]cover, len(st.tri))
	each(st.o.Workers, len(st.tri), func(i int) {
		t := &st.tri[i]
		a, b, c := &st.scr[t.v[0]], &st.scr[t.v[1]], &st.scr[t.v[2]]
		covers[i] = cover{0, 0, -1, -1}
		if (b.x-a.x)*(c.y-a.y)-(b.y-a.y)*(c.x-a.x) >= 0 {
			return // edge-on, or facing away (y runs down)
		}
		const step = tileSide * grid * sub
		const edge = apron * sub
		x0, x1 := floorDiv(min(a.x, b.x, c.x)-edge, step), floorDiv(max(a.x, b.x, c.x)+edge, step)
		y0, y1 := floorDiv(min(a.y, b.y, c.y)-edge, step), floorDiv(max(a.y, b.y, c.y)+edge, step)
		x0, y0 = max(x0, 0), max(y0, 0)
		x1, y1 = min(x1, int64(st.cols-1)), min(y1, int64(st.rows-1))
		if x0 <= x1 && y0 <= y1 {
			covers[i] = cover{int16(x0), int16(y0), int16(x1), int16(y1)}
		}
	})
	st.first = make([]int32, st.cols*st.rows+1)
	walk := func(f func(tile int, tri int32)) {
		for i, c := range covers {
			for y := int(c.y0); y <= int(c.y1); y++ {
				for x := int(c.x0); x <= int(c.x1); x++ {
					f(y*st.cols+x, int32(i))
				}
			}
		}
	}
	walk(func(tile int, _ int32) { st.first[tile+1]++ })
	for i := 1; i < len(st.first); i++ {
		st.first[i] += st.first[i-1]
	}
	st.list = make([]int32, st.first[len(st.first)-1])
	next := append([]int32(nil), st.first...)
	walk(func(tile int, tri int32) { st.list[next[tile]] = tri; next[tile]++ })
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// tile is the buffer of one tile.
type tile struct {
	x0, y0 int // first pixel
	ox, oy int // first sample
	z      [span * span]float32
	id     [span * span]int32
	way    way // of light through the stone in the pixel shaded last
}

// way is a path of light through the facets of a stone, and where it was taken:
// the pixel after it may take the same.
type way struct {
	item, x, y int
	path       uint64
}

// draw fills the tile's samples.
func (st *stage) draw(t *tile, index int) {
	t.x0, t.y0 = index%st.cols*tileSide, index/st.cols*tileSide
	t.ox, t.oy = t.x0*grid-apron, t.y0*grid-apron
	t.way = way{item: -1}
	st.drawPaper(t)
	for _, i := range st.list[st.first[index]:st.first[index+1]] {
		st.drawTriangle(t, i)
	}
	for i := range st.caps {
		st.caps[i].draw(st, t)
	}
}

// drawPaper clears the tile to the paper, which hides what lies behind it.
func (st *stage) drawPaper(t *tile) {
	for i := range t.id {
		t.id[i] = none
		t.z[i] = float32(math.Inf(-1))
	}
	if !st.hides {
		return
	}
	for y := range span {
		for x := range span {
			px, py := t.ox+x, t.oy+y
			p, ok := st.paperAt((float64(px)+0.5)/grid, (float64(py)+0.5)/grid)
			if ok {
				t.z[y*span+x] = float32(st.depth(p.Sub(st.cam.Center).Dot(st.cam.Back)))
			}
		}
	}
}

// drawTriangle draws one triangle that faces the viewer.
func (st *stage) drawTriangle(t *tile, index int32) {
	tr := &st.tri[index]
	a, b, c := &st.scr[tr.v[0]], &st.scr[tr.v[2]], &st.scr[tr.v[1]] // clockwise on the page
	ox, oy := int64(t.ox), int64(t.oy)
	x0 := max(floorDiv(min(a.x, b.x, c.x), sub), ox) - ox
	x1 := min(floorDiv(max(a.x, b.x, c.x), sub), ox+span-1) - ox
	y0 := max(floorDiv(min(a.y, b.y, c.y), sub), oy) - oy
	y1 := min(floorDiv(max(a.y, b.y, c.y), sub), oy+span-1) - oy
	if x0 > x1 || y0 > y1 {
		return
	}
	px, py := (ox+x0)*sub+sub/2, (oy+y0)*sub+sub/2
	e0, e0x, e0y := edgeAt(b, c, px, py)
	e1, e1x, e1y := edgeAt(c, a, px, py)
	e2, e2x, e2y := edgeAt(a, b, px, py)
	area := float64((b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x))
	// depth by the weights of the corners, without the rule's bias
	ga, gb, gc := a.z/area, b.z/area, c.z/area
	zx := ga*float64(e0x) + gb*float64(e1x) + gc*float64(e2x)
	zy := ga*float64(e0y) + gb*float64(e1y) + gc*float64(e2y)
	z0 := a.z + zx*float64(px-a.x)/sub + zy*float64(py-a.y)/sub
	for y := y0; y <= y1; y++ {
		w0, w1, w2 := e0, e1, e2
		row := y * span
		z := z0
		for x := x0; x <= x1; x++ {
			if w0|w1|w2 >= 0 {
				if f := float32(z); f > t.z[row+x] {
					t.z[row+x], t.id[row+x] = f, index
				}
			}
			w0, w1, w2, z = w0+e0x, w1+e1x, w2+e2x, z+zx
		}
		e0, e1, e2, z0 = e0+e0y, e1+e1y, e2+e2y, z0+zy
	}
}

// edgeAt returns the edge function of a-b at a position, not negative on the
// side that belongs to the triangle, and its steps to the next sample.
func edgeAt(a, b *point, px, py int64) (e, ex, ey int64) {
	dx, dy := b.x-a.x, b.y-a.y
	e = dx*(py-a.y) - dy*(px-a.x)
	if !(dy < 0 || dy == 0 && dx > 0) {
		e-- // not a top or left edge
	}
	return e, -dy * sub, dx * sub
}

// paint draws and resolves all tiles.
func (st *stage) paint(ctx context.Context, img *image.NRGBA) error {
	tiles := make([]tile, st.o.Workers)
	return crew.Each(ctx, st.o.Workers, st.cols*st.rows, func(w, i int) {
		t := &tiles[w]
		st.draw(t, i)
		st.resolve(t, img)
	})
}

// each calls f for 0 to n-1 on several workers, in blocks.
func each(workers, n int, f func(i int)) {
	const block = 1024
	_ = crew.Each(context.Background(), workers, (n+block-1)/block, func(_, k int) {
		for i := k * block; i < min((k+1)*block, n); i++ {
			f(i)
		}
	})
}
