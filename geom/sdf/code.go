package sdf

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Code is a compiled field: a tree of minima and maxima over smooth oriented
// surfaces in world space, ready to be pruned to small places. Its zero set is
// that of the Field it was compiled from; its values are 1-Lipschitz bounds of
// the distance. A Code is never changed and is safe for any number of
// goroutines.
type Code struct {
	all    Local // the whole, as the place that is all of space
	surf   []surface
	leaf   []leaf
	boxes  []bound
	bounds vec.Box
	digest [32]byte

	apart []*dissected // of a code that Faces made: what its surfaces were taken apart into
	seams int          // the first surface that is a seam
}

// leaf is one use of a surface.
type leaf struct {
	surf  int32
	tag   uint32
	run   bool    // the spans are one smooth run, extended at its ends
	spans []int32 // of the surface's shape; nil is all of them
}

// bound is a box that a node's solid lies in, or the solid that a negated
// node is the outside of.
type bound struct {
	box     vec.Box
	negated bool
}

// Local is a Code, or what is left of it for some place. Its program is the
// tree in prefix order: a leaf is one word, twice the leaf's number, plus one
// where it is negated; a node is four words (operation, number of children,
// length in words with all that is below, bound or -1) and its children.
type Local struct {
	code  *Code
	prog  []int32
	extra []leaf  // leaves beyond the code's own: outlines cut to the place
	spans []int32 // what the extra leaves list
}

// Operations of nodes, and the length of a node's head.
const (
	opMin int32 = -1
	opMax int32 = -2

	headLen = 4
)

// Word is a leaf of a Local's program: one surface, either way round.
type Word int32

// leafOf returns the leaf of a word.
func (l *Local) leafOf(w int32) *leaf {
	i := int(w >> 1)
	if n := len(l.code.leaf); i >= n {
		return &l.extra[i-n]
	}
	return &l.code.leaf[i]
}

// Value returns the word's surface function at p.
func (l *Local) Value(w Word, p vec.P) float64 {
	lf := l.leafOf(int32(w))
	v := l.code.surf[lf.surf].value(p, lf)
	if w&1 != 0 {
		return -v
	}
	return v
}

// Slope returns the word's surface function and its gradient at p.
func (l *Local) Slope(w Word, p vec.P) (float64, vec.P) {
	lf := l.leafOf(int32(w))
	v, g := l.code.surf[lf.surf].slope(p, lf)
	if w&1 != 0 {
		return -v, g.Neg()
	}
	return v, g
}

// Bend returns the least radius of curvature in mm that the word's surface
// shows within r of p, +Inf where it is flat.
func (l *Local) Bend(w Word, p vec.P, r float64) float64 {
	lf := l.leafOf(int32(w))
	return l.code.surf[lf.surf].bend(p, r, lf)
}

// Tag returns the owner of the word's surface.
func (l *Local) Tag(w Word) uint32 { return l.leafOf(int32(w)).tag }

// Same returns a number that two words share exactly when they name the same
// smooth surface, whichever way round.
func (l *Local) Same(w Word) uint64 {
	lf := l.leafOf(int32(w))
	id := uint64(lf.surf) << 32
	if lf.run {
		id |= uint64(lf.spans[0]) + 1
	}
	return id
}

// Rough reports whether the word stands for an outline whose corners the
// program could not take apart: its surface may have edges of its own.
func (l *Local) Rough(w Word) bool {
	lf := l.leafOf(int32(w))
	s := &l.code.surf[lf.surf]
	switch s.kind {
	case wall, rounded, leaning, revolve:
		return s.rough || !lf.run
	}
	return s.rough
}

// Smooth reports whether the word's surface has a normal everywhere that changes
// nowhere at once.
func (l *Local) Smooth(w Word) bool {
	lf := l.leafOf(int32(w))
	s := &l.code.surf[lf.surf]
	return !s.rough && len(s.tips) == 0 && (lf.run || s.kind < wall)
}

// Tips returns the points at which the word's surface has no normal: the apex
// of a cone, or where a turned outline meets its axis aslant.
func (l *Local) Tips(w Word) []vec.P {
	return l.code.surf[l.leafOf(int32(w)).surf].tips
}

// Words appends the leaves of l's program to to, in order.
func (l *Local) Words(to []Word) []Word {
	for i := 0; i < len(l.prog); {
		if w := l.prog[i]; w >= 0 {
			to = append(to, Word(w))
			i++
		} else {
			i += headLen
		}
	}
	return to
}

// Len returns the length of l's program in words: leaves, and four for each node.
func (l *Local) Len() int { return len(l.prog) }

// Single returns the only leaf of l's program, if it has just one.
func (l *Local) Single() (Word, bool) {
	if len(l.prog) == 1 {
		return Word(l.prog[0]), true
	}
	return 0, false
}

// Code returns what l is a part of.
func (l *Local) Code() *Code { return l.code }

// Empty reports whether nothing is left of the program.
func (l *Local) Empty() bool { return len(l.prog) == 0 }

// At returns the value at p and the leaf that gives it.
func (l *Local) At(p vec.P) (float64, Word) {
	v, w, _ := l.eval(0, p)
	return v, w
}

func (l *Local) eval(i int32, p vec.P) (v float64, from Word, next int32) {
	w := l.prog[i]
	if w >= 0 {
		return l.Value(Word(w), p), Word(w), i + 1
	}
	n := l.prog[i+1]
	if b := l.prog[i+3]; b >= 0 {
		return l.evalBounded(i, p)
	}
	v, from, next = l.eval(i+headLen, p)
	for k := int32(1); k < n; k++ {
		var u float64
		var f Word
		u, f, next = l.eval(next, p)
		if (w == opMin) == (u < v) && u != v {
			v, from = u, f
		}
	}
	return v, from, next
}

// evalBounded evaluates a node with a bound: outside its box the value is at
// least the distance from the box. Children whose boxes are farther than the
// best so far are skipped.
func (l *Local) evalBounded(i int32, p vec.P) (v float64, from Word, next int32) {
	op, n, end := l.prog[i], l.prog[i+1], i+l.prog[i+2]
	next = i + headLen
	for k := int32(0); k < n; k++ {
		if k > 0 && l.prog[next] < 0 {
			if b := l.prog[next+3]; b >= 0 {
				far, negated := l.code.boxes[b].far(p), l.code.boxes[b].negated
				if op == opMin && !negated && far >= v || op == opMax && negated && far <= v {
					next += l.prog[next+2]
					continue
				}
			}
		}
		var u float64
		var f Word
		u, f, next = l.eval(next, p)
		if k == 0 || (op == opMin) == (u < v) && u != v {
			v, from = u, f
		}
	}
	b := &l.code.boxes[l.prog[i+3]]
	if far := b.far(p); b.negated {
		if far < 0 {
			v = min(v, far)
		}
	} else if far > 0 {
		v = max(v, far)
	}
	return v, from, end
}

// far returns the bound that the box alone gives at p: 0 inside the box, and
// without end where that says nothing.
func (b *bound) far(p vec.P) float64 {
	d := b.box.Dist(p)
	if d <= 0 {
		if b.negated {
			return math.Inf(1)
		}
		return math.Inf(-1)
	}
	if b.negated {
		return -d
	}
	return d
}

// Whole returns the code as the place that is all of space, to be pruned.
func (c *Code) Whole() *Local { return &c.all }

// Dist returns a signed bound of the distance from p to the surface in mm,
// negative inside, with the same zero set as the field.
func (c *Code) Dist(p vec.P) float64 {
	if c.all.Empty() {
		return math.Inf(1)
	}
	v, _ := c.all.At(p)
	return v
}

// Bounds returns a box that holds every inner point.
func (c *Code) Bounds() vec.Box { return c.bounds }

// Surfaces returns the number of different surfaces.
func (c *Code) Surfaces() int { return len(c.surf) }

// Digest returns a hash of all that the code's values depend on. Fields that
// Compile does not know enter by their type and printed value.
func (c *Code) Digest() [32]byte { return c.digest }

func (c *Code) hash() [32]byte {
	h := sha256.New()
	num := func(vs ...any) {
		for _, v := range vs {
			// a hash never fails to take bytes
			_ = binary.Write(h, binary.LittleEndian, v)
		}
	}
	for i := range c.surf {
		s := &c.surf[i]
		num(uint8(s.kind), s.o, s.u, s.x, s.y, s.a, s.b, s.edge.z0, s.edge.z1, s.edge.bottom, s.edge.top)
		if s.pair != nil {
			num(s.pair.words)
		}
		for _, sp := range s.shape.Spans() {
			num(sp.A, sp.B, sp.Bulge)
		}
		if s.kind == opaque {
			fmt.Fprintf(h, "%T %v %v", s.field, s.field, s.by)
		}
	}
	for _, l := range c.leaf {
		num(l.surf, l.tag)
	}
	num(c.all.prog)
	for _, b := range c.boxes {
		num(b.box, b.negated)
	}
	return [32]byte(h.Sum(nil))
}
