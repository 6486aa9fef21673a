package lang

import (
	"fmt"
	"slices"
	"strings"
)

// decode gives every word its value and derives the blocks, in the order of
// their needs.
func (r *reader) decode() {
	for _, b := range r.order {
		if b.state == failed { // in a circle
			continue
		}
		r.decodePart(&b.part)
		if b.broken() || slices.ContainsFunc(b.needs, func(n need) bool { return n.to.state != derived }) {
			b.state = failed
			continue
		}
		b.dest.Derive(&Scope{r, b})
		if b.state == pending {
			b.state = derived
		}
	}
}

// broken says whether the part or one within it failed.
func (p *part) broken() bool {
	return p.failed || slices.ContainsFunc(p.subs, (*part).broken)
}

func (r *reader) decodePart(p *part) {
	if p.vague {
		p.failed = true
		return
	}
	r.planTies(p)
	for _, w := range p.desc.active(p.form) {
		switch {
		case w.isBlock():
		case w.isRef():
			if p.written[w.name] == nil && !w.optional {
				r.missing(p, w)
			}
		default:
			if _, ok := r.word(p, w); !ok {
				p.failed = true
			}
		}
	}
	for _, s := range p.subs {
		r.decodePart(s)
	}
}

// missing reports a word that has to be given.
func (r *reader) missing(p *part, w *Word) {
	p.failed = true
	if p.meant[w.name] {
		return
	}
	summary := fmt.Sprintf("%s needs %s: %s", p.title(), w.name, w.help)
	if p.desc.kind != nil && w.in != nil {
		summary = fmt.Sprintf("%s with %s %q needs %s: %s", p.title(), p.desc.kind.name, p.form, w.name, w.help)
	}
	r.fault(p.span, summary, "give "+w.name+", "+w.accepts())
}

// word works a word out, once. It returns no fact for a word that is left out
// and may be; ok is false if the value is unknown.
func (r *reader) word(p *part, w *Word) (f *Fact, ok bool) {
	if ok, done := p.done[w.name]; done {
		return p.facts[w.name], ok
	}
	if at := slices.Index(p.busy, w.name); at >= 0 {
		r.fault(p.spanOf(w.name), fmt.Sprintf("%s: a circle of needs, %s", p.title(), strings.Join(append(slices.Clone(p.busy[at:]), w.name), " needs ")), "give a number somewhere in it")
		return nil, false
	}
	p.busy = append(p.busy, w.name)
	f, ok = r.workOut(p, w)
	p.busy = p.busy[:len(p.busy)-1]
	p.done[w.name] = ok
	p.failed = p.failed || !ok
	if f != nil {
		p.facts[w.name] = f
	}
	return f, ok
}

// workOut finds the value of a word: written, solved from a tie, or default.
func (r *reader) workOut(p *part, w *Word) (*Fact, bool) {
	a := p.written[w.name]
	s, tied := p.solver[w.name]
	switch {
	case tied:
		return s.solve(r, p, w)
	case a != nil:
		return r.written(p, w, a)
	case w.defaultIn(p.form) != "":
		return r.byDefault(p, w)
	case w.optional:
		return nil, true
	case p.inTie(w.name):
		return nil, false // the tie has been reported
	}
	r.missing(p, w)
	return nil, false
}

// fact makes an empty fact for a word.
func (p *part) fact(w *Word) *Fact {
	name := w.name
	for q := p; q.parent != nil; q = q.parent {
		name = q.name() + "." + name
	}
	return &Fact{Address: p.block.head.Address, Word: name, Unit: w.unit, Help: w.help, Span: p.spanOf(w.name)}
}

// written decodes a value that stands in the recipe.
func (r *reader) written(p *part, w *Word, a *attr) (*Fact, bool) {
	if a.value == nil {
		return nil, false
	}
	if t, ok := w.plain(a.value); ok {
		f := p.fact(w)
		f.Value = t
		return f, true
	}
	if w.typ == typeLiteral {
		return r.writtenDial(p, w, a)
	}
	ev := &evaluator{r: r, p: p}
	v, ok := ev.eval(a.value)
	if !ok {
		return nil, false
	}
	v, problem, fix := w.fit(v)
	if problem != "" {
		summary := w.name + " is " + problem
		if set := r.setIn(a.value); set != "" {
			summary, fix = fmt.Sprintf("%s: %s of %s is %s", set, w.name, p.title(), problem), "set it to another value, or "+fix
		} else if in := ev.inNumbers(a.value); in != "" && v.typ == isNumber {
			fix += fmt.Sprintf("; %s = %s = %s", w.name, writer{}.write(a.value, 0), in)
		}
		r.fault(a.span, summary, fix)
		return nil, false
	}
	f := p.fact(w)
	f.Value = v
	if isLiteral(a.value) {
		switch e := a.value.(type) {
		case *numberExpr:
			f.source = e.text
		case *listExpr:
			for _, x := range e.items {
				f.Items = append(f.Items, x.at())
			}
		}
	} else {
		f.Origin = Formula
		f.Formula = writer{}.write(a.value, 0)
		f.Numbers = ev.inNumbers(a.value)
	}
	if w.set != nil {
		w.set(v)
	}
	return f, true
}

// setIn says which dials that an expression reads are set from outside, and to
// what: "dial.petals set to 9.5"; empty for none.
func (r *reader) setIn(e expr) string {
	var all []string
	names(e, func(n *nameExpr) {
		if len(n.path) < 2 || n.path[0] != "dial" {
			return
		}
		if v, ok := r.set[n.path[1]]; ok {
			if says := fmt.Sprintf("dial.%s set to %s", n.path[1], clip(v)); !slices.Contains(all, says) {
				all = append(all, says)
			}
		}
	})
	return strings.Join(all, ", ")
}

// plain takes up a plain word that stands in place of the value of a word.
func (w *Word) plain(e expr) (Value, bool) {
	if t, ok := e.(*textExpr); ok {
		for _, alt := range w.alts {
			if t.s == alt.plain {
				*alt.to = true
				return TextValue(t.s), true
			}
		}
	}
	return Value{}, false
}

// byDefault decodes the default of a word that is not written.
func (r *reader) byDefault(p *part, w *Word) (*Fact, bool) {
	text := w.defaultIn(p.form)
	e, err := r.formula(text)
	if err != nil {
		panic("lang: " + p.kindName() + "." + w.name + ": " + err.Error())
	}
	if t, ok := w.plain(e); ok {
		f := p.fact(w)
		f.Value, f.Origin, f.Formula = t, Default, text
		return f, true
	}
	ev := &evaluator{r: r, p: p, what: w.name + " = " + text, at: p.span}
	v, ok := ev.eval(e)
	if !ok {
		return nil, false
	}
	f := p.fact(w)
	e = ev.taken(e)
	f.Origin, f.Formula, f.Numbers = Default, writer{}.write(e, 0), ev.inNumbers(e)
	return r.accept(p, w, f, v, "give "+w.name)
}

// accept checks a value that is not written as such against its word.
func (r *reader) accept(p *part, w *Word, f *Fact, v Value, fix string) (*Fact, bool) {
	v, problem, _ := w.fit(v)
	if problem != "" {
		how := f.Formula
		if f.Numbers != "" {
			how += " = " + f.Numbers
		}
		r.fault(p.spanOf(w.name), fmt.Sprintf("%s: %s is %s", p.title(), w.name, problem), fmt.Sprintf("%s = %s; %s, or change what it follows from", w.name, how, fix))
		return nil, false
	}
	f.Value = v
	if w.set != nil {
		w.set(v)
	}
	return f, true
}
