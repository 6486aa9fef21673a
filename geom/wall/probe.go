package wall

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// finding is a sample at which the width is below the limit.
type finding struct {
	p, q   vec.P // on the near and the far side of the true surface
	width  float64
	area   float64
	near   uint32 // triangles of the two sides
	far    uint32
	tags   [2]uint32 // lower first
	zone   int
	vertex uint32
	gape   float64 // angle between the two sides
	edge   bool    // the sides lean together so that they meet close by
	fixed  bool    // found from a crease or a tip
}

const (
	// play is the share of its radius by which a ball may be pierced and still
	// count as clear: what a normal that is off by 11 degrees costs.
	play = 0.02
	// shyness is the share of its radius by which a ball may miss a side that
	// it is still said to touch; it matters for balls of the order of the slack.
	shyness = 0.05
	// aslant is the angle in radians, 12 degrees, by which a ball may touch a
	// triangle aslant: on a mesh the side of a rod is one of 15 and more.
	aslant = 12 * math.Pi / 180
	// grazing is how far in mm below the surface a ray starts: rounding at
	// 100 mm is a thousandth of it, a tenth of a micron no wall.
	grazing = 1e-4
	// hair is how far in mm a width must fall short of the limit, so that a wall
	// of just the limit is none too thin: well above rounding, and a thousandth
	// of what a micrometer shows.
	hair = 1e-6
	// steep is the angle in radians between two sides, 30 degrees, from which
	// on they make an edge and no wall.
	steep = math.Pi / 6
	// mostShrinks ends the shrinking of a ball; it settles in three to six.
	mostShrinks = 40
	// blockSpan is the side in spacings of the blocks that are probed as one
	// task: a few hundred samples, about a millisecond.
	blockSpan = 8
)

// probeAll measures at all samples and returns what is too thin in an order
// that does not depend on the number of workers.
func (v *survey) probeAll(all []sample) ([]finding, error) {
	blocks := v.blocks(all)
	found := make([][]finding, len(blocks))
	step := v.counter(len(blocks))
	err := v.each(len(blocks), func(i int) {
		box := vec.Empty()
		for _, s := range blocks[i] {
			box = box.With(all[s].p)
		}
		p := v.newProbe(box)
		for _, s := range blocks[i] {
			if f, ok := p.measure(&all[s]); ok {
				found[i] = append(found[i], f)
			}
		}
		step()
	})
	if err != nil {
		return nil, err
	}
	var r []finding
	for _, f := range found {
		r = append(r, f...)
	}
	return r, nil
}

// blocks sorts samples into the cells of a coarse grid, in order of their
// first sample, no more than mostInBlock in each.
func (v *survey) blocks(all []sample) [][]int32 {
	const mostInBlock = 1024
	type key struct{ x, y, z int64 }
	edge := blockSpan * v.o.Spacing
	at := map[key]int{}
	var r [][]int32
	for i := range all {
		p := all[i].p.Mul(1 / edge)
		k := key{int64(math.Floor(p.X)), int64(math.Floor(p.Y)), int64(math.Floor(p.Z))}
		b, ok := at[k]
		if !ok || len(r[b]) >= mostInBlock {
			b = len(r)
			at[k] = b
			r = append(r, nil)
		}
		r[b] = append(r[b], int32(i))
	}
	return r
}

// probe measures in one block.
type probe struct {
	*survey
	local Local
	first float64 // radius of the first ball
	start float64 // the same, of one sample
	seen  float64 // cosine of Options.Angle
	roomy float64 // ratio of a first ball to the widest that matters
}

func (v *survey) newProbe(box vec.Box) *probe {
	p := &probe{survey: v, seen: math.Cos(v.o.Angle)}
	// Moving a ball's centre on by e brings a far side seen at the angle a
	// nearer to it by e(1 - cos a) in terms of the radius. A ball this much too
	// large is not clear, for all its play, where the width is under the limit.
	p.roomy = 1 / (1 - play/(1-p.seen))
	p.first = v.limit / 2 * p.roomy
	p.local = v.normals.Within(box.Grow(2 * p.first))
	return p
}

// measure returns the finding at s, and whether it is one.
func (b *probe) measure(s *sample) (finding, bool) {
	n := s.n
	b.start = b.first
	if b.o.Most != nil {
		if b.start = min(b.start, b.o.Most(b.tag(s.t))/2*b.roomy); !(b.start > 0) {
			return finding{}, false
		}
	}
	if b.clear(s.p.Add(b.into(n).Mul(b.start)), b.start) {
		return finding{}, false
	}
	at, n, ok := b.truly(s)
	if !ok {
		return finding{}, false
	}
	if _, ok := b.tree.Near(s.p.Add(b.into(n).Mul(b.start)), b.start*(1-play)); !ok {
		return finding{}, false
	}
	f := finding{p: at, width: math.Inf(1), area: s.area, near: s.t, vertex: s.vertex, fixed: s.kind != onFace}
	take := func(w float64, q vec.P, t uint32, gape float64) {
		switch alike := (1 - shyness) * max(w, f.width); {
		case w < alike: // another side than that of before, and nearer
			f.gape = gape
		case f.width >= alike: // the same, measured twice
			f.gape = min(f.gape, gape)
		}
		if w < f.width {
			f.width, f.q, f.far = max(w, 0), q, t
		}
	}
	b.ray(s, at, n, take)
	b.ball(s, at, n, min(b.start, f.width/2*b.roomy), take)
	if !(f.width < b.limit-hair) {
		return finding{}, false
	}
	f.tags = [2]uint32{b.tag(s.t), b.tag(f.far)}
	if f.tags[0] > f.tags[1] {
		f.tags[0], f.tags[1] = f.tags[1], f.tags[0]
	}
	limit := b.limit
	if b.o.Limit != nil {
		if limit = min(limit, b.o.Limit(f.tags[0], f.tags[1])); !(f.width < limit-hair) {
			return finding{}, false
		}
	}
	f.edge = f.edged(limit)
	return f, true
}

// edged reports whether the sides lean together so that they meet close by, in
// walls of that limit.
func (f *finding) edged(limit float64) bool {
	return f.gape > steep || f.width < 2*math.Tan(f.gape/2)*limit
}

// truly returns the place and the normal of s on the true surface. ok is false
// for a crease or a tip that is none there, but only on the mesh.
func (b *probe) truly(s *sample) (at, n vec.P, ok bool) {
	switch s.kind {
	case onCrease:
		_, n = b.local.At(s.t, b.aside(s.p, s.t))
		_, u := b.local.At(s.u, b.aside(s.p, s.u))
		turn := math.Atan2(n.Cross(u).Len(), n.Dot(u))
		return s.p, slerp(n, u, turn, s.share), turn > turned/2
	case onTip:
		n, least := b.mean(s.vertex, func(t uint32) vec.P {
			_, n := b.local.At(t, b.aside(s.p, t))
			return n
		})
		return s.p, n, least < math.Cos(turned/4)
	}
	at, n = b.local.At(s.t, s.p)
	return at, n, true
}

// into returns the direction from a surface with normal n into what is
// measured.
func (b *probe) into(n vec.P) vec.P {
	if b.side == inside {
		return n.Neg()
	}
	return n
}

// clear reports whether the field alone shows that a ball is clear of the
// surface.
func (b *probe) clear(c vec.P, r float64) bool {
	return b.local.Bound(c)*float64(b.side) >= r*(1-play)
}

// ray measures straight through from s.
func (b *probe) ray(s *sample, at, n vec.P, take func(float64, vec.P, uint32, float64)) {
	d := b.into(n)
	hit, ok := b.tree.Ray(s.p.Add(d.Mul(grazing)), d, b.limit+2*b.o.Slack)
	if !ok {
		return
	}
	q, nq := b.local.At(hit.T, hit.P)
	if c := n.Dot(nq); c < b.seen {
		take(q.Sub(at).Dot(d), q, hit.T, math.Acos(min(-c, 1)))
	}
}

// ball measures by the largest ball tangent at s, starting from radius r.
func (b *probe) ball(s *sample, at, n vec.P, r float64, take func(float64, vec.P, uint32, float64)) {
	d := b.into(n)
	var c vec.P
	for range mostShrinks {
		c = s.p.Add(d.Mul(r))
		hit, ok := b.tree.Near(c, r*(1-play))
		if !ok {
			break
		}
		w := hit.P.Sub(s.p)
		next := w.Len2() / (2 * w.Dot(d))
		if !(next < r && next > b.o.Slack/2) {
			return // nothing that small is measured
		}
		r = next
	}
	var least mesh.Hit
	width, cos := math.Inf(1), b.seen
	b.tree.Around(c, r+min(2*b.o.Slack, shyness*r), func(h mesh.Hit) {
		u, on := h.P.Sub(c).Mul(1/h.Dist), b.border(&h)
		if -b.touch(&h, on, u, b.facing).Dot(d) >= b.seen || !b.touches(&h, on, u) {
			return
		}
		k := -b.touch(&h, on, u, func(t uint32) vec.P {
			_, n := b.local.At(t, b.aside(h.P, t))
			return b.into(n).Neg()
		}).Dot(d)
		if k >= b.seen {
			return
		}
		cos = min(cos, k)
		v := h.P.Sub(s.p)
		if w := v.Len2() / v.Dot(d); w < width {
			width, least = w, h
		}
	})
	if cos == b.seen {
		return
	}
	q, _ := b.local.At(least.T, least.P)
	v := q.Sub(at)
	take(v.Len2()/v.Dot(d), q, least.T, math.Acos(max(min(-cos, 1), -1)))
}

// touches reports whether a ball that has the hit in direction u touches the
// surface there, and not only comes near the border of a triangle beyond which
// the surface comes nearer still.
func (b *probe) touches(h *mesh.Hit, on border, u vec.P) bool {
	i := b.m.T[h.T]
	if on.corner >= 0 {
		return !b.fallsFrom(i[on.corner], u)
	}
	if on.edge < 0 {
		return true
	}
	v, e := i[(on.edge+1)%3], i[(on.edge+2)%3]
	t, ok := b.fan.across(b.m, h.T, v, e)
	if !ok {
		return true
	}
	// into t, at a right angle to the edge
	in := b.fan.normal[t].Cross(b.m.V[v].Sub(b.m.V[e])).Unit()
	return in.Dot(u) > -math.Sin(aslant)
}

// fallsFrom reports whether the surface falls against u from vertex v, by more
// than a touch aslant explains.
func (b *probe) fallsFrom(v uint32, u vec.P) bool {
	sin := math.Sin(aslant)
	for _, t := range b.fan.of(v) {
		i := b.m.T[t]
		for i[0] != v {
			i = [3]uint32{i[1], i[2], i[0]}
		}
		p := b.m.V[v]
		x, y, n := b.m.V[i[1]].Sub(p).Unit(), b.m.V[i[2]].Sub(p).Unit(), b.fan.normal[t]
		if x.Dot(u) < -sin || y.Dot(u) < -sin {
			return true
		}
		down := n.Mul(n.Dot(u)).Sub(u) // the steepest way in the triangle's plane
		if down.Len() > sin && x.Cross(down).Dot(n) > 0 && down.Cross(y).Dot(n) > 0 {
			return true
		}
	}
	return false
}
