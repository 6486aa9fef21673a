package picture

import (
	"cmp"
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Edge is a piece of the border of a cut face, in world coordinates.
type Edge struct{ A, B vec.P }

// Section cuts a placed mesh by a plane and returns the border of the cut face
// as edges with the material to their left, seen from beyond the plane. The
// edges of a closed mesh make closed loops; their order is that of the
// triangles. Corners on the plane count as not beyond it.
func Section(m *mesh.Mesh, place vec.Place, cut Plane) ([]Edge, error) {
	o, err := Options{Cut: &cut}.checked()
	if err != nil {
		return nil, err
	}
	sp := &soup{cut: o.Cut, rims: make([][]edge, 1)}
	it := Item{Mesh: m, Place: place, Look: Matte{}}
	if err := checkItem(it); err != nil {
		return nil, err
	}
	if err := sp.add(it, nil, nil); err != nil {
		return nil, err
	}
	edges := make([]Edge, len(sp.rims[0]))
	for i, e := range sp.rims[0] {
		edges[i] = Edge{e.a, e.b}
	}
	return edges, nil
}

// SectionArea returns the area inside closed loops of edges as Section returns
// them, in square millimetres (Green's theorem).
func SectionArea(edges []Edge, cut Plane) float64 {
	if len(edges) == 0 {
		return 0
	}
	n, at := cut.Normal.Unit(), edges[0].A
	sum := 0.0
	for _, e := range edges {
		sum += n.Dot(e.A.Sub(at).Cross(e.B.Sub(at)))
	}
	return sum / 2
}

// capFace is an item's cut face on the picture.
type capFace struct {
	item  int
	edges []capEdge
}

// capEdge is a border piece in samples.
type capEdge struct{ ax, ay, bx, by float64 }

// prepareCaps projects the borders of the cut faces that are seen.
func (st *stage) prepareCaps() {
	if st.cut == nil || !st.capSeen() {
		return
	}
	for i, rim := range st.rims {
		if len(rim) == 0 {
			continue
		}
		c := capFace{item: i}
		for _, e := range rim {
			ax, ay, _ := st.cam.Project(e.a)
			bx, by, _ := st.cam.Project(e.b)
			c.edges = append(c.edges, capEdge{ax * grid, ay * grid, bx * grid, by * grid})
		}
		st.caps = append(st.caps, c)
	}
}

// capSeen reports whether the cut faces the viewer.
func (st *stage) capSeen() bool { return st.cut.Normal.Dot(st.cam.sight(st.cutPoint())) < -0.01 }

func (st *stage) cutPoint() vec.P {
	c := st.tent.center
	return c.Sub(st.cut.Normal.Mul(st.cut.beyond(c)))
}

// draw fills the samples of a tile that lie inside the border: row by row, by
// winding number, which needs no loops. Then it draws the border.
func (c *capFace) draw(st *stage, t *tile) {
	var near []capEdge // all in the tile's rows: those to its left count too
	for _, e := range c.edges {
		if max(e.ay, e.by) >= float64(t.oy) && min(e.ay, e.by) <= float64(t.oy+span) {
			near = append(near, e)
		}
	}
	if len(near) == 0 {
		return
	}
	var row []capCrossing
	for y := range span {
		sy := float64(t.oy+y) + 0.5
		row = row[:0]
		for _, e := range near {
			if (e.ay <= sy) == (e.by <= sy) {
				continue
			}
			w := 1
			if e.ay > e.by {
				w = -1
			}
			row = append(row, capCrossing{e.ax + (sy-e.ay)/(e.by-e.ay)*(e.bx-e.ax), w})
		}
		slices.SortStableFunc(row, func(a, b capCrossing) int { return cmp.Compare(a.x, b.x) })
		wind := 0
		for i := 0; i+1 < len(row); i++ {
			wind += row[i].wind
			if wind == 0 {
				continue
			}
			x0 := max(int(math.Ceil(row[i].x-0.5)), t.ox)
			x1 := min(int(math.Ceil(row[i+1].x-0.5)), t.ox+span)
			for x := x0; x < x1; x++ {
				st.capSample(c, t, x, y, sy)
			}
		}
	}
	for _, e := range near {
		c.border(t, e)
	}
}

// capCrossing is where a row of samples crosses the border.
type capCrossing struct {
	x    float64
	wind int
}

// borderWidth is how far into a cut face its border reaches, in samples.
const borderWidth = 1.4 * grid

// border marks the samples of the cut face that lie close to one edge.
func (c *capFace) border(t *tile, e capEdge) {
	x0 := max(int(min(e.ax, e.bx)-borderWidth)-t.ox, 0)
	x1 := min(int(max(e.ax, e.bx)+borderWidth)-t.ox, span-1)
	y0 := max(int(min(e.ay, e.by)-borderWidth)-t.oy, 0)
	y1 := min(int(max(e.ay, e.by)+borderWidth)-t.oy, span-1)
	dx, dy := e.bx-e.ax, e.by-e.ay
	long := max(dx*dx+dy*dy, 1e-12)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			at := &t.id[y*span+x]
			if *at != capID(c.item, false) {
				continue
			}
			px, py := float64(t.ox+x)+0.5-e.ax, float64(t.oy+y)+0.5-e.ay
			s := max(0, min((px*dx+py*dy)/long, 1))
			if math.Hypot(px-s*dx, py-s*dy) <= borderWidth {
				*at = capID(c.item, true)
			}
		}
	}
}

// capID is the mark of an item's cut face, or of its border, in the buffer.
func capID(item int, border bool) int32 {
	if border {
		return int32(capMark - 2*item - 1)
	}
	return int32(capMark - 2*item)
}

// capSample draws one sample of a cut face.
func (st *stage) capSample(c *capFace, t *tile, x, y int, sy float64) {
	o, d := st.cam.ray((float64(x)+0.5)/grid, sy/grid)
	p := o.Sub(d.Mul(st.cut.beyond(o) / st.cut.Normal.Dot(d)))
	z := float32(st.depth(p.Sub(st.cam.Center).Dot(st.cam.Back)))
	at := y*span + x - t.ox
	if z >= t.z[at] {
		t.z[at], t.id[at] = z, capID(c.item, false)
	}
}

// Hatching after drawing practice: thin lines at 45 degrees.
const (
	hatchStep  = 9.0 // pixels between lines
	hatchWidth = 1.2 // pixels
)

var borderInk = light{0.035, 0.030, 0.026}

// hatch is the display light of a cut face; id is its mark.
func (st *stage) hatch(id int32, x, y float64) light {
	mark := int(capMark - id)
	if mark%2 == 1 {
		return borderInk
	}
	b := &st.items[mark/2]
	base := linear(b.lookColor()).times(0.80).mix(light{0.80, 0.76, 0.70}, 0.4)
	line := linear(b.lookColor()).times(0.16)
	u := (x + y) / math.Sqrt2
	if b.gem != nil {
		u = (x - y) / math.Sqrt2
	}
	off := math.Abs(math.Mod(math.Mod(u, hatchStep)+hatchStep, hatchStep) - hatchStep/2)
	return base.mix(line, smooth(hatchWidth/2+0.5, hatchWidth/2-0.5, off))
}
