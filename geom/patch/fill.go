package patch

import (
	"maps"
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

// manner says what a point that is added keeps away from.
type manner uint8

const (
	roomy  manner = iota // other points, and chords of creases that are bent
	tight                // such chords alone
	forced               // nothing
)

// add puts the point of the surface in the middle of the given vertices into
// the face, where there is room.
func (b *builder) add(f *face, how manner, near int32, of ...int32) outcome {
	var x, y int64
	for _, v := range of {
		p := f.tri.Points[v]
		x, y = x+int64(p.X), y+int64(p.Y)
	}
	n := int64(len(of))
	at := delaunay.Point{X: int32(x / n), Y: int32(y / n)}
	far := 0.0
	if how == roomy {
		p, q := f.tri.Points[of[0]], f.tri.Points[of[1]]
		far = closeness * math.Hypot(float64(p.X)-float64(q.X), float64(p.Y)-float64(q.Y))
	}
	return b.put(f, at, near, room{f.within(at, far), how != forced})
}

// room is what a point that is added keeps away from.
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

// beside returns the bent chord of its triangle that a place is too near to, if
// there is one.
func (b *builder) beside(f *face, t *delaunay.Triangle, at delaunay.Point) (slot int, ok bool) {
	for k := range 3 {
		x, y := t.V[(k+1)%3], t.V[(k+2)%3]
		if t.Fixed>>k&1 != 0 && b.slim(f, at, x, y) && b.sag(f.id, b.at(f, x), b.at(f, y)) > straight*b.tol {
			return k, true
		}
	}
	return 0, false
}

// slim reports whether a place is too near to the chord from x to y: in the layout,
// or in space where the layout shows some of the face edge on.
func (b *builder) slim(f *face, at delaunay.Point, x, y int32) bool {
	if !f.lay.mitred() {
		return slim(at, f.tri.Points[x], f.tri.Points[y], besideChord)
	}
	p, from, to := b.placed(f, at), b.at(f, x), b.at(f, y)
	d := to.Sub(from)
	return p.Sub(from).Cross(d).Len() < besideChord*d.Len2()
}

// placed returns the point of the surface at a place of the layout, or near it.
func (b *builder) placed(f *face, at delaunay.Point) vec.P {
	return f.lay.point(b, vec.P2{X: float64(at.X) / f.scale, Y: float64(at.Y) / f.scale})
}

// put adds the point of the surface at a place of the layout, where there is room.
func (b *builder) put(f *face, at delaunay.Point, near int32, room room) outcome {
	f.barred = f.barred[:0]
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
	q, ok := b.meet([]int32{f.id}, b.placed(f, at))
	if !ok || b.dist(q) > onSurface {
		return blocked
	}
	if room.chords {
		if k, ok := b.beside(f, t, at); ok {
			f.barred = append(f.barred, delaunay.EdgeOf(pl.Triangle, k))
			return blocked
		}
	}
	v, err := f.tri.Insert(at, pl.Triangle)
	if err != nil || int(v) != len(f.verts) {
		return blocked
	}
	f.inner(q)
	return added
}

// fill adds points until the triangles keep the tolerance. It returns chords
// that are too long for that.
func (b *builder) fill(f *face) (cut [][2]int32, err error) {
	if f.lay.Form == sdf.FormPlane {
		return nil, nil
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
		how := roomy
		if round%3 == 2 { // now and then what is crowded has its turn
			how = tight
		}
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
			switch b.add(f, how, w.near, w.of...) {
			case added:
				done = true
				continue
			case crowded:
				continue
			}
			chords := f.barred
			if len(chords) == 0 {
				chords = f.bounds(w.near)
			}
			for _, e := range chords {
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
		if !done && how == tight {
			return nil, refuse("a face that leaves the tolerance", b.at(f, wants[0].of[0]))
		}
	}
	return nil, refuse("a face that needs too many points", b.at(f, 0))
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

// single gives a point to every inner edge that exists in two faces, or is the chord
// of a crease of others.
func (b *builder) single(list []*face) error {
	creased := make([]bool, len(b.pts))
	chords := map[[2]int32]int{}
	for i := range b.arcs {
		pts := b.arcs[i].pts
		for n, k := range pts {
			creased[k] = true
			if n > 0 {
				chords[[2]int32{min(k, pts[n-1]), max(k, pts[n-1])}] = -1
			}
		}
	}

	type bridge struct { // an inner edge of a face between two points of creases
		near int32
		x, y int32
	}
	bridges := make([][]bridge, len(list))
	for range 4 {
		err := b.each(len(list), func(_, n int) error {
			f := list[n]
			bridges[n] = bridges[n][:0]
			for i, t := range f.tri.Inside() {
				for k := range 3 {
					x, y := t.V[(k+1)%3], t.V[(k+2)%3]
					if p, q := f.verts[x], f.verts[y]; t.Fixed>>k&1 == 0 && p >= 0 && q >= 0 && creased[p] && creased[q] {
						bridges[n] = append(bridges[n], bridge{i, x, y})
					}
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		seen := maps.Clone(chords)
		var bad bool
		for n, f := range list {
			changed := false
			for _, w := range bridges[n] {
				key := b.key(f, w.x, w.y)
				if m, ok := seen[key]; !ok || m == n {
					seen[key] = n
					continue
				}
				if w.x > w.y {
					continue
				}
				bad, changed = true, true
				if b.add(f, forced, w.near, w.x, w.y) != added {
					return refuse("an edge in two faces", b.at(f, w.x))
				}
			}
			if changed {
				b.flips(f, fillShare*b.tol)
			}
		}
		if !bad {
			return nil
		}
	}
	return refuse("edges in two faces", b.pts[0])
}
