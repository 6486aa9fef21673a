package lang

import (
	"errors"
	"fmt"
	"slices"
)

// Check says what is wrong with a table of kinds: descriptions that contradict
// themselves, defaults and formulas that do not read. It is for the tests of a
// trade; nil means that Read does not panic on these descriptions.
func (k Kinds) Check() error {
	c := &checker{r: newReader(nil, "", k)}
	seen := map[string]bool{}
	for _, kind := range k.all() {
		if !isName(kind.Name) || seen[kind.Name] {
			c.say("kind %q: not a name, or there twice", kind.Name)
		}
		seen[kind.Name] = true
		d := &Desc{}
		kind.New().Describe(d)
		c.desc(kind.Name, d, nil)
	}
	seen = map[string]bool{}
	for _, f := range k.funcs() {
		if !isName(f.Name) || f.Call == nil || constants[f.Name] != 0 || seen[f.Name] {
			c.say("function %q: not a name, there twice, or it does nothing", f.Name)
		}
		seen[f.Name] = true
	}
	return errors.Join(c.errs...)
}

type checker struct {
	r    *reader
	errs []error
}

func (c *checker) say(format string, args ...any) {
	c.errs = append(c.errs, fmt.Errorf(format, args...))
}

// desc checks one description; outer is that of the block round a sub-block.
func (c *checker) desc(name string, d, outer *Desc) {
	forms := []string{""}
	if d.kind != nil {
		forms = d.kind.choices
	}
	for _, form := range forms {
		in := name
		if form != "" {
			in = fmt.Sprintf("%s with %s %q", name, d.kind.name, form)
		}
		seen := map[string]bool{}
		for _, w := range d.active(form) {
			if seen[w.name] {
				c.say("%s: %s is there twice", in, w.name)
			}
			seen[w.name] = true
			c.word(in, d, outer, w, form)
		}
		for _, t := range d.ties {
			if t.belongs(form) {
				c.tie(in, d, t, form)
			}
		}
	}
	for _, w := range d.words {
		if w.isBlock() {
			sub := &Desc{}
			w.newSub().Describe(sub)
			c.desc(name+" "+w.name, sub, d)
		}
		if w.help == "" {
			c.say("%s: %s has no help", name, w.name)
		}
	}
	if d.about == "" {
		c.say("%s: says nothing about itself", name)
	}
}

// word checks kinds, range and default of a word in one form.
func (c *checker) word(in string, d, outer *Desc, w *Word, form string) {
	for _, k := range w.kinds {
		if c.r.kinds[k] == nil {
			c.say("%s: %s names %q, which is no kind", in, w.name, k)
		}
	}
	if w.ranged && w.lo > w.hi {
		c.say("%s: the range of %s ends before it begins", in, w.name)
	}
	for _, other := range w.called {
		if d.find(form, other) != nil || gift(d.gives, other) != nil || d.called(form, other) != w.name {
			c.say("%s: %s cannot be called %s, which is another word, or is said of two", in, w.name, other)
		}
	}
	text := w.defaultIn(form)
	if text == "" {
		return
	}
	e, err := c.r.formula(text)
	if err != nil {
		c.say("%s: %s: %w", in, w.name, err)
		return
	}
	literal := true
	names(e, func(n *nameExpr) {
		literal = false
		if !c.known(n, d, form) && (outer == nil || !c.known(n, outer, "")) {
			c.say("%s: the default of %s, %s: nothing is called %s", in, w.name, text, n)
		}
	})
	if _, plain := w.plain(e); literal && !plain && w.typ != typeKind {
		v, ok := (&evaluator{r: c.r, quiet: true}).eval(e)
		if !ok {
			c.say("%s: the default of %s, %s, has no value", in, w.name, text)
		} else if _, problem, _ := w.fit(v); problem != "" {
			c.say("%s: the default of %s is %s", in, w.name, problem)
		}
	}
}

// known says whether a name in a default can mean something: a constant, a word
// of the block, a value of a block that it refers to, a value of the title.
func (c *checker) known(n *nameExpr, d *Desc, form string) bool {
	first := n.path[0]
	w := d.find(form, first)
	if len(n.path) == 1 {
		return constants[first] != 0 || w != nil && !w.isRef() && !w.isBlock()
	}
	if len(n.path) > 2 {
		return false
	}
	var kinds []string
	if k := c.r.kinds[first]; k != nil && k.Title {
		kinds = []string{first}
	} else if w != nil && w.typ == typeRef {
		kinds = w.kinds
	}
	return slices.ContainsFunc(kinds, func(kind string) bool {
		k := c.r.kinds[kind]
		if k == nil {
			return false
		}
		to := &Desc{}
		k.New().Describe(to)
		value := to.find("", n.path[1])
		return gift(to.gives, n.path[1]) != nil || value != nil && !value.isRef() && !value.isBlock()
	})
}

// always says whether a word of a form is a number that has a value even where
// nobody gives it: formulas of a tie may read it.
func always(d *Desc, form, word string) bool {
	w := d.find(form, word)
	return w != nil && w.typ == typeNumber && w.defaultIn(form) != ""
}

// tie checks the members and formulas of a tie in one form.
func (c *checker) tie(in string, d *Desc, t *Tie, form string) {
	for _, s := range t.solve {
		w := d.find(form, s.Word)
		switch {
		case w == nil:
			c.say("%s: a tie has %s, which the form has not", in, s.Word)
			continue
		case w.typ != typeNumber && w.typ != typeCount:
			c.say("%s: a tie has %s, which is no number", in, s.Word)
		case w.optional:
			c.say("%s: %s is in a tie and so can't be optional", in, s.Word)
		}
		if s.Func != nil {
			continue
		}
		e, err := c.r.formula(s.Formula)
		if err != nil {
			c.say("%s: %s: %w", in, s.Word, err)
			continue
		}
		names(e, func(n *nameExpr) {
			if n.path[0] == s.Word || len(n.path) == 1 && constants[n.path[0]] == 0 && !t.has(n.path[0]) && !always(d, form, n.path[0]) {
				c.say("%s: the formula for %s has %s, which is not another member of its tie, nor a number with a default", in, s.Word, n)
			}
		})
	}
}
