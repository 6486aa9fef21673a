package sdf

import (
	"slices"

	"waxwright/geom/vec"
)

// Away from its strip a blend is one of its operands: in such places pruning
// puts that operand's own face, with all that is known of it, in place of the
// pair. The same face then stands for many pairs and is kept once.

// lone is what pruning left of an operand's leaf.
type lone struct {
	word int32
	sign Sign
	prog []int32
}

// alone prunes an operand's leaf in place of a pair.
func (z *pruner) alone(w int32) Sign {
	for _, l := range z.lone {
		if l.word == w {
			z.dst.prog = append(z.dst.prog, l.prog...)
			return l.sign
		}
	}
	from := len(z.dst.prog)
	s := z.leaf(w)
	z.lone = append(z.lone, lone{w, s, slices.Clone(z.dst.prog[from:])})
	return s
}

// twice reports whether the child that dst holds from word at on is there
// before, among the children that start at first.
func (z *pruner) twice(first, at int) bool {
	prog := z.dst.prog
	last := prog[at:]
	for i := first; i < at; {
		n := 1
		if prog[i] < 0 {
			n = int(prog[i+2])
		}
		if slices.Equal(prog[i:i+n], last) {
			return true
		}
		i += n
	}
	return false
}

// lone returns the word of the operand that a pair is within r of p, w itself
// where both operands matter or it is no pair.
func (l *Local) lone(w int32, p vec.P, r float64) int32 {
	s := &l.code.surf[l.leafOf(w).surf]
	if s.kind != blended {
		return w
	}
	a, b := s.pair.values(p)
	switch slack := s.a + 2*r; {
	case a-b > slack:
		return s.pair.words[1] ^ w&1
	case b-a > slack:
		return s.pair.words[0] ^ w&1
	}
	return w
}

// alone returns the operand's word that gives a pair's value at p, w itself in
// the strip of a blend and for other words.
func (l *Local) alone(w Word, p vec.P) Word { return Word(l.lone(int32(w), p, 0)) }
