package lang

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// title is the most characters of a title.
const title = 80

// gather makes a block of every block that is written: kind, name, words.
func (r *reader) gather(b *body) {
	for _, a := range b.attrs {
		r.fault(a.name, fmt.Sprintf("%s stands outside of any block", clip(a.word)),
			fmt.Sprintf("values stand in blocks: let %q {", clip(a.word))+" value = ... }")
	}
	meant := map[string]bool{} // kinds that seem to be written, misspelt
	for _, raw := range b.blocks {
		k := r.kinds[raw.kind]
		meant[raw.kind] = true
		if k == nil {
			r.lose(raw)
			fix := "there are " + strings.Join(r.kindNames, ", ")
			if c := r.nearest(raw.kind, r.kindNames); c != "" {
				meant[c] = true
				fix = fmt.Sprintf("did you mean %q?", c)
			}
			r.fault(raw.kindSpan, fmt.Sprintf("there is no kind of block %q", clip(raw.kind)), fix)
			continue
		}
		name, ok := r.blockName(k, raw)
		if !ok {
			r.lose(raw)
			continue
		}
		r.gatherBlock(k, name, raw)
	}
	for _, k := range r.kindNames {
		if r.kinds[k].Title && !meant[k] {
			r.fault(r.file(), fmt.Sprintf("there is no %s block", k), fmt.Sprintf("begin the recipe with %s %q { }", k, "its title"))
		}
	}
	r.checkSet()
}

// lose keeps the kind and the names of a block that could not be gathered: who
// refers to it, or to one of its kind that is not there, stays silent.
func (r *reader) lose(raw *rawBlock) {
	r.lostKinds[raw.kind] = true
	for _, l := range raw.labels {
		r.lost[l.text] = true
	}
}

// blockName returns the name of a block, or reports that it has none that is
// good.
func (r *reader) blockName(k *Kind, raw *rawBlock) (string, bool) {
	if len(raw.labels) == 0 {
		r.fault(raw.header, article(k.Name)+" has a name", k.Name+` "name" { }`)
		return "", false
	}
	l := raw.labels[0]
	if len(raw.labels) > 1 {
		r.fault(raw.labels[1].span, article(k.Name)+" has one name", "leave the second out")
		return "", false
	}
	if !l.quoted {
		r.fault(l.span, "the name is not in quotes", fmt.Sprintf("write %s %q", k.Name, clip(l.text)))
		return "", false
	}
	if k.Title {
		if strings.TrimSpace(l.text) == "" || utf8.RuneCountInString(l.text) > title || strings.ContainsFunc(l.text, unicode.IsControl) {
			r.fault(l.span, fmt.Sprintf("a title has 1 to %d characters on one line", title), "")
			return "", false
		}
		return l.text, true
	}
	if k.About != nil {
		return l.text, r.isAbout(k, l)
	}
	if !isName(l.text) {
		r.badName(l.text, l.span, "a name")
		return "", false
	}
	return l.text, true
}

// isAbout checks the form of a label that says what its block is about, and the
// word in it. Whether there is a block at the address shows when all are
// gathered: see linkAbout.
func (r *reader) isAbout(k *Kind, l label) bool {
	address, word, ok := strings.Cut(l.text, "/")
	switch {
	case !ok || address == "":
		r.fault(l.span, fmt.Sprintf("%s names a block and a word about it", k.Name), fmt.Sprintf("write %s %q", k.Name, "kind.name/"+k.About[0]))
	case !slices.Contains(k.About, word):
		r.fault(l.span, fmt.Sprintf("%s knows no %q", k.Name, clip(word)), r.didYouMean(word, k.About, "it is "+either(k.About)))
	default:
		return true
	}
	return false
}

func (r *reader) gatherBlock(k *Kind, name string, raw *rawBlock) {
	address := k.Name + "." + name
	if k.Title {
		address = k.Name
	}
	if first := r.names[address]; first != nil {
		if k.Title {
			r.fault(raw.header, fmt.Sprintf("a second %s block; the first is at line %d", k.Name, first.span.Line), "a recipe has one")
		} else {
			r.fault(raw.header, fmt.Sprintf("a second %s; the first is at line %d", address, first.span.Line), "give it another name")
		}
		return
	}
	b := &block{kind: k, dest: k.New(), index: len(r.blocks)}
	b.head = b.dest.head()
	*b.head = Head{Kind: k.Name, Name: name, Address: address, Span: raw.header}
	b.block, b.span, b.named = b, raw.header, raw.labels[0].span
	r.gatherPart(&b.part, b.dest, raw.body)
	r.blocks = append(r.blocks, b)
	r.names[address] = b
	r.byKind[k.Name] = append(r.byKind[k.Name], name)
}

// gatherPart describes a block or a sub-block and sorts what is written in it.
func (r *reader) gatherPart(p *part, d Describer, b *body) {
	p.desc = &Desc{}
	d.Describe(p.desc)
	p.written = map[string]*attr{}
	p.refs = map[string][]Ref{}
	p.facts = map[string]*Fact{}
	p.meant, p.done = map[string]bool{}, map[string]bool{}
	for _, a := range b.attrs {
		p.written[a.word] = a
	}
	missing := r.findForm(p)
	for _, a := range b.attrs {
		if w := p.desc.find(p.form, a.word); w == nil {
			if isName(a.word) {
				r.unknownWord(p, a.word, a.name)
			}
			p.failed = true
		} else if w.isBlock() {
			r.fault(a.name, a.word+" is a block, not a value", "write it without the equals sign: "+a.word+" { }")
			p.failed = true
		}
	}
	if w := p.desc.kind; missing && !p.meant[w.name] {
		r.fault(p.span, fmt.Sprintf("%s needs %s: %s", p.title(), w.name, w.help), "it is "+either(w.choices))
	}
	for _, raw := range b.blocks {
		r.gatherSub(p, raw)
	}
}

// findForm reads the kind word, which decides on all others. It says whether the
// word is missing.
func (r *reader) findForm(p *part) (missing bool) {
	w := p.desc.kind
	if w == nil {
		return false
	}
	a := p.written[w.name]
	if a == nil {
		p.form = strings.Trim(w.def, `"`)
		p.vague = p.form == ""
		return p.vague
	}
	if a.value == nil {
		p.vague = true
		return false
	}
	t, ok := a.value.(*textExpr)
	switch {
	case !ok:
		p.vague = true
		fix := "it is " + either(w.choices)
		if n, ok := a.value.(*nameExpr); ok && slices.Contains(w.choices, n.String()) {
			fix = fmt.Sprintf("put it in quotes: %q", n)
		}
		if l, ok := a.value.(*listExpr); ok && len(l.items) > 0 {
			if t, ok := l.items[0].(*textExpr); ok && slices.Contains(w.choices, t.s) {
				fix = fmt.Sprintf("write it without brackets: %q", t.s)
			}
		}
		r.fault(a.span, w.name+" is a plain word in quotes, never a formula", fix)
	case !slices.Contains(w.choices, t.s):
		p.vague = true
		r.fault(a.span, fmt.Sprintf("%q is no %s of %s", clip(t.s), w.name, article(p.kindName())),
			r.didYouMean(t.s, w.choices, "it is "+either(w.choices)))
	default:
		p.form = t.s
	}
	return false
}

// unknownWord reports a word that the block or its form does not have.
func (r *reader) unknownWord(p *part, word string, at Span) {
	if other := p.desc.find("", word); other != nil {
		r.fault(at, fmt.Sprintf("%s with %s %q has no %s", article(p.kindName()), p.desc.kind.name, p.form, word),
			fmt.Sprintf("%s belongs to %s %s", word, p.desc.kind.name, either(p.desc.formsOf(word))))
		return
	}
	words := p.words()
	if g := gift(p.desc.gives, word); g != nil {
		r.fault(at, fmt.Sprintf("%s follows from other words of %s", word, article(p.kindName())), "leave it out; others may read it")
		return
	}
	summary := fmt.Sprintf("%s has no word %q", article(p.kindName()), clip(word))
	if c := p.desc.called(p.form, word); c != "" {
		p.meant[c] = true
		r.fault(at, summary, fmt.Sprintf("did you mean %q?", c))
		return
	}
	if fix, ok := r.inside(p, word); ok {
		r.fault(at, summary, fix)
		return
	}
	if c := r.nearest(word, words); c != "" {
		p.meant[c] = true
		r.fault(at, summary, fmt.Sprintf("did you mean %q?", c))
		return
	}
	r.fault(at, summary, "it has "+strings.Join(words, ", "))
}

// words lists the words that the part may have.
func (p *part) words() []string {
	var words []string
	for _, w := range p.desc.active(p.form) {
		if !slices.Contains(words, w.name) {
			words = append(words, w.name)
		}
	}
	return words
}

// inside says that a word belongs one level further in, or out.
func (r *reader) inside(p *part, word string) (string, bool) {
	if p.parent != nil && p.parent.desc.find(p.parent.form, word) != nil {
		return fmt.Sprintf("it belongs to the %s, outside of %s", p.parent.kindName(), p.word), true
	}
	for _, w := range p.desc.active(p.form) {
		if w.isBlock() {
			d := &Desc{}
			w.newSub().Describe(d)
			if d.find("", word) != nil {
				return fmt.Sprintf("it belongs into a block of its own, %s { %s = ... }; %s itself has %s", w.name, word, article(p.kindName()), strings.Join(p.words(), ", ")), true
			}
		}
	}
	return "", false
}

// gatherSub takes up one sub-block.
func (r *reader) gatherSub(p *part, raw *rawBlock) {
	w := p.desc.find(p.form, raw.kind)
	if w == nil {
		p.failed = true
		if r.kinds[raw.kind] != nil {
			r.fault(raw.header, fmt.Sprintf("%s stands inside of %s", article(raw.kind), article(p.kindName())), "close the block before it with }")
			return
		}
		r.unknownWord(p, raw.kind, raw.kindSpan)
		return
	}
	if !w.isBlock() {
		p.failed = true
		r.fault(raw.kindSpan, w.name+" is a value, not a block", "write "+w.name+" = ...")
		return
	}
	sub := &part{block: p.block, parent: p, word: w.name, span: raw.header}
	if !r.subLabel(p, sub, w, raw) {
		p.failed = true
		return
	}
	d := w.newSub()
	if h, ok := d.(interface{ head() *Head }); ok {
		*h.head() = Head{Kind: w.name, Name: sub.label, Address: p.block.head.Address + " " + sub.name(), Span: raw.header}
	}
	r.gatherPart(sub, d, raw.body)
	w.setSub(d)
	p.subs = append(p.subs, sub)
}

// subLabel checks the label of a sub-block and that there is no other like it.
func (r *reader) subLabel(p, sub *part, w *Word, raw *rawBlock) bool {
	if w.typ == typeBlock && len(raw.labels) > 0 {
		r.fault(raw.labels[0].span, w.name+" has no name", "write "+w.name+" { }")
		return false
	}
	if w.typ == typeBlocks {
		if len(raw.labels) != 1 || !isLabel(raw.labels[0].text) {
			r.fault(raw.header, w.name+" has one name or number", "write "+w.name+` "3" { }`)
			return false
		}
		sub.label = raw.labels[0].text
	}
	for _, o := range p.subs {
		if o.word == sub.word && o.label == sub.label {
			r.fault(raw.header, fmt.Sprintf("a second %s; the first is at line %d", sub.name(), o.span.Line), "put them together")
			return false
		}
	}
	return true
}

// isLabel says whether s labels a sub-block: a name, or a whole number without
// leading zeros.
func isLabel(s string) bool {
	if isName(s) {
		return true
	}
	if s == "" || len(s) > 6 || s[0] == '0' {
		return false
	}
	return strings.Trim(s, "0123456789") == ""
}

// isBlock says whether the word is a sub-block.
func (w *Word) isBlock() bool { return w.typ == typeBlock || w.typ == typeBlocks }

// isRef says whether the word is a reference.
func (w *Word) isRef() bool { return w.typ == typeRef || w.typ == typeRefs }

// formsOf returns the forms that have a word, in their order.
func (d *Desc) formsOf(word string) []string {
	var forms []string
	for _, f := range d.kind.choices {
		if d.find(f, word) != nil {
			forms = append(forms, f)
		}
	}
	return forms
}
