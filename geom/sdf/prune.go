package sdf

import (
	"math"
	"slices"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// Sign says what is known of a field in a place.
type Sign int8

// The signs of a place: inside throughout, outside throughout, or not known.
const (
	AllInside  Sign = -1
	Mixed      Sign = 0
	AllOutside Sign = 1
)

// pruneSlack in mm widens every interval by more than the roundings of a
// surface function at a metre from the origin, so that the sign of a pruned
// program is the sign of the whole to the last bit.
const pruneSlack = 1e-9

// pruner is one call of Prune or of Within.
type pruner struct {
	src, dst *Local
	at       vec.P
	half     float64
	fine     bool
	faces    bool   // name faces; see PruneFaces
	lone     []lone // faces that took the place of blends
}

// Prune makes dst what is left of l in the cube of half edge h about c when
// only signs matter: there dst has the sign of l at every point. Leaves whose
// zero set can't meet the cube are gone. dst must not be l; what it held is
// overwritten. When the sign is the same throughout, dst is empty.
//
// A pruned Local says nothing outside its cube, and its values are not
// distances.
func (l *Local) Prune(dst *Local, c vec.P, h float64) Sign {
	return (&pruner{src: l, dst: dst, at: c, half: h}).run()
}

// PruneFine is Prune for one cell: outlines are taken apart into smooth runs
// that meet at corners, so that every leaf but a Rough one is smooth.
func (l *Local) PruneFine(dst *Local, c vec.P, h float64) Sign {
	return (&pruner{src: l, dst: dst, at: c, half: h, fine: true}).run()
}

// Alike reports whether l and o are the same program, word by word. It may miss
// some that have outlines cut to their place.
func (l *Local) Alike(o *Local) bool {
	return l.code == o.code && len(l.extra)+len(o.extra) == 0 && slices.Equal(l.prog, o.prog)
}

// Own returns a copy of l that shares nothing with l.
func (l *Local) Own() *Local {
	o := &Local{code: l.code}
	o.prog = append(o.prog, l.prog...)
	if len(l.extra) == 0 {
		return o
	}
	o.extra = append(o.extra, l.extra...)
	n := 0
	for i := range o.extra {
		n += len(o.extra[i].spans)
	}
	o.spans = make([]int32, 0, n)
	for i := range o.extra {
		s := len(o.spans)
		o.spans = append(o.spans, o.extra[i].spans...)
		o.extra[i].spans = o.spans[s:len(o.spans):len(o.spans)]
	}
	return o
}

func (z *pruner) run() Sign {
	d := z.dst
	d.code = z.src.code
	d.prog, d.extra, d.spans = d.prog[:0], d.extra[:0], d.spans[:0]
	if z.src.Empty() {
		return AllOutside
	}
	_, s := z.node(0)
	if s != Mixed {
		d.prog = d.prog[:0]
	}
	return s
}

// node prunes the node at i and appends what is left to dst.
func (z *pruner) node(i int32) (next int32, s Sign) {
	prog := z.src.prog
	op := prog[i]
	if op >= 0 {
		return i + 1, z.leaf(op)
	}
	n, end := prog[i+1], i+prog[i+2]
	if b := prog[i+3]; b >= 0 && z.src.code.boxes[b].misses(z.at, z.half) {
		if z.src.code.boxes[b].negated {
			return end, AllInside
		}
		return end, AllOutside
	}
	drop, win := AllOutside, AllInside // of a minimum
	if op == opMax {
		drop, win = win, drop
	}
	d := z.dst
	start := len(d.prog)
	d.prog = append(d.prog, op, 0, 0, -1)
	kept := int32(0)
	for next = i + headLen; n > 0; n-- {
		var t Sign
		at := len(d.prog)
		if next, t = z.node(next); t == win {
			d.prog = d.prog[:start]
			return end, win
		} else if t == Mixed {
			kept++
			if len(z.lone) > 0 && z.twice(start+headLen, at) {
				d.prog = d.prog[:at]
				kept--
			}
		}
	}
	switch kept {
	case 0:
		d.prog = d.prog[:start]
		return end, drop
	case 1:
		d.prog = append(d.prog[:start], d.prog[start+headLen:]...)
		return end, Mixed
	}
	d.prog[start+1] = kept
	d.prog[start+2] = int32(len(d.prog) - start)
	return end, Mixed
}

// misses reports whether the cube does not touch the box.
func (b *bound) misses(c vec.P, h float64) bool {
	h += pruneSlack
	return c.X+h < b.box.Min.X || c.X-h > b.box.Max.X ||
		c.Y+h < b.box.Min.Y || c.Y-h > b.box.Max.Y ||
		c.Z+h < b.box.Min.Z || c.Z-h > b.box.Max.Z
}

// leaf prunes one leaf.
func (z *pruner) leaf(w int32) Sign {
	lf := z.src.leafOf(w)
	s := &z.src.code.surf[lf.surf]
	if s.kind >= wall && s.kind <= wire && !lf.run {
		return z.shape(w, lf, s)
	}
	if s.kind == blended {
		if k := s.pair.apart(z.at, z.half, s.a); k >= 0 {
			return z.alone(s.pair.words[k] ^ w&1)
		}
	}
	if t := sided(s.value(z.at, lf), float64(s.reach*z.half)+pruneSlack, w); t != Mixed {
		return t
	}
	z.dst.prog = append(z.dst.prog, z.keep(w, lf))
	return Mixed
}

// sided returns the sign of a leaf whose surface has value v, give or take r.
func sided(v, r float64, w int32) Sign {
	if w&1 != 0 {
		v = -v
	}
	switch {
	case v > r:
		return AllOutside
	case v < -r:
		return AllInside
	}
	return Mixed
}

// keep returns the word of a leaf in dst.
func (z *pruner) keep(w int32, lf *leaf) int32 {
	if int(w>>1) < len(z.src.code.leaf) {
		return w
	}
	return z.add(*lf, w&1)
}

// add gives dst a leaf of its own and returns its word.
func (z *pruner) add(lf leaf, negated int32) int32 {
	d := z.dst
	d.extra = append(d.extra, lf)
	return int32(len(d.code.leaf)+len(d.extra)-1)<<1 | negated
}

// shape prunes a leaf that asks an outline or path, and the list of spans it
// asks.
func (z *pruner) shape(w int32, lf *leaf, s *surface) Sign {
	part := s.part(lf)
	var q vec.P2
	var d, v float64
	r := s.reach * z.half
	switch s.kind {
	case wall:
		q, _ = s.flat(z.at)
		d = part.Dist(q)
		v = d
	case rounded:
		var t float64
		q, t = s.flat(z.at)
		d = part.Dist(q)
		v, _, _ = s.edge.at(d, t)
	case leaning:
		var t float64
		q, t = s.flat(z.at)
		d = part.Dist(q)
		v = float64(d*s.b) + float64(t*s.a)
	case revolve:
		a, t := s.across(z.at)
		q = vec.P2{X: a.Len(), Y: t}
		d = part.Dist(q)
		v = d
	case wire:
		var t float64
		q, t = s.flat(z.at)
		d, _ = part.Away(q)
		v = math.Sqrt(float64(d*d)+float64(t*t)) - s.a
	}
	if t := sided(v, r+pruneSlack, w); t != Mixed {
		return t
	}
	if z.faces && z.src.code.apart[lf.surf] != nil {
		return z.taken(w, lf, s)
	}
	from := len(z.dst.spans)
	if z.fine {
		z.dst.spans = part.Within(z.dst.spans, q, z.fineReach(s, d, r))
	} else {
		z.dst.spans = part.Near(z.dst.spans, q, d, r+pruneSlack)
	}
	list := z.dst.spans[from:len(z.dst.spans):len(z.dst.spans)]
	if z.fine && len(list) > 0 {
		return z.runs(w, lf, s.shape.Of(list))
	}
	z.dst.prog = append(z.dst.prog, z.add(leaf{surf: lf.surf, tag: lf.tag, spans: list}, w&1))
	return Mixed
}

// fineReach returns how far from the cell's centre a span may be whose own
// surface meets the cell; r is how far the outline's plane shows the cell.
func (z *pruner) fineReach(s *surface, d, r float64) float64 {
	switch s.kind {
	case wall, revolve:
		return r + pruneSlack
	}
	// The surfaces of rounded prisms and wires lie off their outline: keep what
	// can be nearest.
	return math.Abs(d) + 2*r + pruneSlack
}

// runs appends the smooth runs that the listed spans make, joined by max at
// convex corners and by min at reflex ones. Where the spans form several
// chains these are joined by which side of each other they lie on. What can't
// be taken apart so is kept as one Rough leaf.
func (z *pruner) runs(w int32, lf *leaf, part outline.Part) Sign {
	list := part.List()
	if len(list) == 1 {
		z.dst.prog = append(z.dst.prog, z.add(leaf{lf.surf, lf.tag, true, list}, w&1))
		return Mixed
	}
	s := &z.src.code.surf[lf.surf]
	if s.unsettled(part, z.at, z.half) {
		z.dst.prog = append(z.dst.prog, z.add(leaf{surf: lf.surf, tag: lf.tag, spans: list}, w&1))
		return Mixed
	}
	runs, op := split(part, s.kind == wire, s.softCorner(), &z.dst.spans)
	if op == 0 || s.kind == leaning && op == opMin && len(runs) > 2 { // no single operation joins them
		z.dst.prog = append(z.dst.prog, z.add(leaf{surf: lf.surf, tag: lf.tag, spans: list}, w&1))
		return Mixed
	}
	if len(runs) == 1 {
		z.dst.prog = append(z.dst.prog, z.add(leaf{lf.surf, lf.tag, true, runs[0]}, w&1))
		return Mixed
	}
	if w&1 != 0 {
		op = opMin + opMax - op
	}
	z.dst.prog = append(z.dst.prog, op, int32(len(runs)), int32(len(runs)+headLen), -1)
	for _, r := range runs {
		z.dst.prog = append(z.dst.prog, z.add(leaf{lf.surf, lf.tag, true, r}, w&1))
	}
	return Mixed
}

// split sorts the spans of a part into smooth runs, kept in spans, and returns
// the one operation that joins them, 0 where there is none. Corners of the kind
// soft count as smooth.
func split(part outline.Part, isWire bool, soft outline.Corner, spans *[]int32) (runs [][]int32, op int32) {
	list := part.List()
	next, corner, has := sequence(part, soft)
	op = opMin
	if !isWire {
		op = 0
	}
	want := func(o int32) bool {
		if isWire {
			return true
		}
		if op == 0 {
			op = o
		}
		return op == o
	}
	done := make([]bool, len(list))
	chain := func(i int) bool { // from span i to the end of its chain
		from := len(*spans)
		flush := func() {
			if len(*spans) > from {
				runs = append(runs, (*spans)[from:len(*spans):len(*spans)])
				from = len(*spans)
			}
		}
		for i >= 0 && !done[i] {
			done[i] = true
			*spans = append(*spans, list[i])
			j := next[i]
			if j >= 0 && corner[i] != outline.Smooth {
				flush()
				o := opMax
				if corner[i] == outline.Reflex {
					o = opMin
				}
				if !want(o) {
					return false
				}
			}
			i = j
		}
		flush()
		return true
	}
	var heads []int // first run of each chain
	start := func(ok func(i int) bool) bool {
		for i := range list {
			if !done[i] && ok(i) {
				heads = append(heads, len(runs))
				if !chain(i) {
					return false
				}
			}
		}
		return true
	}
	after := func(i int) bool { // a corner goes before span i
		for j := range list {
			if next[j] == i {
				return corner[j] != outline.Smooth
			}
		}
		return true
	}
	if !start(func(i int) bool { return !has[i] }) || // open chains
		!start(after) || !start(func(int) bool { return true }) { // closed ones
		return nil, 0
	}
	if !isWire {
		for a := range heads {
			for b := range heads {
				if a == b {
					continue
				}
				o := opMin
				if d, _ := part.Of(runs[heads[a]]).RunDist(part.Span(runs[heads[b]][0]).Point(0.5)); d < 0 {
					o = opMax
				}
				if !want(o) {
					return nil, 0
				}
			}
		}
	}
	if op == 0 {
		op = opMax // a single run
	}
	return runs, op
}

// sequence returns of each span of a part which one follows it, -1 for none, with what
// corner, and whether one goes before it. Corners of the kind soft count as smooth.
func sequence(part outline.Part, soft outline.Corner) (next []int, corner []outline.Corner, has []bool) {
	list := part.List()
	n := len(list)
	next, corner, has = make([]int, n), make([]outline.Corner, n), make([]bool, n)
	follows := func(i, j int) bool {
		c, ok := part.Join(list[i], list[j])
		if !ok || has[j] {
			return false
		}
		if c == soft {
			c = outline.Smooth
		}
		next[i], corner[i], has[j] = j, c, true
		return true
	}
	for i := range next {
		next[i] = -1
		if follows(i, (i+1)%n) || follows(i, 0) {
			continue
		}
		for j := range list { // where a loop closes in the middle of the list
			if follows(i, j) {
				break
			}
		}
	}
	return next, corner, has
}
