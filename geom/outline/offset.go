package outline

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"waxwright/geom/vec"
)

// The offset, in outline:
//
//  1. Every span is shifted by d along its normals; an arc keeps its centre.
//     Arcs that would turn inside out vanish. Corners that open up are joined
//     by arcs about the corner, or by mitres.
//  2. All shifted pieces are cut at their crossings.
//  3. A part stays if its middle lies at least |d| from the outline, and in no
//     other corner's mitre: a part is wholly near or wholly far, as it can come
//     nearer only by crossing.
//  4. Parts that lie on each other cancel, loose ends fall off, the rest is
//     joined to loops.
//  5. The result is checked: valid, and every piece's middle at distance |d|.

// atom is the distance in mm below which an offset changes nothing: the size
// of an atom, a hundred times touch.
const atom = 1e-7

// Offset returns the outline at the distance |d| in mm from o: outside it for
// positive d, inside for negative d. Corners that open up become arcs, so that
// every point of the result lies at the distance |d|. Loops may vanish, split
// or merge; where nothing is left the result is the empty outline.
//
// It fails when d is not finite, and when the result is no valid outline: two
// of its loops touch in a point.
func (o Outline) Offset(d float64) (Outline, error) {
	return o.offset(d, false)
}

// mitreLimit is how far a mitred corner may reach, as a multiple of d; as in
// SVG 2 (W3C), section 13.5, the default of stroke-miterlimit.
const mitreLimit = 4

// OffsetSharp is Offset with mitred corners: a corner that opens up is extended
// by its tangents to a new corner. Corners that would reach farther than
// 4 |d| from the old one are rounded.
func (o Outline) OffsetSharp(d float64) (Outline, error) {
	return o.offset(d, true)
}

func (o Outline) offset(d float64, mitre bool) (Outline, error) {
	if math.IsNaN(d) || math.Abs(d) > farthest {
		return Outline{}, fmt.Errorf("offset by %g", d)
	}
	if math.Abs(d) < atom || o.Empty() {
		return o, nil
	}
	pieces, mitres := o.shifted(d, mitre)
	loops, err := o.trimmed(pieces, mitres, d)
	if err != nil {
		return Outline{}, fmt.Errorf("offset by %g: %w", d, err)
	}
	for _, l := range loops {
		if b := l.Bounds(); !(max(-b.Min.X, -b.Min.Y, b.Max.X, b.Max.Y) <= farthest) {
			return Outline{}, fmt.Errorf("offset by %g reaches beyond %g mm", d, float64(farthest))
		}
	}
	r := prepared(loops)
	if err := r.Check(); err != nil {
		return Outline{}, fmt.Errorf("offset by %g: %w", d, err)
	}
	for _, l := range loops {
		for i := range l {
			p := l.Span(i).Point(0.5)
			if away := o.Dist(p); math.Abs(away-d) > touch && !(mitre && math.Abs(away) > math.Abs(d)) {
				return Outline{}, fmt.Errorf("offset by %g: a piece at (%.6g, %.6g) lies at %.9g", d, p.X, p.Y, away)
			}
		}
	}
	return r, nil
}

// kite is what a mitre covers: the corner, the shifted ends beside it, and the
// tip opposite.
type kite struct{ corner, a, tip, b vec.P2 }

// holds reports whether p lies inside, farther than fine from the border.
func (k *kite) holds(p vec.P2) bool {
	w := p.Sub(k.corner)
	if far := k.tip.Sub(k.corner); w.Dot(w) > far.Dot(far) {
		return false
	}
	side := math.Copysign(1, k.a.Sub(k.corner).Cross(k.tip.Sub(k.corner)))
	left := func(a, b vec.P2) bool {
		return side*b.Sub(a).Unit().Cross(p.Sub(a)) > fine
	}
	return left(k.corner, k.a) && left(k.a, k.tip) && left(k.tip, k.b) && left(k.b, k.corner)
}

// shifted returns the spans of o moved by d, with joins at the corners that
// open up, and the mitres among these. The pieces may cross.
func (o Outline) shifted(d float64, mitre bool) (out []Span, mitres []kite) {
	add := func(a, b vec.P2, bulge float64) {
		if b.Sub(a).Len() > fine {
			out = append(out, NewSpan(a, b, bulge))
		}
	}
	for _, l := range o.Loops {
		spans := l.Spans()
		for i, s := range spans {
			t := spans[(i+1)%len(spans)]
			if 1+float64(s.K*d) > 0 { // else the arc turns inside out
				add(s.A.Add(s.Normal(0).Mul(d)), s.B.Add(s.Normal(1).Mul(d)), s.Bulge)
			}
			turn := turnAt(s, t)
			if turn*d <= 0 {
				continue
			}
			a, b := s.B.Add(s.Normal(1).Mul(d)), t.A.Add(t.Normal(0).Mul(d))
			half := math.Tan(turn / 2)
			if mitre && float64(half*half)+1 <= mitreLimit*mitreLimit && math.Abs(turn) < math.Pi {
				tip := a.Add(s.T1.Mul(d * half))
				add(a, tip, 0)
				add(tip, b, 0)
				mitres = append(mitres, kite{s.B, a, tip, b})
				continue
			}
			add(a, b, arcBulge(turn))
		}
	}
	return out, mitres
}

// turnAt returns the angle by which the loop turns from s into t, left
// positive, half a turn at cusps.
func turnAt(s, t Span) float64 {
	a := math.Atan2(s.T1.Cross(t.T0), s.T1.Dot(t.T0))
	switch CornerOf(s, t) {
	case Convex:
		return math.Abs(a)
	case Reflex:
		return -math.Abs(a)
	}
	return a
}

// fine is the length in mm below which pieces are dropped while an offset is
// trimmed, and how much nearer than |d| the middle of a part may lie and stay:
// far above the roundings of intersections (1e-13 at a metre), below touch.
const fine = touch / 10

// trimmed cuts the pieces at their crossings and joins to loops those parts
// that lie at the distance |d| or farther, and in no mitre.
func (o Outline) trimmed(pieces []Span, mitres []kite, d float64) ([]Loop, error) {
	if len(pieces) == 0 {
		return nil, nil
	}
	cuts := make([][]hit, len(pieces)) // only at and ts are used
	x := &index{spans: pieces}
	if len(pieces) > treeFrom {
		x.grow()
	}
	err := x.pairs(func(i, j int) error {
		if apart(&pieces[i], &pieces[j]) {
			return nil
		}
		for _, h := range hits(&pieces[i], &pieces[j], fine/10) {
			cuts[i] = append(cuts[i], h)
			cuts[j] = append(cuts[j], hit{at: h.at, ts: h.tt})
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	var w weave
	ready := prepared(o.Loops)
	for i, s := range pieces {
		for _, part := range s.cut(cuts[i]) {
			mid := part.Point(0.5)
			away := ready.Dist(mid)
			far := d > 0 && away >= d-fine || d < 0 && away <= d+fine
			if far && !slices.ContainsFunc(mitres, func(k kite) bool { return k.holds(mid) }) {
				w.add(part)
			}
		}
	}
	return w.loops()
}

// cut splits s at the points. Parts without length are left out.
func (s Span) cut(at []hit) []Span {
	slices.SortStableFunc(at, func(a, b hit) int { return cmp.Compare(a.ts, b.ts) })
	at = append(at, hit{at: s.B, ts: 1})
	var parts []Span
	from, t := s.A, 0.0
	for _, h := range at {
		if h.at.Sub(from).Len() <= fine && (h.ts-t)*s.Len <= 4*fine {
			continue
		}
		parts = append(parts, NewSpan(from, h.at, arcBulge(s.Sweep*(h.ts-t))))
		from, t = h.at, h.ts
	}
	return parts
}

// weave joins loose spans end to start.
type weave struct {
	grid  map[[2]int64][]int32 // nodes by cell
	nodes []vec.P2
	ends  [][]int32 // the ties that start or end at each node
	ties  []tie
}

// tie is a span between two nodes.
type tie struct {
	from, to int32
	span     Span
	gone     bool
}

// sameNode is the distance in mm within which ends meet: both may be off by
// fine.
const sameNode = 2 * fine

// node returns the number of the node at p, a new one if there is none.
func (w *weave) node(p vec.P2) int32 {
	const cell = 4 * sameNode
	cx, cy := int64(math.Floor(p.X/cell)), int64(math.Floor(p.Y/cell))
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, n := range w.grid[[2]int64{cx + dx, cy + dy}] {
				if w.nodes[n].Sub(p).Len() <= sameNode {
					return n
				}
			}
		}
	}
	if w.grid == nil {
		w.grid = map[[2]int64][]int32{}
	}
	n := int32(len(w.nodes))
	w.nodes, w.ends = append(w.nodes, p), append(w.ends, nil)
	w.grid[[2]int64{cx, cy}] = append(w.grid[[2]int64{cx, cy}], n)
	return n
}

// add takes a span in. One that runs along another between the same nodes is
// dropped; if it runs the other way, both are.
func (w *weave) add(s Span) {
	from, to := w.node(s.A), w.node(s.B)
	if from == to && s.Len <= 2*math.Pi*sameNode {
		return
	}
	mid := s.Point(0.5)
	for _, i := range w.ends[from] {
		t := &w.ties[i]
		along := t.from == from && t.to == to
		against := t.from == to && t.to == from
		if t.gone || !along && !against || t.span.Point(0.5).Sub(mid).Len() > 10*fine {
			continue
		}
		t.gone = against
		return
	}
	n := int32(len(w.ties))
	w.ties = append(w.ties, tie{from: from, to: to, span: s})
	w.ends[from] = append(w.ends[from], n)
	w.ends[to] = append(w.ends[to], n)
}

// errOpen means that the trimmed pieces did not close.
var errOpen = errors.New("the pieces do not close")

// loops returns the loops that the ties make, those without area left out.
func (w *weave) loops() ([]Loop, error) {
	w.fray()
	var loops []Loop
	for first := range w.ties {
		if w.ties[first].gone {
			continue
		}
		var l Loop
		for i := int32(first); ; {
			t := &w.ties[i]
			t.gone = true
			l = append(l, Seg{w.nodes[t.from], t.span.Bulge})
			if t.to == w.ties[first].from {
				break
			}
			next := w.next(t.to)
			if next < 0 {
				return nil, errOpen
			}
			i = next
		}
		if l = l.welded(); len(l) >= 2 && math.Abs(l.Area()) > touch*l.Length() {
			loops = append(loops, l)
		}
	}
	return loops, nil
}

// welded returns l without the pieces too short to keep its corners apart: each
// shrinks to its middle.
func (l Loop) welded() Loop {
	for i := 0; i < len(l) && len(l) > 1; {
		next := (i + 1) % len(l)
		if l[next].At.Sub(l[i].At).Len() > 3*touch {
			i++
			continue
		}
		l[next].At = l[i].At.Lerp(l[next].At, 0.5)
		l = slices.Delete(l, i, i+1)
		i = max(0, i-1)
	}
	return l
}

// fray takes off loose ends until none is left.
func (w *weave) fray() {
	for again := true; again; {
		again = false
		in, out := make([]bool, len(w.nodes)), make([]bool, len(w.nodes))
		for _, t := range w.ties {
			if !t.gone {
				out[t.from], in[t.to] = true, true
			}
		}
		for i := range w.ties {
			if t := &w.ties[i]; !t.gone && !(in[t.from] && out[t.to]) {
				t.gone, again = true, true
			}
		}
	}
}

// next returns a tie that leaves the node, -1 if none is left. Where there is a
// choice the result touches itself, whichever is taken.
func (w *weave) next(node int32) int32 {
	for _, i := range w.ends[node] {
		if t := &w.ties[i]; !t.gone && t.from == node {
			return i
		}
	}
	return -1
}
