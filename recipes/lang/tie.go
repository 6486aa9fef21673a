package lang

import "slices"

// Tie is a relation between words of a block, as data: give all but one of
// them and the last follows.
type Tie struct {
	solve []Solve
	in    []string
}

// Solve says how one word of a tie follows from the others.
type Solve struct {
	Word string
	// Formula is an expression in the language: "(size + gap) / (2 * sin(180 /
	// count))". It is what explain and the faults show, and it is evaluated
	// unless Func is set.
	Formula string
	// Func solves what no closed formula does. get returns the value of any
	// other word of the tie. Formula is then free text that says how, and must
	// not be empty.
	Func func(get func(word string) float64) (float64, error)
}

// Tie says that these words are tied: any one follows from all the others. Too
// little given: the defaults of the words are assumed in the order of their
// description until one is left, or the fault says what to give one more of.
// Too much given: the fault says what to drop.
func (d *Desc) Tie(solve ...Solve) *Tie {
	if len(solve) < 2 {
		panic("lang: a tie needs two words")
	}
	t := &Tie{solve: solve}
	d.ties = append(d.ties, t)
	return t
}

// In limits the tie to these forms of the block.
func (t *Tie) In(forms ...string) *Tie {
	t.in = append(t.in, forms...)
	return t
}

// belongs says whether the tie holds in a form.
func (t *Tie) belongs(form string) bool {
	return t.in == nil || slices.Contains(t.in, form)
}

// has says whether the word is a member.
func (t *Tie) has(word string) bool {
	return slices.ContainsFunc(t.solve, func(s Solve) bool { return s.Word == word })
}
