package patch

import (
	"math"
	"slices"

	"waxwright/geom/delaunay"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// closeness is how near to others, as a share of the edge that it halves, a
// point is not added yet.
const closeness = 0.45

// besideChord is how near to a crease's chord, as a share of its length, no point
// is added: where one is needed there, the chord is too long, unless it leaves the
// surface by less than the share straight of the tolerance.
const (
	besideChord = 0.05
	straight    = 0.05
)

// fillShare is the share of the tolerance by which triangles may leave the
// surface before fill adds points.
const fillShare = 0.95

// outcome says what became of a point.
type outcome uint8

const (
	added   outcome = iota
	crowded         // other points are close by
	blocked         // its place is not on the face
)

// add puts the point of the surface in the middle of the given vertices into
// the face, where there is room.
func (b *builder) add(f *face, roomy, chords bool, near int32, of ...int32) outcome {
	var x, y int64
	for _, v := range of {
		p := f.tri.Points[v]
		x, y = x+int64(p.X), y+int64(p.Y)
	}
	n := int64(len(of))
	at := delaunay.Point{X: int32(x / n), Y: int32(y / n)}
	far := 0.0
	if roomy {
		p, q := f.tri.Points[of[0]], f.tri.Points[of[1]]
		far = closeness * math.Hypot(float64(p.X)-float64(q.X), float64(p.Y)-float64(q.Y))
	}
	return b.put(f, at, near, room{f.within(at, far), chords})
}

// room says what a point that is added keeps away from.
type room struct {
	close  func(v int32) bool // vertices that are too close
	chords bool               // chords of creases that are bent
}

// within tells which vertices are nearer to a place of the layout than room.
func (f *face) within(at delaunay.Point, room float64) func(v int32) bool {
	return func(v int32) bool {
		p := f.tri.Points[v]
		return math.Hypot(float64(p.X)-float64(at.X), float64(p.Y)-float64(at.Y)) < room
	}
}

// beside reports whether a place is too near to a bent chord of its triangle.
func (b *builder) beside(f *face, t *delaunay.Triangle, at delaunay.Point) bool {
	for k := range 3 {
		x, y := t.V[(k+1)%3], t.V[(k+2)%3]
		if t.Fixed>>k&1 != 0 && slim(at, f.tri.Points[x], f.tri.Points[y], besideChord) && b.sag(f.id, b.at(f, x), b.at(f, y)) > straight*b.tol {
			return true
		}
	}
	return false
}

// put adds the point of the surface at a place of the layout, where there is room.
func (b *builder) put(f *face, at delaunay.Point, near int32, room room) outcome {
	pl := f.tri.Locate(at, near)
	switch pl.Kind {
	case delaunay.OnVertex:
		return crowded
	case delaunay.Outside:
		return blocked
	}
	t := &f.tri.Triangles[pl.Triangle]
	if !t.Inside || pl.Kind == delaunay.OnEdge && t.Fixed>>pl.Slot&1 != 0 {
		return blocked
	}
	for _, v := range t.V {
		if room.close(v) {
			return crowded
		}
	}
	q, ok := b.meet([]int32{f.id}, f.lay.point(b, vec.P2{X: float64(at.X) / f.scale, Y: float64(at.Y) / f.scale}))
	if !ok || !b.reaches(q, onSurface) {
		return blocked
	}
	if room.chords && b.beside(f, t, at) {
		return blocked
	}
	v, err := f.tri.Insert(at, pl.Triangle)
	if err != nil || int(v) != len(f.verts) {
		return blocked
	}
	f.inner(q)
	return added
}

// sag returns how far a chord leaves a surface: in its middle, at the quarters
// where the bend may change along it, and where a capsule's sides begin.
func (b *builder) sag(id int32, p, q vec.P) float64 {
	off := func(t float64) float64 { return math.Abs(b.value(id, p.Lerp(q, t))) }
	most := off(0.5)
	s := &b.surf[id]
	switch s.Form {
	case sdf.FormCapsule:
		from, to := p.Sub(s.O).Dot(s.U), q.Sub(s.O).Dot(s.U)
		for _, end := range [2]float64{0, s.A} {
			if (from < end) != (to < end) {
				most = max(most, off((end-from)/(to-from)))
			}
		}
	case sdf.FormWall, sdf.FormTurned, sdf.FormRim:
		most = max(most, off(0.25), off(0.75))
	}
	return most
}

// fill adds points until the triangles keep the tolerance. It returns chords
// that are too long for that.
func (b *builder) fill(f *face) (cut [][2]int32, err error) {
	if f.lay.Form == sdf.FormPlane {
		return nil, nil
	}
	if f.lay.Form == sdf.FormRim {
		b.rows(f)
	}
	b.sow(f)
	limit := fillShare * b.tol
	f.gauges = f.gauges[:0]
	type want struct {
		near int32
		of   []int32
	}
	for round := range 60 {
		if err := b.ctx.Err(); err != nil {
			return nil, err
		}
		tight := round%3 == 2 // now and then what is crowded has its turn
		b.flips(f, limit)
		var wants []want
		for i, t := range f.tri.Inside() {
			any := false
			for k := range 3 {
				if b.chordOff(f, i, k) > limit {
					any = true
					if x, y := t.V[(k+1)%3], t.V[(k+2)%3]; x < y {
						wants = append(wants, want{i, []int32{x, y}})
					}
				}
			}
			if !any && b.gauge(f, i).middle > limit {
				wants = append(wants, want{i, []int32{t.V[0], t.V[1], t.V[2]}})
			}
		}
		if len(wants) == 0 {
			return cut, nil
		}
		done := false
		for _, w := range wants {
			switch b.add(f, !tight, true, w.near, w.of...) {
			case added:
				done = true
				continue
			case crowded:
				continue
			}
			for _, e := range f.bounds(w.near) {
				from, to := f.tri.Ends(e)
				cut = append(cut, b.key(f, from, to))
			}
		}
		if len(f.verts) > 200_000 {
			return nil, refuse("a face of too many points", b.at(f, wants[0].of[0]))
		}
		if len(cut) > 0 {
			return cut, nil
		}
		if !done && tight {
			return nil, refuse("a face that leaves the tolerance", b.at(f, wants[0].of[0]))
		}
	}
	return nil, refuse("a face that needs too many points", b.at(f, 0))
}

// gauge is how far a triangle and its edges leave the surface of their face, mm.
type gauge struct {
	v      [3]int32
	chord  [3]float64 // by the vertex opposite; 0 if fixed, or for the neighbour to tell
	middle float64
}

// gauge measures a triangle, unless it is what it was.
func (b *builder) gauge(f *face, i int32) *gauge {
	if n := len(f.tri.Triangles); len(f.gauges) < n {
		f.gauges = append(f.gauges, make([]gauge, n-len(f.gauges))...)
	}
	g, t := &f.gauges[i], &f.tri.Triangles[i]
	if g.v == t.V {
		return g
	}
	*g = gauge{v: t.V}
	var c [3]vec.P
	for k, v := range t.V {
		c[k] = b.at(f, v)
	}
	for k := range 3 {
		if x, y := (k+1)%3, (k+2)%3; t.Fixed>>k&1 == 0 && t.V[x] < t.V[y] {
			g.chord[k] = b.sag(f.id, c[x], c[y])
		}
	}
	g.middle = b.centreOff(f.id, c[0], c[1], c[2])
	return g
}

// chordOff returns how far an edge leaves the surface, 0 for a fixed one.
func (b *builder) chordOff(f *face, i int32, k int) float64 {
	t := &f.tri.Triangles[i]
	if t.V[(k+1)%3] > t.V[(k+2)%3] && t.Fixed>>k&1 == 0 {
		e := t.N[k]
		i, k = e.Triangle(), e.Slot()
	}
	return b.gauge(f, i).chord[k]
}

// centreOff returns how far the middle of a triangle is from a surface.
func (b *builder) centreOff(id int32, p, q, r vec.P) float64 {
	return math.Abs(b.value(id, p.Add(q).Add(r).Mul(1.0/3)))
}

// bounds returns the fixed edges of a triangle; where it has none, those of the
// nearest ones that have some.
func (f *face) bounds(near int32) (found []delaunay.Edge) {
	const most = 64 // triangles looked at
	seen := []int32{near}
	for from, to := 0, 1; len(found) == 0 && from < to && to < most; from, to = to, len(seen) {
		for _, i := range seen[from:to] {
			t := &f.tri.Triangles[i]
			for k, g := range t.N {
				if t.Fixed>>k&1 != 0 {
					found = append(found, delaunay.EdgeOf(i, k))
				} else if !slices.Contains(seen, g.Triangle()) {
					seen = append(seen, g.Triangle())
				}
			}
		}
	}
	return found
}

// rowShare is the share of the tolerance for the chords across the rows of a rim,
// which comes on top of that along them.
const rowShare = 0.2

// rows adds points to the rounded edge of a rim in rows along its seam, which
// makes triangles as long as the outline allows and as narrow as the rounding
// asks.
func (b *builder) rows(f *face) {
	l := f.lay
	turn := 2 * math.Acos(max(0, 1-rowShare*b.tol/l.B))
	n := int(math.Ceil(math.Pi / 2 / turn))
	apart := 0.3 * l.B / float64(n) * f.scale
	near := int32(0)
	for _, i := range f.arcs {
		a := &b.arcs[i]
		if b.beyond[a.pair] != f.id || a.b < int32(b.faced.Surfaces()) && !b.faced.Seam(int(a.b)) {
			continue
		}
		for _, k := range a.pts {
			p := b.pts[k]
			_, out := b.slope(f.id, p)
			q := l.flat(b, p, 0)
			inward := vec.P2{X: -out.Dot(l.X) * l.B, Y: -out.Dot(l.Y) * l.B}
			for row := 1; row <= n; row++ {
				at := q.Add(inward.Mul(float64(row) / float64(n)))
				pl := f.place(at)
				b.put(f, pl, near, room{f.within(pl, apart), true})
			}
		}
	}
}

// single gives a point to every inner edge that exists in two faces.
func (b *builder) single(list []*face) error {
	creased := make([]bool, len(b.pts))
	for i := range b.arcs {
		for _, k := range b.arcs[i].pts {
			creased[k] = true
		}
	}

	for range 4 {
		seen := map[[2]int32]int{}
		var bad bool
		for n, f := range list {
			type want struct {
				near int32
				x, y int32
			}
			var wants []want
			for i, t := range f.tri.Inside() {
				for k := range 3 {
					x, y := t.V[(k+1)%3], t.V[(k+2)%3]
					key := b.key(f, x, y)
					if t.Fixed>>k&1 != 0 || key[0] < 0 || !creased[key[0]] || !creased[key[1]] {
						continue
					}
					if m, ok := seen[key]; ok && m != n {
						if x < y {
							wants = append(wants, want{i, x, y})
						}
						continue
					}
					seen[key] = n
				}
			}
			for _, w := range wants {
				bad = true
				if b.add(f, false, false, w.near, w.x, w.y) != added {
					return refuse("an edge in two faces", b.at(f, w.x))
				}
			}
			if len(wants) > 0 {
				b.flips(f, fillShare*b.tol)
			}
		}
		if !bad {
			return nil
		}
	}
	return refuse("edges in two faces", b.pts[0])
}
