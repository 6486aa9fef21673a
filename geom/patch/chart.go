package patch

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// layout lays one surface out in the plane: the same way round everywhere, and
// one to one where the face is. What goes round an axis goes round the origin,
// the farther from it the higher, like a lampshade pressed flat: no seam. Balls
// are projected stereographically, which keeps angles, takes circles to circles
// and hence Delaunay triangles to Delaunay triangles.
type layout struct {
	*sheet
	side
	from, rise float64 // height that lies at the inner radius; radius per height
	steep      float64 // the most that the rise may be
	x, y, z    vec.P   // frame of a ball, z towards the middle of the layout
	around     bool    // of a torus: the tube's angle goes round, not the axis's
	turned     turned  // of a turned run
	pinch      bool    // the cut goes through a point at which the face touches itself
}

// about returns p's unit direction from the axis, distance and height.
func (l *layout) about(p vec.P) (x, y, r, t float64) {
	w := p.Sub(l.O)
	t = w.Dot(l.U)
	x, y = w.Dot(l.X), w.Dot(l.Y)
	r = math.Sqrt(float64(x*x) + float64(y*y))
	if r > 0 {
		x, y = x/r, y/r
	} else {
		x = 1
	}
	return x, y, r, t
}

// onCut in radians is how near to the cut a point lies that is on it.
const onCut = 1e-6

// end says on which side of a pinched cut a point lies that another lies beside:
// 0 where angles start, 1 where they end, and 0 for all points off the cut.
func (l *layout) end(p, beside vec.P) int32 {
	if !l.pinch {
		return 0
	}
	if w := l.along(p); w > onCut && w < 2*math.Pi-onCut || l.along(beside) < math.Pi {
		return 0
	}
	return 1
}

// along returns the angle from the cut of a layout that goes around the tube.
func (l *layout) along(p vec.P) float64 {
	x, y, _, _ := l.about(p)
	return round(math.Atan2(y, x) - l.from)
}

// flat returns where a point of the surface lies in the layout, mm or so.
func (l *layout) flat(b *builder, p vec.P, end int32) vec.P2 {
	switch l.Form {
	case sdf.FormPlane:
		return vec.P2{X: l.X.Dot(p), Y: l.Y.Dot(p)}
	case sdf.FormCylinder:
		x, y, _, t := l.about(p)
		return vec.P2{X: x, Y: y}.Mul(l.A + (t-l.from)*l.rise)
	case sdf.FormCone:
		x, y, r, t := l.about(p)
		return vec.P2{X: x, Y: y}.Mul(math.Hypot(r, t))
	case sdf.FormSphere:
		w := p.Sub(l.O).Unit()
		return vec.P2{X: w.Dot(l.x), Y: w.Dot(l.y)}.Mul(2 * l.A / (1 + w.Dot(l.z)))
	case sdf.FormTorus:
		x, y, r, t := l.about(p)
		if l.around {
			w := l.along(p)
			if l.pinch && (w < onCut || w > 2*math.Pi-onCut) {
				w = 2 * math.Pi * float64(end)
			}
			k := l.B * math.Exp(w*l.rise)
			s := math.Hypot(r-l.A, t)
			return vec.P2{X: (r - l.A) / s * k, Y: t / s * k}
		}
		w := round(math.Atan2(t, r-l.A) - l.from)
		return vec.P2{X: x, Y: y}.Mul(l.A + w*l.B*l.rise)
	case sdf.FormCapsule:
		x, y, r, t := l.about(p)
		if l.from > 0 { // the pole is the far end
			t = l.A - t
		}
		k := 0.0
		switch {
		case t < 0:
			k = l.B * math.Atan2(r, -t)
		case t <= l.A:
			k = l.B*math.Pi/2 + t*l.rise
		default:
			k = l.B*math.Pi/2 + l.A*l.rise + l.B*math.Atan2(t-l.A, r)
		}
		return vec.P2{X: x * k, Y: y * k}
	}
	w := p.Sub(l.O)
	switch l.Form {
	case sdf.FormTurned:
		x, y, r, t := l.about(p)
		return vec.P2{X: x, Y: y}.Mul(l.from + l.turned.length(vec.P2{X: r, Y: t}))
	case sdf.FormRim:
		if l.mitred() {
			break // beside the edge it would not be one to one
		}
		low := l.low(p)
		d, n := b.all.Slope(l.word, low)
		if in := l.B + d; in > 0 { // as many parts of the quarter turn as of the width
			turn := math.Atan2(in, p.Sub(low).Dot(l.U)) / (math.Pi / 2)
			w = w.Add(n.Mul(turn*l.B - in))
		}
	}
	if l.Form == sdf.FormRim {
		return vec.P2{X: w.Dot(l.X), Y: w.Dot(l.Y)}
	}
	_, n := b.all.Slope(l.word, p)
	k := (w.Dot(l.U) - l.from) * l.rise
	return vec.P2{X: w.Dot(l.X) + n.Dot(l.X)*k, Y: w.Dot(l.Y) + n.Dot(l.Y)*k}
}

// point is the inverse of flat.
func (l *layout) point(b *builder, q vec.P2) vec.P {
	k := q.Len()
	d := vec.P2{X: 1}
	if k > 0 {
		d = q.Mul(1 / k)
	}
	polar := func(r, t float64) vec.P {
		return l.O.Add(l.X.Mul(d.X * r)).Add(l.Y.Mul(d.Y * r)).Add(l.U.Mul(t))
	}
	switch l.Form {
	case sdf.FormPlane:
		return l.X.Mul(q.X).Add(l.Y.Mul(q.Y)).Add(l.U.Mul(l.A))
	case sdf.FormCylinder:
		return polar(l.A, l.from+(k-l.A)/l.rise)
	case sdf.FormCone:
		return polar(k*l.A, k*l.B)
	case sdf.FormSphere:
		s, c := math.Sincos(2 * math.Atan(k/(2*l.A)))
		return l.O.Add(l.x.Mul(d.X * s * l.A)).Add(l.y.Mul(d.Y * s * l.A)).Add(l.z.Mul(c * l.A))
	case sdf.FormTorus:
		if l.around {
			w := l.from + math.Log(k/l.B)/l.rise
			s, c := math.Sincos(w)
			r := l.A + l.B*d.X
			return l.O.Add(l.X.Mul(c * r)).Add(l.Y.Mul(s * r)).Add(l.U.Mul(l.B * d.Y))
		}
		s, c := math.Sincos(l.from + (k-l.A)/(l.B*l.rise))
		return polar(l.A+l.B*c, l.B*s)
	case sdf.FormCapsule:
		ball := l.B * math.Pi / 2
		r, t := l.B, 0.0
		switch side := l.A * l.rise; {
		case k < ball:
			s, c := math.Sincos(k / l.B)
			r, t = l.B*s, -l.B*c
		case k <= ball+side:
			t = (k - ball) / l.rise
		default:
			s, c := math.Sincos((k - ball - side) / l.B)
			r, t = l.B*c, l.A+l.B*s
		}
		if l.from > 0 {
			t = l.A - t
		}
		return polar(r, t)
	}
	if l.Form == sdf.FormTurned {
		at := l.turned.at(k - l.from)
		return polar(at.X, at.Y)
	}
	p := l.O.Add(l.X.Mul(q.X)).Add(l.Y.Mul(q.Y))
	if l.Form == sdf.FormRim {
		low := l.low(p)
		d, n := b.all.Slope(l.word, low)
		in := max(0, l.B+d)
		if l.mitred() {
			return low.Add(l.U.Mul(math.Sqrt(max(0, float64(l.B*l.B)-float64(in*in)))))
		}
		sin, cos := math.Sincos(in / l.B * (math.Pi / 2))
		if in > 0 {
			low = low.Add(n.Mul(l.B*sin - in))
		}
		return low.Add(l.U.Mul(l.B * cos))
	}
	v, n := b.all.Slope(l.word, p)
	return p.Sub(n.Mul(v)).Add(l.U.Mul(l.from + v/l.rise))
}

// low returns the point of a rim's layout in the plane of its seam, where the
// value of the surface is the distance from the outline.
func (s *sheet) low(p vec.P) vec.P {
	return p.Add(s.U.Mul(s.A - s.B - p.Sub(s.O).Dot(s.U)))
}

// round returns the angle within 0 and 2 pi.
func round(w float64) float64 {
	w = math.Mod(w, 2*math.Pi)
	if w < 0 {
		w += 2 * math.Pi
	}
	return w
}

// spread lays out what is above each other farther apart, where that may be: then
// fewer chords cross that are only narrowly above each other.
func (l *layout) spread() { l.rise = max(l.rise, min(2*l.rise, l.steep)) }

// bareBeyond is how far from the surface of the solid in mm a place is bare.
const bareBeyond = 1e-6

// bare reports whether the surface of the solid is not at p.
func (b *builder) bare(p vec.P) bool { return b.dist(p) > bareBeyond }

// free reports whether the face is not at p.
func (l *layout) free(b *builder, p vec.P) bool {
	_, ok := b.cut(l.id)
	return ok && b.half(l.id, p) != l.half || b.bare(p)
}

// closed returns the error of a surface that can't be opened.
func (l *layout) closed(b *builder, reason string) error {
	if _, ok := b.cut(l.id); ok {
		return refuse(reason, l.O)
	}
	return &uncut{[]int32{l.id}}
}

// layOut chooses the layout of a face, whose creases have the given points.
func (b *builder) layOut(f side, pts []vec.P) (*layout, error) {
	l := &layout{sheet: &b.surf[f.id], side: f}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range pts {
		t := p.Sub(l.O).Dot(l.U)
		lo, hi = min(lo, t), max(hi, t)
	}
	switch l.Form {
	case sdf.FormCylinder, sdf.FormWall:
		r := min(l.A, l.Bend)
		if l.Form == sdf.FormWall {
			r = l.Bend * 0.6
		}
		l.steep = 0.5 * r / (hi - lo)
		l.from, l.rise = lo, min(0.03, l.steep)
	case sdf.FormSphere:
		if l.away(b, pts) {
			return l, nil
		}
		return nil, l.closed(b, "a ball without a place to cut it open")
	case sdf.FormTorus:
		return l, l.cutOpen(b, pts)
	case sdf.FormTurned:
		l.turned = turnedRun(l.Run)
		if l.from = l.turned.at(0).X; l.from < onSurface {
			l.from = 0
			if l.turned.spans[len(l.Run)-1].B.X < onSurface {
				return nil, refuse("a turned outline that starts and ends on its axis", l.O)
			}
		}
	case sdf.FormCapsule:
		l.rise = 0.02
		near, far := l.O.Sub(l.U.Mul(l.B)), l.O.Add(l.U.Mul(l.A+l.B))
		if l.free(b, near) {
			l.from = 1
		} else if !l.free(b, far) {
			return nil, l.closed(b, "a capsule with both its ends")
		}
	}
	return l, nil
}

// away turns the ball's layout so that its rim is a bare place.
func (l *layout) away(b *builder, pts []vec.P) bool {
	best := -2.0
	for i := range 50 { // a spiral of directions
		z := 1 - (float64(i)+0.5)/25
		s, c := math.Sincos(float64(i) * 2.399963)
		r := math.Sqrt(1 - float64(z*z))
		d := vec.P{X: r * c, Y: r * s, Z: z}
		if !l.free(b, l.O.Add(d.Mul(l.A))) {
			continue
		}
		clear := math.Inf(1)
		for _, p := range pts {
			clear = min(clear, 1-p.Sub(l.O).Unit().Dot(d))
		}
		if clear > best {
			best, l.z = clear, d.Neg()
		}
	}
	if best < 1e-3 {
		return false
	}
	l.x = l.z.Square()
	l.y = l.z.Cross(l.x)
	return true
}

// cutOpen finds a circle of the torus that is bare: round the axis, or round
// the tube.
func (l *layout) cutOpen(b *builder, pts []vec.P) error {
	for _, around := range [2]bool{false, true} {
		var used [64]bool
		for _, p := range pts {
			x, y, r, t := l.about(p)
			w := math.Atan2(t, r-l.A)
			if around {
				w = math.Atan2(y, x)
			}
			used[int(round(w)/(2*math.Pi)*64)&63] = true
		}
		for {
			cut, first, n := widest(&used)
			if n == 0 {
				break
			}
			for i := range n {
				used[(first+i)&63] = true
			}
			if !l.bareRound(b, cut, around) {
				continue
			}
			l.from, l.around, l.rise = cut, around, min(1, l.A/(2*math.Pi*l.B))
			if around { // true to angles, but for rings so long that it would grow out of hand
				part := 2 * math.Pi / 64
				l.from += part * (float64(n)/2 - min(1, float64(n)/2))
				l.rise = min(l.A/l.B, 5/(part*float64(64-n)))
			}
			return nil
		}
	}
	for i := range b.corners {
		k := &b.corners[i]
		if len(k.branches) < 4 || k.branches[0].pair != k.branches[3].pair || math.Abs(b.all.Value(l.word, k.at)) > snap {
			continue
		}
		x, y, _, _ := l.about(k.at)
		if cut := math.Atan2(y, x); l.bareRound(b, cut, true) {
			l.from, l.around, l.pinch, l.rise = cut, true, true, min(l.A/l.B, 5/(2*math.Pi))
			return nil
		}
	}
	return l.closed(b, "a ring without a place to cut it open")
}

// bareRound reports whether the torus is bare along the circle at an angle: of
// the axis where it goes around the tube, else of the tube.
func (l *layout) bareRound(b *builder, cut float64, around bool) bool {
	for i := range 24 {
		v := (float64(i) + 0.137) / 24 * 2 * math.Pi
		th, ph := v, cut
		if around {
			th, ph = cut, v
		}
		s, c := math.Sincos(th)
		u, w := math.Sincos(ph)
		r := l.A + l.B*w
		if !l.free(b, l.O.Add(l.X.Mul(c*r)).Add(l.Y.Mul(s*r)).Add(l.U.Mul(l.B*u))) {
			return false
		}
	}
	return true
}

// widest returns the middle angle, the first part and the number of parts of
// the widest gap in a circle of 64 parts.
func widest(used *[64]bool) (middle float64, first, parts int) {
	for i := range used {
		n := 0
		for n < 64 && !used[(i+n)&63] {
			n++
		}
		if n > parts {
			first, parts = i, n
		}
	}
	return (float64(first) + float64(parts)/2) / 64 * 2 * math.Pi, first, parts
}
