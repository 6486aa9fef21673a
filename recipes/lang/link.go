package lang

import (
	"fmt"
	"slices"
	"strings"
)

// target is what a name in an expression stands for.
type target struct {
	number float64 // a constant, if both part and block are nil
	part   *part   // that has the word
	word   *Word   // a word of part
	block  *block  // another block
	value  string  // of block
}

// link resolves every reference and every name, and notes the needs.
func (r *reader) link() {
	for _, b := range r.blocks {
		if b.kind.About != nil {
			r.linkAbout(b)
		}
		r.linkPart(&b.part)
	}
	r.reportMissing()
}

// linkAbout checks that the block that a label is about is there.
func (r *reader) linkAbout(b *block) {
	at := b.named
	address, _, _ := strings.Cut(b.head.Name, "/")
	n := &nameExpr{span: at, path: strings.Split(address, ".")}
	for range n.path {
		n.spans = append(n.spans, at)
	}
	to, tr := r.findBlock(b, n, nil)
	if tr == nil && to.head.Address != address {
		tr = troubleAt(at, address+" is a value of a block, or none at all", "name the block: "+to.head.Address)
	}
	if tr != nil {
		r.report(*tr)
		b.failed = true
	}
}

func (r *reader) linkPart(p *part) {
	for _, w := range p.desc.active(p.form) { // references first: names may go through them
		if a := p.written[w.name]; a != nil && w.isRef() {
			r.linkRefs(p, w, a)
		}
	}
	for _, w := range p.desc.active(p.form) {
		a := p.written[w.name]
		switch {
		case w.isRef() || w.isBlock() || w.typ == typeKind || p.vague && a == nil:
		case a == nil:
			r.linkDefault(p, w)
		case a.value == nil:
			p.failed = true
		default:
			r.linkNames(p, w, a.value)
		}
	}
	for _, s := range p.subs {
		r.linkPart(s)
	}
}

// linkRefs resolves a reference word: names of blocks, never evaluated.
func (r *reader) linkRefs(p *part, w *Word, a *attr) {
	items := []expr{a.value}
	if l, ok := a.value.(*listExpr); ok && w.typ == typeRefs {
		items = l.items
		if len(items) == 0 {
			r.fault(a.span, w.name+" is an empty list", "leave the line out, or name "+orList(articles(w.kinds)))
			p.failed = true
		}
	}
	var refs []Ref
	for _, e := range items {
		ref, ok := r.linkRef(p, w, e)
		if !ok {
			p.failed = true
			continue
		}
		if slices.ContainsFunc(refs, func(o Ref) bool { return o.Address == ref.Address }) {
			r.fault(ref.Span, ref.Address+" is named twice", "leave one out")
			p.failed = true
			continue
		}
		refs = append(refs, ref)
	}
	if len(refs) == 0 || len(refs) < len(items) {
		return // incomplete: unknown
	}
	p.refs[w.name] = refs
	for _, ref := range refs {
		n := need{to: r.names[ref.Address], why: w.name + " = " + ref.Address, at: ref.Span}
		if w.pose {
			p.block.hangs = append(p.block.hangs, n)
		} else {
			p.block.needs = append(p.block.needs, n)
		}
		p.block.links = append(p.block.links, Link{Word: w.name, To: ref, Pose: w.pose})
	}
	w.setRefs(refs)
}

// linkRef resolves one reference and checks its kind.
func (r *reader) linkRef(p *part, w *Word, e expr) (Ref, bool) {
	if e == nil {
		return Ref{}, false
	}
	wants := orList(articles(w.kinds))
	n, ok := e.(*nameExpr)
	if !ok {
		fix := "write it without quotes or signs, such as " + w.kinds[0] + "." + r.anyName(w.kinds[0])
		switch e := e.(type) {
		case *textExpr:
			if r.names[e.s] != nil {
				fix = "write it without quotes: " + e.s
			}
		case *listExpr:
			if len(e.items) == 0 {
				break
			}
			if first, ok := e.items[0].(*nameExpr); ok {
				fix = "it names one block, without brackets: " + clip(first.String())
			}
		}
		r.fault(e.at(), w.name+" is a name: of "+wants, fix)
		return Ref{}, false
	}
	b, tr := r.findBlock(p.block, n, w.kinds)
	if tr != nil {
		r.report(*tr)
		return Ref{}, false
	}
	if len(n.path) > 2 || b.kind.Title && len(n.path) > 1 {
		r.fault(n.span, w.name+" names a block, not a value of it", "write "+b.head.Address)
		return Ref{}, false
	}
	if !slices.Contains(w.kinds, b.kind.Name) {
		r.fault(n.span, fmt.Sprintf("%s is %s; %s names %s", b.head.Address, article(b.kind.Name), w.name, wants), r.offer(p.block, w.kinds))
		return Ref{}, false
	}
	return Ref{Kind: b.kind.Name, Name: b.head.Name, Address: b.head.Address, Span: n.span}, true
}

// anyName returns the name of some block of a kind, for an example.
func (r *reader) anyName(kind string) string {
	if names := r.byKind[kind]; len(names) > 0 {
		return names[0]
	}
	return "name"
}

func articles(kinds []string) []string {
	all := make([]string, len(kinds))
	for i, k := range kinds {
		all[i] = article(k)
	}
	return all
}

// linkNames resolves the names of a written expression and notes the needs.
func (r *reader) linkNames(p *part, w *Word, e expr) {
	names(e, func(n *nameExpr) {
		t, tr := r.resolve(p, n)
		if tr != nil {
			if slices.Contains(w.choices, n.String()) || (w.typ == typeText && len(n.path) == 1) {
				tr.detail = fmt.Sprintf("put it in quotes: %q", clip(n.String()))
			}
			r.report(*tr)
			p.failed = true
			return
		}
		if t.block != nil {
			p.block.needs = append(p.block.needs, need{to: t.block, why: w.name + " = " + clip(writer{}.write(e, 0)), at: n.span, word: w.name})
		}
	})
}

// linkDefault resolves the names of the default of a word that is not written.
func (r *reader) linkDefault(p *part, w *Word) {
	text := w.defaultIn(p.form)
	if text == "" {
		return
	}
	e, err := r.formula(text)
	if err != nil {
		panic("lang: " + p.kindName() + "." + w.name + ": " + err.Error())
	}
	names(e, func(n *nameExpr) {
		t, tr := r.resolve(p, n)
		if tr == nil && t.block != nil {
			p.block.needs = append(p.block.needs, need{to: t.block, why: w.name + " = " + text + ", unless it is given", at: p.span})
		}
	})
}

// resolve finds what a name in an expression of a part stands for.
func (r *reader) resolve(p *part, n *nameExpr) (target, *trouble) {
	if len(n.path) == 1 {
		return r.resolveOwn(p, n)
	}
	if r.kinds[n.path[0]] == nil {
		if q, w := p.own(n.path[0]); w != nil && w.typ == typeRef {
			refs := q.refs[w.name]
			if len(refs) == 0 {
				if q.written[w.name] != nil || len(n.path) > 2 {
					return target{}, &trouble{} // the reference itself is at fault
				}
				return target{}, troubleAt(n.span, fmt.Sprintf("%s is not given", w.name), "name "+orList(articles(w.kinds)))
			}
			return r.resolveValue(p, n, r.names[refs[0].Address], 1)
		}
	}
	b, tr := r.findBlock(p.block, n, nil)
	if tr != nil {
		return target{}, tr
	}
	if b.kind.Title {
		return r.resolveValue(p, n, b, 1)
	}
	if len(n.path) == 2 && (b.kind.Name == "dial" || b.kind.Name == "let") {
		return target{block: b, value: "value"}, nil
	}
	return r.resolveValue(p, n, b, 2)
}

// own finds a word in a part or around it.
func (p *part) own(word string) (*part, *Word) {
	for q := p; q != nil; q = q.parent {
		if w := q.desc.find(q.form, word); w != nil {
			return q, w
		}
	}
	return nil, nil
}

// resolveOwn finds a name of one step: a constant or a word of the same block.
func (r *reader) resolveOwn(p *part, n *nameExpr) (target, *trouble) {
	name := n.path[0]
	if v, ok := constants[name]; ok {
		return target{number: v}, nil
	}
	q, w := p.own(name)
	switch {
	case w != nil && w.isRef():
		return target{}, troubleAt(n.span, name+" is a block, not a value", "say which of its values: "+name+".word")
	case w != nil && w.isBlock():
		return target{}, troubleAt(n.span, name+" is a block, not a value", "its words stay in it")
	case w != nil:
		return target{part: q, word: w}, nil
	case gift(p.block.desc.gives, name) != nil:
		return target{}, troubleAt(n.span, name+" is known only after all words of the block", "other blocks may read it, as "+p.block.head.Address+"."+name)
	case p.block.vague:
		return target{}, &trouble{}
	}
	if r.kinds[name] != nil {
		_, tr := r.findBlock(p.block, n, nil)
		return target{}, tr
	}
	var words []string
	for _, w := range p.desc.active(p.form) {
		words = append(words, w.name)
	}
	fix := r.didYouMean(name, words, "")
	if fix == "" {
		if other := r.elsewhere(name); other != "" {
			fix = "did you mean " + other + "?"
		} else {
			fix = "words stand in quotes, values of other blocks have their full name: kind.name.word"
		}
	}
	return target{}, troubleAt(n.span, fmt.Sprintf("there is nothing called %q", clip(name)), fix)
}

// resolveValue finds a value of a block: the step of the name at index i, which
// has to be the last.
func (r *reader) resolveValue(p *part, n *nameExpr, b *block, i int) (target, *trouble) {
	if len(n.path) == i {
		return target{}, troubleAt(n.span, b.head.Address+" is a block, not a value", "say which of its values: "+strings.Join(b.readable(), ", "))
	}
	if len(n.path) > i+1 {
		return target{}, troubleAt(n.span, clip(n.String())+" has a step too many", "a value is kind.name.word")
	}
	value := n.path[i]
	w := b.desc.find(b.form, value)
	if b == p.block && w != nil && gift(b.desc.gives, value) == nil {
		return target{part: &b.part, word: w}, nil
	}
	switch {
	case gift(b.desc.gives, value) != nil, w != nil && !w.isRef() && !w.isBlock():
		return target{block: b, value: value}, nil
	case w != nil:
		return target{}, troubleAt(n.spans[i], value+" of "+b.head.Address+" is a block, not a value", "read the value where it is written")
	case gift(b.desc.later, value) != nil:
		return target{}, troubleAt(n.spans[i], value+" is known only once the metal is modelled",
			"no value can follow from it; turn a dial and look what becomes of it")
	case b.vague:
		return target{}, &trouble{}
	}
	at := n.spans[i]
	if b.desc.find("", value) != nil {
		return target{}, troubleAt(at, fmt.Sprintf("%s has no %s: its %s is %q", b.head.Address, value, b.desc.kind.name, b.form),
			fmt.Sprintf("%s belongs to %s %s", value, b.desc.kind.name, either(b.desc.formsOf(value))))
	}
	if c := b.desc.called(b.form, value); c != "" {
		return target{}, troubleAt(at, fmt.Sprintf("%s has no value %q", b.head.Address, clip(value)), fmt.Sprintf("did you mean %q?", c))
	}
	readable := b.readable()
	return target{}, troubleAt(at, fmt.Sprintf("%s has no value %q", b.head.Address, clip(value)),
		r.didYouMean(value, readable, "it has "+strings.Join(readable, ", ")))
}

// readable lists what others may read of a block.
func (b *block) readable() []string {
	var all []string
	for _, w := range b.desc.active(b.form) {
		if !w.isRef() && !w.isBlock() && !slices.Contains(all, w.name) {
			all = append(all, w.name)
		}
	}
	for _, g := range b.desc.gives {
		if !slices.Contains(all, g.Name) {
			all = append(all, g.Name)
		}
	}
	return all
}
