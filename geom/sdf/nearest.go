package sdf

import (
	"math"

	"waxwright/geom/vec"
)

// View is what is left of a Code in a box when values matter: in the box its
// Dist is a bound of the distance with the Code's zero set, and cheap.
type View struct{ local Local }

// Within returns the view of c in the box.
func (c *Code) Within(b vec.Box) View {
	var v View
	v.Move(c, b)
	return v
}

// Move makes v the view of c in another box, reusing v's memory.
func (v *View) Move(c *Code, b vec.Box) {
	v.local.code = c
	v.local.prog, v.local.extra = v.local.prog[:0], v.local.extra[:0]
	if c.all.Empty() || b.IsEmpty() {
		return
	}
	z := valuer{src: &c.all, dst: &v.local, box: b, at: b.Center(), radius: b.Size().Len()/2 + pruneSlack}
	z.node(0)
}

// Narrow makes v the view in a box within from's box, reusing v's memory. It is
// Move at less cost where much is far from both boxes.
func (v *View) Narrow(from *View, b vec.Box) {
	l := &v.local
	l.code = from.local.code
	l.prog, l.extra = l.prog[:0], l.extra[:0]
	if from.local.Empty() || b.IsEmpty() {
		return
	}
	z := valuer{src: &from.local, dst: l, box: b, at: b.Center(), radius: b.Size().Len()/2 + pruneSlack}
	z.node(0)
}

// Dist returns the signed bound of the distance at a point of the view's box.
func (v *View) Dist(p vec.P) float64 {
	if v.local.Empty() {
		return math.Inf(1)
	}
	d, _ := v.local.At(p)
	return d
}

// Slope returns Dist, the outward unit normal of the face that gives it, and
// that face's owner.
func (v *View) Slope(p vec.P) (d float64, n vec.P, tag uint32) {
	if v.local.Empty() {
		return math.Inf(1), vec.P{}, 0
	}
	d, w := v.local.At(p)
	w = v.local.alone(w, p)
	_, n = v.local.Slope(w, p)
	return d, n.Unit(), v.local.Tag(w)
}

// Nearest is Code.Nearest for a point in the view's box whose nearest surface
// point lies in it, too.
func (v *View) Nearest(p vec.P) (q, n vec.P, tag uint32) { return v.local.Project(p) }

// Nearest projects p onto the surface: q is the nearest surface point, n the
// outward unit normal there and tag the owner. At an edge or corner n is the
// normal of one of the faces that meet. For points some way off in odd corners
// q may be only near the nearest; it always lies on the surface unless the
// field has none.
func (c *Code) Nearest(p vec.P) (q, n vec.P, tag uint32) {
	if c.all.Empty() {
		return p, vec.P{}, 0
	}
	return c.all.Project(p)
}

// Distance returns how far p is from the surface, as Nearest finds it.
func (c *Code) Distance(p vec.P) float64 {
	q, _, _ := c.Nearest(p)
	return q.Sub(p).Len()
}

// valuer prunes by value: a child whose bounds lie beyond those of another by
// the whole box can't give the value anywhere in it.
type valuer struct {
	src, dst *Local
	box      vec.Box
	at       vec.P
	radius   float64
}

// node prunes the node at i and returns the bounds of what is left.
func (z *valuer) node(i int32) (next int32, lo, hi float64) {
	prog := z.src.prog
	op := prog[i]
	if op >= 0 {
		op = z.src.lone(op, z.at, z.radius)
		v := z.src.Value(Word(op), z.at)
		z.dst.prog = append(z.dst.prog, op)
		return i + 1, v - z.radius, v + z.radius
	}
	n := prog[i+1]
	d := z.dst
	start := len(d.prog)
	d.prog = append(d.prog, op, 0, 0, -1)
	type kid struct {
		from, to int
		lo, hi   float64
	}
	var few [16]kid
	kids := few[:0]
	best := math.Inf(1)
	if op == opMax {
		best = math.Inf(-1)
	}
	for next = i + headLen; n > 0; n-- {
		if prog[next] < 0 { // a child too far away for its box to matter
			if b := prog[next+3]; b >= 0 {
				c := &z.src.code.boxes[b]
				if far := apart(c.box, z.box); far > 0 && (!c.negated && op == opMin && far > best || c.negated && op == opMax && -far < best) {
					next += prog[next+2]
					continue
				}
			}
		}
		k := kid{from: len(d.prog)}
		next, k.lo, k.hi = z.node(next)
		k.to = len(d.prog)
		if op == opMin {
			best = min(best, k.hi)
		} else {
			best = max(best, k.lo)
		}
		kids = append(kids, k)
	}
	// close the gaps that losers leave
	at := start + headLen
	kept := int32(0)
	lo, hi = best, best
	for _, k := range kids {
		if op == opMin && k.lo > best || op == opMax && k.hi < best {
			continue
		}
		at += copy(d.prog[at:], d.prog[k.from:k.to])
		kept++
		lo, hi = min(lo, k.lo), max(hi, k.hi)
	}
	if op == opMin {
		hi = best
	} else {
		lo = best
	}
	d.prog = d.prog[:at]
	if kept == 1 {
		d.prog = append(d.prog[:start], d.prog[start+headLen:]...)
		return next, lo, hi
	}
	d.prog[start+1] = kept
	d.prog[start+2] = int32(len(d.prog) - start)
	return next, lo, hi
}

// apart returns the distance between two boxes, 0 where they touch.
func apart(a, b vec.Box) float64 {
	d := vec.P{
		X: max(a.Min.X-b.Max.X, 0, b.Min.X-a.Max.X),
		Y: max(a.Min.Y-b.Max.Y, 0, b.Min.Y-a.Max.Y),
		Z: max(a.Min.Z-b.Max.Z, 0, b.Min.Z-a.Max.Z),
	}
	return d.Len()
}

// onSurface is how near in mm to the surface a projected point counts as on
// it: Newton's steps converge to roundings of 1e-13.
const onSurface = 1e-9

// mostMeeting bounds the leaves that Project tries together.
const mostMeeting = 6

// Project returns the surface point nearest to p, the outward unit normal and
// the owner there.
//
// It keeps a list of the leaves that decided the value at some candidate, and
// tries the projection of p onto each, onto each pair and each triple; a
// projection at which the whole field vanishes is a candidate, and the nearest
// wins. Where a new leaf decides at a failed projection it joins the list.
func (l *Local) Project(p vec.P) (q, n vec.P, tag uint32) {
	q, ok := l.meetNear(p)
	if !ok {
		if q, ok = l.meetNear(l.slide(p, closeBy)); !ok {
			q = l.slide(p, onSurface)
			if v, _ := l.At(q); math.Abs(v) > onSurface {
				q = l.leave(p)
			}
		}
	}
	_, w := l.At(q)
	w = l.alone(w, q)
	_, n = l.Slope(w, q)
	return q, n.Unit(), l.Tag(w)
}

// leave is Project where the field has no slope to follow, as half-way between
// the faces of a blend: the surface is looked for along rays, and p projected
// from where the nearest one meets it.
func (l *Local) leave(p vec.P) vec.P {
	const most = 500 // steps of a ray
	v, _ := l.At(p)
	box := l.code.Bounds()
	least := box.Size().Len() / most
	best := math.Inf(1)
	q := p
	for d := range 26 {
		if d >= 13 {
			d++ // not the middle of the 27 cells round p
		}
		dir := vec.P{X: float64(d%3 - 1), Y: float64(d/3%3 - 1), Z: float64(d/9 - 1)}.Unit()
		for lo, f, i := 0.0, v, 0; i < most && lo < best; i++ {
			hi := lo + max(math.Abs(f), least)
			g, _ := l.At(p.Add(dir.Mul(hi)))
			if (g < 0) == (v < 0) {
				lo, f = hi, g
				continue
			}
			for range 60 {
				mid := (lo + hi) / 2
				if g, _ = l.At(p.Add(dir.Mul(mid))); (g < 0) == (v < 0) {
					lo = mid
				} else {
					hi = mid
				}
			}
			if hi < best {
				best, q = hi, p.Add(dir.Mul(hi))
			}
			break
		}
	}
	if near, ok := l.meetNear(p, q); ok && near.Sub(p).Len() < best {
		return near
	}
	return q
}

// closeBy is how near in mm to the surface a point is slid before its
// projection is tried again.
const closeBy = 1e-3

// meetNear is Project's search among the leaves that decide near p, and at
// other points that are given.
func (l *Local) meetNear(p vec.P, also ...vec.P) (q vec.P, ok bool) {
	_, w := l.At(p)
	words := [mostMeeting]Word{l.alone(w, p)}
	count := 1
	tried := 0 // leaves all of whose sets have been tried
	best := math.Inf(1)
	q = p
	add := func(w Word) {
		for _, x := range words[:count] {
			if x == w {
				return
			}
		}
		if count < mostMeeting {
			words[count] = w
			count++
		}
	}
	for _, x := range also {
		_, w := l.At(x)
		add(l.alone(w, x))
	}
	try := func(set ...Word) {
		x, ok := l.Meet(p, set...)
		if !ok {
			return
		}
		d := x.Sub(p).Len()
		if d >= best {
			return
		}
		v, w := l.At(x)
		if math.Abs(v) <= onSurface {
			best, q = d, x
			return
		}
		add(l.alone(w, x))
	}
	for tried < count {
		k := tried
		tried++
		try(words[k])
		for i := 0; i < k; i++ {
			try(words[i], words[k])
			for j := 0; j < i; j++ {
				try(words[j], words[i], words[k])
			}
		}
	}
	return q, !math.IsInf(best, 1)
}

// slide walks down the field from p until its value is at most near.
func (l *Local) slide(p vec.P, near float64) vec.P {
	const most = 200
	for range most {
		v, w := l.At(p)
		if math.Abs(v) <= near {
			break
		}
		_, g := l.Slope(w, p)
		p = p.Sub(g.Mul(v))
	}
	return p
}

// Meet returns the point nearest to p at which the surfaces of all the words
// vanish together: one, two or three. ok is false where the steps find none.
//
// Each step replaces the surfaces by their tangent planes at the last point
// and takes the point of these planes nearest to p. At an edge of a surface,
// where its slope jumps, the steps may wander: the nearest point counts that
// they came by.
func (l *Local) Meet(p vec.P, words ...Word) (q vec.P, ok bool) {
	const steps = 12
	q = p
	best, nearest := math.Inf(1), p
	for i := range steps + 1 {
		var g [3]vec.P
		var r [3]float64 // what the planes still lack at p
		worst := 0.0
		for k, w := range words {
			var v float64
			v, g[k] = l.Slope(w, q)
			worst = max(worst, math.Abs(v))
			r[k] = v + g[k].Dot(p.Sub(q))
		}
		if d := q.Sub(p).Len(); worst <= onSurface && d < best {
			best, nearest = d, q
		}
		if i == steps {
			break
		}
		x, fine := leastStep(g[:len(words)], r[:len(words)])
		if !fine {
			break
		}
		next := p.Sub(x)
		move := next.Sub(q).Len()
		q = next
		if move <= 1e-12+1e-9*q.Sub(p).Len() && worst <= onSurface {
			break
		}
	}
	if math.IsInf(best, 1) {
		return q, false
	}
	return nearest, true
}

// leastStep returns the shortest x with g[i].x = r[i] for one, two or three
// rows. ok is false when they are nearly dependent.
func leastStep(g []vec.P, r []float64) (x vec.P, ok bool) {
	const dependent = 1e-8 // of squared sines: a hundredth of a milliradian
	switch len(g) {
	case 1:
		n := g[0].Len2()
		if n < dependent {
			return x, false
		}
		return g[0].Mul(r[0] / n), true
	case 2:
		a, b, c := g[0].Len2(), g[0].Dot(g[1]), g[1].Len2()
		det := float64(a*c) - float64(b*b)
		if det < dependent*a*c || det == 0 {
			return x, false
		}
		s := (float64(c*r[0]) - float64(b*r[1])) / det
		t := (float64(a*r[1]) - float64(b*r[0])) / det
		return g[0].Mul(s).Add(g[1].Mul(t)), true
	}
	u, v, w := g[1].Cross(g[2]), g[2].Cross(g[0]), g[0].Cross(g[1])
	det := g[0].Dot(u)
	if det*det < dependent*g[0].Len2()*g[1].Len2()*g[2].Len2() || det == 0 {
		return x, false
	}
	return u.Mul(r[0] / det).Add(v.Mul(r[1] / det)).Add(w.Mul(r[2] / det)), true
}
