package lang

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

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

// of returns how a member is solved.
func (t *Tie) of(word string) Solve {
	return t.solve[slices.IndexFunc(t.solve, func(s Solve) bool { return s.Word == word })]
}

// members returns the words of the tie.
func (t *Tie) members() []string {
	ws := make([]string, len(t.solve))
	for i, s := range t.solve {
		ws[i] = s.Word
	}
	return ws
}

// solver says how a word that is not given is found.
type solver struct {
	tie  *Tie
	band string // of a count: the word that has to come to lie in its range
}

// inTie says whether a tie of the form has the word.
func (p *part) inTie(word string) bool {
	return slices.ContainsFunc(p.desc.ties, func(t *Tie) bool { return t.belongs(p.form) && t.has(word) })
}

// planTies decides, before anything is worked out, which word each tie solves
// and which defaults are assumed.
func (r *reader) planTies(p *part) {
	var open []*Tie
	known := map[string]bool{}
	p.solver, p.bands = map[string]solver{}, map[string]*listExpr{}
	for _, t := range p.desc.ties {
		if !t.belongs(p.form) {
			continue
		}
		open = append(open, t)
		for _, word := range t.members() {
			known[word] = p.isKnown(word)
		}
	}
	for len(open) > 0 {
		rest := slices.DeleteFunc(slices.Clone(open), func(t *Tie) bool { return r.planTie(p, t, known) })
		if len(rest) < len(open) {
			open = rest
			continue
		}
		word := p.assumable(open, known)
		if word == "" {
			break
		}
		known[word] = true // by its default
	}
	for _, t := range open {
		r.tooLittle(p, t, known)
	}
}

// isKnown says whether a member of a tie is written with a value of its own. A
// range and "auto" are not; a range is noted.
func (p *part) isKnown(word string) bool {
	a, w := p.written[word], p.desc.find(p.form, word)
	if a == nil {
		return false
	}
	if l, ok := a.value.(*listExpr); ok && w.loose && len(l.items) == 2 {
		p.bands[word] = l
		return false
	}
	if t, ok := a.value.(*textExpr); ok && w.auto && t.s == "auto" {
		return false
	}
	return true
}

// planTie plans one tie if enough is known, and says whether it did.
func (r *reader) planTie(p *part, t *Tie, known map[string]bool) bool {
	var unknown []string
	for _, word := range t.members() {
		if !known[word] {
			unknown = append(unknown, word)
		}
	}
	switch len(unknown) {
	case 0:
		r.tooMuch(p, t)
		return true
	case 1:
		p.solver[unknown[0]] = solver{tie: t}
		known[unknown[0]] = true
		return true
	case 2:
		for i, count := range unknown {
			band := unknown[1-i]
			if p.bands[band] != nil && p.bands[count] == nil && p.desc.find(p.form, count).typ == typeCount {
				p.solver[count] = solver{tie: t, band: band}
				p.solver[band] = solver{tie: t}
				known[count], known[band] = true, true
				return true
			}
		}
	}
	return false
}

// assumable returns the next member of an open tie whose default is assumed.
func (p *part) assumable(open []*Tie, known map[string]bool) string {
	for _, w := range p.desc.active(p.form) {
		if !known[w.name] && p.written[w.name] == nil && w.defaultIn(p.form) != "" &&
			slices.ContainsFunc(open, func(t *Tie) bool { return t.has(w.name) }) {
			return w.name
		}
	}
	return ""
}

// tooLittle says what to give one more of, unless one of them seems to be written.
func (r *reader) tooLittle(p *part, t *Tie, known map[string]bool) {
	var unknown []string
	for _, word := range t.members() {
		if !known[word] {
			unknown = append(unknown, word)
		}
	}
	p.failed = true
	if slices.ContainsFunc(unknown, func(word string) bool { return p.meant[word] }) {
		return
	}
	r.fault(p.span, fmt.Sprintf("%s: give %s more of %s", p.title(), numeral(len(unknown)-1), strings.Join(unknown, ", ")), r.ties(t.of(unknown[len(unknown)-1])))
}

// tooMuch says what to drop.
func (r *reader) tooMuch(p *part, t *Tie) {
	var given []string
	at := p.span
	for _, word := range t.members() {
		if a := p.written[word]; a != nil {
			given = append(given, fmt.Sprintf("%s (line %d)", word, a.name.Line))
			if a.span.Byte > at.Byte {
				at = a.span
			}
		}
	}
	p.failed = true
	r.fault(at, fmt.Sprintf("%s: %s are tied, and all are given", p.title(), strings.Join(t.members(), ", ")),
		"drop one of "+strings.Join(given, ", ")+"; "+r.ties(t.solve[0]))
}

// ties writes one formula of a tie: "radius = ... ties them".
func (r *reader) ties(s Solve) string { return s.Word + " = " + r.pretty(s) + " ties them" }

// pretty writes a formula as people do.
func (r *reader) pretty(s Solve) string {
	if s.Func != nil {
		return s.Formula
	}
	e, err := r.formula(s.Formula)
	if err != nil {
		panic("lang: " + err.Error())
	}
	return writer{}.write(e, 0)
}

func numeral(n int) string {
	if n < 5 {
		return []string{"none", "one", "two", "three", "four"}[n]
	}
	return fmt.Sprint(n)
}

// solve finds a word from the others of its tie.
func (s solver) solve(r *reader, p *part, w *Word) (*Fact, bool) {
	for _, word := range s.tie.members() {
		if word != w.name && word != s.band {
			if f, ok := r.word(p, p.desc.find(p.form, word)); !ok || f == nil {
				return nil, false
			}
		}
	}
	if s.band != "" {
		return s.choose(r, p, w)
	}
	how := s.tie.of(w.name)
	f := p.fact(w)
	f.Origin, f.Formula = Tied, r.pretty(how)
	ev := &evaluator{r: r, p: p, what: w.name + " = " + f.Formula, at: p.spanOf(w.name)}
	v, ok := ev.tied(how)
	if !ok {
		return nil, false
	}
	if how.Func == nil {
		e, _ := r.formula(how.Formula) // pretty has read it
		f.Numbers = ev.inNumbers(e)
	}
	if !r.inBand(p, w, v) {
		return nil, false
	}
	fix := "give " + w.name
	if w.typ == typeCount {
		for _, word := range s.tie.members() {
			if p.desc.find(p.form, word).loose {
				fix = fmt.Sprintf("let %s be a range, %s = [least, most]", word, word)
			}
		}
	}
	return r.accept(p, w, f, NumberValue(v), fix)
}

// tied works out one formula of a tie.
func (ev *evaluator) tied(how Solve) (float64, bool) {
	if how.Func == nil {
		e, err := ev.r.formula(how.Formula)
		if err != nil {
			panic("lang: " + err.Error())
		}
		v, ok := ev.eval(e)
		return v.num, ok
	}
	v, err := how.Func(func(word string) float64 {
		if v, ok := ev.trial[word]; ok {
			return v
		}
		return ev.p.facts[word].Value.num
	})
	if err != nil {
		ev.fault(ev.at, err.Error(), "")
		return 0, false
	}
	_, ok := ev.finite(v, &numberExpr{span: ev.at})
	return v, ok
}

// band returns the range that a word of a tie is given.
func (r *reader) band(p *part, w *Word) (lo, hi float64, ok bool) {
	v, ok := (&evaluator{r: r, p: p}).eval(p.bands[w.name])
	if !ok {
		return 0, 0, false
	}
	at := p.written[w.name].span
	for _, e := range v.list {
		if _, problem, fix := w.fit(e); problem != "" {
			r.fault(at, w.name+" is "+problem, fix)
			return 0, 0, false
		}
	}
	lo, hi = v.list[0].num, v.list[1].num
	if lo > hi {
		r.fault(at, w.name+" is a range that ends before it begins", "write the least first")
		return 0, 0, false
	}
	return lo, hi, true
}

// inBand checks a solved word against the range that it is given, if it is.
func (r *reader) inBand(p *part, w *Word, v float64) bool {
	if p.bands[w.name] == nil {
		return true
	}
	lo, hi, ok := r.band(p, w)
	if ok && (v < lo || v > hi) {
		r.fault(p.spanOf(w.name), fmt.Sprintf("%s comes to %s, outside of its range", w.name, formatUnit(v, w.unit)), "widen the range, or change what it follows from")
		return false
	}
	return ok
}

// mostTries bounds how many counts are tried for a range.
const mostTries = 10_000

// choose finds the count for which the band word comes to lie in its range, as
// near to the middle as it can.
func (s solver) choose(r *reader, p *part, w *Word) (*Fact, bool) {
	b := p.desc.find(p.form, s.band)
	lo, hi, ok := r.band(p, b)
	if !ok {
		return nil, false
	}
	first, last := 1, mostTries
	if w.ranged {
		first, last = int(w.lo), min(int(w.hi), int(w.lo)+mostTries)
	}
	ev := &evaluator{r: r, p: p, quiet: true, trial: map[string]float64{}}
	best, bestOff, bestValue := 0, math.Inf(1), 0.0
	for n := first; n <= last; n++ {
		ev.trial[w.name] = float64(n)
		v, ok := ev.tied(s.tie.of(s.band))
		if off := math.Abs(v - (lo+hi)/2); ok && off < bestOff {
			best, bestOff, bestValue = n, off, v
		}
	}
	if best == 0 || bestValue < lo || bestValue > hi {
		fix := "widen the range"
		if best != 0 {
			fix = fmt.Sprintf("the nearest is %s = %d with %s = %s; widen the range, or change what it follows from", w.name, best, b.name, formatUnit(bestValue, b.unit))
		}
		r.fault(p.written[b.name].span, fmt.Sprintf("no %s brings %s into %s", w.name, b.name, p.rangeText(lo, hi)), fix)
		return nil, false
	}
	f := p.fact(w)
	f.Origin, f.Formula = Tied, fmt.Sprintf("so that %s lies in %s", b.name, p.rangeText(lo, hi))
	return r.accept(p, w, f, NumberValue(float64(best)), "give "+w.name)
}

func (p *part) rangeText(lo, hi float64) string {
	return "[" + formatNumber(lo) + ", " + formatNumber(hi) + "]"
}
