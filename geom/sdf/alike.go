package sdf

import (
	"math"
	"slices"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Joined returns a code in which surfaces of one kind that lie nowhere within the
// bounds farther apart than slack, in mm, are one surface; to names the surface that
// each has become, and moved is how far they were moved for it at most. Where nothing
// is so near it returns c itself, and no names.
// Steps lower than slack are gone from it, and so are sheets and gaps of that
// thickness: who meshes the new code must compare with c. c is one that Faces
// made. Not moved are faces that others run into smoothly, nor any that an
// outline with corners was taken apart into.
//
// Within the bounds the values of both differ by slack at most.
func (c *Code) Joined(slack float64) (d *Code, to []int32, moved float64) {
	if !c.bounds.Finite() || !(slack > 0) {
		return c, nil, 0
	}
	held := c.held()
	to = make([]int32, len(c.surf))
	groups := map[int64][]int32{}
	size := c.bounds.Size().Len()
	bucket := func(s *surface) int64 { return int64(math.Floor(s.mix() / (64 * slack))) }
	any := false
	join := func(i int32) {
		s := &c.surf[i]
		key := bucket(s)
		to[i] = i
		if !held[i] {
			for k := key - 1; k <= key+1; k++ {
				for _, j := range groups[k] {
					if off := s.apartFrom(&c.surf[j], c.bounds.Center(), size/2); off <= slack {
						to[i], any = j, true
						moved = max(moved, off)
						return
					}
				}
			}
		}
		groups[key] = append(groups[key], i)
	}
	for _, first := range [2]bool{true, false} { // what is held stays where it is
		for i := range c.surf {
			if held[i] == first && c.joins(i) {
				join(int32(i))
			} else if held[i] == first {
				to[i] = int32(i)
			}
		}
	}
	if !any {
		return c, nil, 0
	}
	return c.renamed(to, slack), to, moved
}

// Sharpened returns a code whose outlines have sharp corners in the place of spans
// shorter than least, in mm; moved is how far surfaces were moved for it at most, 0
// where it returns c itself. c is no code that Faces made.
func (c *Code) Sharpened(least float64) (d *Code, moved float64) {
	shapes := make([]outline.Part, len(c.surf))
	for i := range c.surf {
		switch s := &c.surf[i]; s.kind {
		case wall, rounded, revolve:
			var by float64
			shapes[i], by = s.shape.Sharpened(least)
			moved = max(moved, by)
		}
	}
	for i := range c.leaf {
		if c.leaf[i].spans != nil {
			return c, 0 // numbers of spans that would change
		}
	}
	if moved == 0 {
		return c, 0
	}
	d = c.copied(moved)
	for i := range d.surf {
		switch s := &d.surf[i]; s.kind {
		case wall, rounded:
			s.shape = shapes[i]
		case revolve:
			s.reshape(shapes[i])
		}
	}
	return d, moved
}

// reshape gives a turned surface another outline.
func (s *surface) reshape(shape outline.Part) {
	s.shape = shape
	o, u := s.o, s.u
	s.tips = tipsOf(shape, func(z float64) vec.P { return o.Add(u.Mul(z)) })
}

// Shifted returns a code that Faces made with its surfaces moved outwards by the
// given lengths in mm; ok is false where one can't be: see Shifts.
func (c *Code) Shifted(by []float64) (d *Code, ok bool) {
	most := 0.0
	for _, v := range by {
		most = max(most, math.Abs(v))
	}
	d = c.copied(most)
	d.apart = slices.Clone(c.apart)
	for i, a := range c.apart {
		if a != nil {
			if d.apart[i], ok = a.shifted(d, &d.surf[i], by); !ok {
				return c, false
			}
		}
	}
	for i, v := range by {
		s := &d.surf[i]
		if v == 0 {
			continue
		}
		switch s.kind {
		case plane, cylinder, sphere:
			s.a += v
		case torus, capsule:
			s.b += v
		case cone:
			s.o = s.o.Sub(s.u.Mul(v / s.a))
			s.tips = []vec.P{s.o}
		default:
			return c, false
		}
	}
	return d, true
}

// shifted moves those spans of the outline of a surface of d that draw shifted
// faces.
func (a *dissected) shifted(d *Code, s *surface, by []float64) (*dissected, bool) {
	spans := make([]float64, len(a.run))
	any := false
	for i, run := range a.run {
		w := a.faces[run]
		if spans[i] = by[d.leaf[w>>1].surf]; w&1 != 0 {
			spans[i] = -spans[i]
		}
		any = any || spans[i] != 0
	}
	if !any {
		return a, true
	}
	shape, ok := s.shape.Trimmed(spans)
	if !ok {
		return nil, false
	}
	if s.shape = shape; s.kind == revolve {
		s.reshape(shape)
	}
	b := *a
	b.ends = slices.Clone(a.ends)
	for run, w := range a.faces {
		var list []int32
		for i, r := range a.run {
			if int(r) == run {
				list = append(list, int32(i))
			}
		}
		f := &d.surf[d.leaf[w>>1].surf]
		if f.kind >= wall {
			list = f.shape.List() // in the run's order
			f.shape = shape.Of(list)
		}
		b.ends[run] = endsOf(shape.Of(list).Spans())
	}
	return &b, true
}

// Shifts says of every surface of a code that Faces made whether it may be shifted:
// of an outline's faces those that a straight line with corners at both ends draws.
func (c *Code) Shifts() []bool {
	can := make([]bool, len(c.surf))
	for i := range c.surf {
		can[i] = c.surf[i].kind < wall && i < c.seams
	}
	for i, a := range c.apart {
		if a == nil {
			continue
		}
		spans := c.surf[i].shape.Spans()
		for run, w := range a.faces {
			n := 0
			line := true
			for k, r := range a.run {
				if int(r) == run {
					n++
					line = line && spans[k].Line()
				}
			}
			if !line || n != 1 || len(a.rims) > 0 || len(a.joints) > 0 {
				can[c.leaf[w>>1].surf] = false
			}
		}
	}
	return can
}

// joins reports whether a surface may become one with another: of outlines only
// those that are whole.
func (c *Code) joins(i int) bool {
	k := c.surf[i].kind
	return k < wall && i < c.seams || (k == wall || k == rounded || k == revolve) && i < len(c.apart)
}

// held says which surfaces belong to one that was taken apart.
func (c *Code) held() []bool {
	held := make([]bool, len(c.surf))
	for _, a := range c.apart {
		if a == nil {
			continue
		}
		for _, w := range a.faces {
			held[c.leaf[w>>1].surf] = true
		}
		for _, r := range a.rims {
			held[c.leaf[r.face>>1].surf] = true
		}
	}
	return held
}

// copied returns a code with surfaces and leaves of its own, and with bounds
// wider than what surfaces that move by no more than slack need.
func (c *Code) copied(slack float64) *Code {
	d := &Code{bounds: c.bounds.Grow(boundGrow * slack), digest: c.digest, apart: c.apart, seams: c.seams}
	d.surf, d.leaf, d.boxes = slices.Clone(c.surf), slices.Clone(c.leaf), slices.Clone(c.boxes)
	for i := range d.boxes {
		d.boxes[i].box = d.boxes[i].box.Grow(boundGrow * slack)
	}
	d.all = Local{code: d, prog: slices.Clone(c.all.prog)}
	return d
}

// boundGrow is how much farther than its faces the edge of a solid may move:
// where faces meet at a sharper angle than 20 degrees it moves farther.
const boundGrow = 6

// renamed returns the code with other surfaces in the place of some.
func (c *Code) renamed(to []int32, slack float64) *Code {
	d := c.copied(slack)
	for i := range d.leaf {
		d.leaf[i].surf = to[d.leaf[i].surf]
	}
	return d
}

// apartFrom returns how far two surfaces are from each other at most within r of
// a point, +Inf where they are not alike. Those whose insides are opposite are not.
func (s *surface) apartFrom(t *surface, at vec.P, r float64) float64 {
	if s.kind != t.kind {
		return math.Inf(1)
	}
	tilt := s.u.Sub(t.u).Len()
	from := s.o.Sub(t.o).Len()
	switch s.kind {
	case plane:
		return tilt*r + math.Abs(s.u.Dot(at)-s.a-t.u.Dot(at)+t.a)
	case cylinder:
		p, _ := s.across(at)
		q, _ := t.across(at)
		return min(tilt, s.u.Add(t.u).Len())*r + p.Sub(q).Len() + math.Abs(s.a-t.a)
	case sphere:
		return from + math.Abs(s.a-t.a)
	case torus:
		return from + min(tilt, s.u.Add(t.u).Len())*(s.a+s.b) + math.Abs(s.a-t.a) + math.Abs(s.b-t.b)
	case capsule:
		return from + s.o.Add(s.u.Mul(s.a)).Sub(t.o.Add(t.u.Mul(t.a))).Len() + math.Abs(s.b-t.b)
	case cone:
		far := at.Sub(s.o).Len() + r
		return from + (tilt+math.Abs(math.Atan2(s.a, s.b)-math.Atan2(t.a, t.b)))*far
	case wall, rounded, revolve:
		edges := max(math.Abs(s.edge.z0-t.edge.z0), math.Abs(s.edge.z1-t.edge.z1)) + max(math.Abs(s.edge.top-t.edge.top), math.Abs(s.edge.bottom-t.edge.bottom))
		return from + (tilt+s.x.Sub(t.x).Len()+s.y.Sub(t.y).Len())*(at.Sub(s.o).Len()+r) + edges + outlinesApart(s.shape.Spans(), t.shape.Spans())
	}
	return math.Inf(1)
}

// outlinesApart returns how far the points of two outlines are from each other at
// most, +Inf where they are not drawn alike.
func outlinesApart(s, t []outline.Span) float64 {
	if len(s) != len(t) {
		return math.Inf(1)
	}
	most := 0.0
	for i := range s {
		// The rise of an arc is half its bulge times its chord.
		rise := math.Abs(s[i].Bulge-t[i].Bulge) * s[i].B.Sub(s[i].A).Len()
		most = max(most, s[i].A.Sub(t[i].A).Len()+rise, s[i].B.Sub(t[i].B).Len()+rise)
	}
	return most
}
