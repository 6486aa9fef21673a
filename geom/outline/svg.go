package outline

import (
	"errors"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// SVG says how path data becomes millimetres.
type SVG struct {
	Width float64 // of the result's bounding box in mm; 0: one path unit is 1 mm
	Tol   float64 // how far arcs may stray from the path's curves in mm; 0: SVGTol
}

const (
	// SVGTol is the tolerance in mm that FromSVG takes when none is given.
	SVGTol = 0.001
	// MostSVG is the length of path data in bytes that FromSVG reads.
	MostSVG = 64 << 10
)

// FromSVG reads path data (the d attribute of an SVG path: W3C SVG 2, section
// 9.3) and returns the region that the path fills, its bounding box centred at
// the origin, scaled to opt.Width, y turned upwards. Open subpaths are closed
// by a line, as a fill closes them. A subpath inside another is a hole, one
// inside a hole is metal again (the even-odd rule). Lines and circular arcs
// stay exact; Bézier curves and elliptic arcs become arcs within opt.Tol.
//
// It fails on bad path data, on more than MostSVG bytes or 20,000 segments,
// and where subpaths cross or touch themselves or each other. Errors give byte
// positions, counted from 0.
func FromSVG(d string, opt SVG) (Outline, error) {
	if len(d) > MostSVG {
		return Outline{}, fmt.Errorf("path data of %d bytes, the most is %d", len(d), MostSVG)
	}
	if opt.Tol == 0 {
		opt.Tol = SVGTol
	}
	if err := sized("path tolerance", opt.Tol); err != nil {
		return Outline{}, err
	}
	r := pathReader{d: d}
	if err := r.read(); err != nil {
		return Outline{}, err
	}
	to, err := frame(r.paths, opt.Width)
	if err != nil {
		return Outline{}, err
	}
	var loops []Loop
	var origin [][]int // byte position of each segment's command
	left := mostSegments
	for _, path := range r.paths {
		l, pos, err := to.loop(path, opt.Tol, left)
		if err != nil {
			return Outline{}, err
		}
		left -= len(l)
		if !l.flat() {
			loops, origin = append(loops, l), append(origin, pos)
		}
	}
	if len(loops) == 0 {
		return Outline{}, errors.New("the path encloses nothing")
	}
	o, err := New(loops...)
	if c := (*clash)(nil); errors.As(err, &c) {
		a, b := origin[c.a.loop][c.a.seg], origin[c.b.loop][c.b.seg]
		return Outline{}, fmt.Errorf("path data, byte %d: what is drawn there %s what is drawn at byte %d, at (%.6g, %.6g) mm", a, c.what, b, c.at.X, c.at.Y)
	}
	if err != nil {
		return Outline{}, fmt.Errorf("path data: %w", err)
	}
	return o, nil
}

// flat reports whether the loop runs to and fro on one line and fills nothing.
func (l Loop) flat() bool {
	if len(l) < 2 {
		return true
	}
	far := l[0].At
	for _, s := range l {
		if s.At.Sub(l[0].At).Len() > far.Sub(l[0].At).Len() {
			far = s.At
		}
	}
	line := NewSpan(l[0].At, far, 0)
	for i := range l {
		s := l.Span(i)
		if math.Abs(line.level(s.A)) > 3*touch || math.Abs(line.level(s.Point(0.5))) > 3*touch {
			return false
		}
	}
	return true
}

// sheet takes path units to millimetres: the middle to the origin, y upwards.
type sheet struct {
	middle vec.P2
	scale  float64 // mm per unit
}

// frame returns the sheet that gives the paths the width in mm.
func frame(paths []subpath, width float64) (sheet, error) {
	b := vec.Empty2()
	for _, path := range paths {
		for _, s := range path {
			b = b.With(s.from).With(s.to)
			if s.curve != nil {
				b = b.Union(extent(s.curve))
			}
		}
	}
	if !b.Finite() {
		return sheet{}, errors.New("the path encloses nothing")
	}
	f := sheet{b.Center(), 1}
	if width != 0 {
		if err := sized("path width", width); err != nil {
			return sheet{}, err
		}
		if f.scale = width / b.Size().X; math.IsInf(f.scale, 0) {
			return sheet{}, errors.New("the path has no width")
		}
	}
	return f, nil
}

// extent returns the box of a curve.
func extent(c curve) vec.Box2 {
	b := vec.Empty2().With(c.at(0)).With(c.at(1))
	add := func(t float64) {
		if t > 0 && t < 1 {
			b = b.With(c.at(t))
		}
	}
	switch c := c.(type) {
	case cubic:
		// where a coordinate of the derivative is 0
		p, q, r := c[1].Sub(c[0]), c[2].Sub(c[1]), c[3].Sub(c[2])
		for _, t := range roots(p.X, q.X, r.X) {
			add(t)
		}
		for _, t := range roots(p.Y, q.Y, r.Y) {
			add(t)
		}
	case ellipse:
		for _, a := range [2]float64{math.Atan2(c.v.X, c.u.X), math.Atan2(c.v.Y, c.u.Y)} {
			for k := -4.0; k <= 4; k++ { // all angles within two turns of a
				add((a + float64(k*math.Pi) - c.a0) / c.sweep)
			}
		}
	}
	return b
}

// roots returns where the quadratic Bézier with the values p, q, r is 0; the
// results may be no numbers.
func roots(p, q, r float64) [2]float64 {
	a, b := p-2*q+r, p-q // a t^2 - 2 b t + p
	s := b + math.Copysign(math.Sqrt(float64(b*b)-float64(a*p)), b)
	return [2]float64{s / a, p / s}
}

func (f sheet) vector(v vec.P2) vec.P2 { return vec.P2{X: v.X * f.scale, Y: -v.Y * f.scale} }
func (f sheet) point(p vec.P2) vec.P2  { return f.vector(p.Sub(f.middle)) }

// loop returns the closed loop of a subpath in mm, and the byte position of
// each segment.
func (f sheet) loop(path subpath, tol float64, most int) (l Loop, pos []int, err error) {
	add := func(s Seg, at int) {
		if n := len(l) - 1; n >= 0 && l[n].At.Sub(s.At).Len() <= 3*touch {
			l[n].Bulge, pos[n] = s.Bulge, at // the piece before has no length
			return
		}
		l, pos = append(l, s), append(pos, at)
	}
	for _, s := range path {
		segs, ok := f.segs(s, tol, most-len(l))
		if !ok {
			return nil, nil, fmt.Errorf("path data, byte %d: more than %d segments for the tolerance %g", s.pos, mostSegments, tol)
		}
		for _, seg := range segs {
			add(seg, s.pos)
		}
	}
	last := path[len(path)-1]
	add(Seg{At: f.point(last.to)}, last.pos) // the closing line
	if n := len(l) - 1; n > 0 && l[n].At.Sub(l[0].At).Len() <= 3*touch {
		l, pos = l[:n], pos[:n]
	}
	return l, pos, nil
}

// segs returns the lines and arcs of one stroke.
func (f sheet) segs(s stroke, tol float64, most int) (Loop, bool) {
	var c curve
	switch k := s.curve.(type) {
	case nil:
		return Loop{{At: f.point(s.from)}}, true
	case cubic:
		b := cubic{f.point(k[0]), f.point(k[1]), f.point(k[2]), f.point(k[3])}
		if b.straight() {
			return Loop{{At: b[0]}}, true
		}
		c = b
	case ellipse:
		e := ellipse{f.point(k.c), f.vector(k.u), f.vector(k.v), k.a0, k.sweep}
		if segs, ok := e.round(f.point(s.from)); ok {
			return segs, true
		}
		c = e
	}
	l, ok := fit(nil, c, tol, most)
	if ok {
		l[0].At = f.point(s.from)
	}
	return l, ok
}

// straight reports whether the curve runs straight from end to end.
func (c cubic) straight() bool {
	way := c[3].Sub(c[0])
	e, l := way.Unit(), way.Len()
	for _, p := range c[1:3] {
		w := p.Sub(c[0])
		if t := w.Dot(e); math.Abs(w.Cross(e)) > touch || t < 0 || t > l {
			return false
		}
	}
	return l > 0
}

// round returns the arcs of an ellipse that is a circle: one, or two where it
// turns by more than half.
func (e ellipse) round(from vec.P2) (Loop, bool) {
	r := e.u.Len()
	if math.Abs(e.v.Len()-r) > circleSlack*r || math.Abs(e.u.Dot(e.v)) > circleSlack*r*r {
		return nil, false
	}
	sweep := e.sweep
	if e.u.Cross(e.v) < 0 { // a mirrored frame turns the other way
		sweep = -sweep
	}
	if math.Abs(sweep) <= math.Pi {
		return Loop{{from, arcBulge(sweep)}}, true
	}
	return Loop{{from, arcBulge(sweep / 2)}, {e.at(0.5), arcBulge(sweep / 2)}}, true
}
