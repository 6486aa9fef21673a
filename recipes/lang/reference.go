package lang

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// columns is the widest a line of the reference is.
const columns = 80

// Reference writes the reference of one kind of block, or of the whole language
// if kind is empty: plain text of at most 80 columns. An unknown kind is an
// error that names the nearest.
func Reference(k Kinds, kind string) (string, error) {
	r := newReader(nil, "", k)
	ref := &reference{}
	if kind != "" {
		found := r.kinds[kind]
		if found == nil {
			return "", fmt.Errorf("there is no kind of block %q: %s", clip(kind), r.didYouMean(kind, r.kindNames, "there are "+strings.Join(r.kindNames, ", ")))
		}
		ref.kind(found)
		return ref.String(), nil
	}
	ref.manner()
	for _, name := range r.kindNames {
		ref.line("")
		ref.kind(r.kinds[name])
	}
	ref.line("")
	ref.line("Functions and names")
	ref.wide = wordWide
	for _, f := range r.funcs {
		ref.wide = max(ref.wide, len(f.usage())+2)
	}
	for _, name := range r.funcNames {
		f := r.funcs[name]
		ref.entry(1, f.usage(), sentence(f.Help))
	}
	ref.entry(1, "pi", "3.14159..., half a turn by its radius.")
	return ref.String(), nil
}

// reference is the text as it grows.
type reference struct {
	strings.Builder
	wide int // of the column of words
}

func (t *reference) line(s string) { t.WriteString(s + "\n") }

// manner tells how the language is written.
func (t *reference) manner() {
	t.line("A recipe is made of blocks, each with a kind, a name and its words:")
	t.line("")
	t.line(`  kind "name" {`)
	t.line("    word = 2 * kind.other.word + 6   # a remark")
	t.line("  }")
	t.line("")
	t.fill(0, 0, "Lengths are millimetres, angles degrees, always plain numbers. Words are in quotes. "+
		"A value may be a formula: + - * / % and brackets, comparisons, test ? this : that, the functions below, "+
		"the block's own words, and the values of other blocks as kind.name.word. "+
		"A reference is the name of a block, kind.name. Blocks stand in any order.")
}

// kind writes one kind of block.
func (t *reference) kind(k *Kind) {
	d := &Desc{}
	k.New().Describe(d)
	name := `"name"`
	if k.Title {
		name = `"the title, free text"`
	}
	if k.About != nil {
		name = fmt.Sprintf("%q", "kind.name/"+k.About[0])
	}
	t.line(fmt.Sprintf("%s %s { }", k.Name, name))
	t.fill(2, 2, sentence(d.about))
	if d.more != "" {
		t.fill(2, 2, d.more)
	}
	if k.About != nil {
		t.fill(2, 2, "Its label names a block and one of: "+strings.Join(k.About, ", ")+".")
	}
	t.wide = d.wide()
	t.desc(d, 1)
	if len(d.gives) > 0 {
		t.line("  Others may read what is written above, and:")
		for _, g := range d.gives {
			t.entry(2, g.Name, g.says())
		}
	}
	if len(d.later) > 0 {
		t.line("  Known only once the metal is modelled:")
		for _, g := range d.later {
			t.entry(2, g.Name, g.says())
		}
	}
}

// desc writes the words and ties of a block or sub-block.
func (t *reference) desc(d *Desc, level int) {
	for _, w := range d.words {
		t.entry(level, w.name, t.word(d, w))
		for _, a := range w.alts {
			t.fill(t.wide+2*level, t.wide+2*level, sentence(fmt.Sprintf("or %q: %s", a.plain, a.help)))
		}
		if w.isBlock() {
			sub := &Desc{}
			w.newSub().Describe(sub)
			t.desc(sub, level+1)
		}
	}
	for _, tie := range d.ties {
		t.tie(d, tie, level)
	}
}

// word says everything about one word: what it is, what it accepts, when it may
// be left out, and the forms that have it.
func (t *reference) word(d *Desc, w *Word) string {
	parts := []string{sentence(w.help)}
	say := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	switch {
	case w.isBlock():
		form := w.name + " { }"
		if w.typ == typeBlocks {
			form = w.name + ` "3" { }, any number of them`
		}
		say("A block of its own: %s.", form)
	case w.typ == typeLiteral || w.typ == typeAny:
	default:
		say("%s", sentence(w.accepts()))
	}
	if d.kind == w {
		say("It decides which other words there are.")
	}
	if w.loose {
		say("Or a range, [least, most].")
	}
	if w.auto {
		say(`Or "auto".`)
	}
	tied := slices.ContainsFunc(d.ties, func(t *Tie) bool {
		return t.has(w.name) && (w.in == nil || slices.ContainsFunc(w.in, t.belongs))
	})
	switch {
	case w.def != "" && tied:
		say("If too little is given: %s.", w.def)
	case w.def != "":
		say("Default: %s.", w.def)
	case w.optional && !w.isBlock():
		say("May be left out.")
	}
	for _, f := range w.defIn {
		say("Default in %q: %s.", f.form, f.text)
	}
	if w.in != nil {
		say("Only with %s %s.", d.kind.name, either(w.in))
	}
	if w.pose {
		say("About how the piece hangs, not about shape.")
	}
	return strings.Join(parts, " ")
}

// tie writes a relation.
func (t *reference) tie(d *Desc, tie *Tie, level int) {
	in := ""
	if tie.in != nil {
		in = fmt.Sprintf(" with %s %s", d.kind.name, either(tie.in))
	}
	t.fill(2*level, 2*level, fmt.Sprintf("Tied%s: %s. Give all but one and it follows: %s = %s.",
		in, strings.Join(tie.members(), ", "), tie.solve[0].Word, tie.solve[0].Formula))
}

// wordWide is the least width of the column of words.
const wordWide = 12

// wide is the width of the column that holds all words of a block.
func (d *Desc) wide() int {
	wide := wordWide
	for _, w := range d.words {
		wide = max(wide, len(w.name)+2)
	}
	for _, g := range slices.Concat(d.gives, d.later) {
		wide = max(wide, len(g.Name)+2)
	}
	return wide
}

// entry writes a word and what is said about it, in two columns.
func (t *reference) entry(level int, word, text string) {
	indent := 2 * level
	head := strings.Repeat(" ", indent) + word
	col := indent + t.wide
	if n := utf8.RuneCountInString(head); n >= col {
		t.line(head)
		t.fill(col, col, text)
		return
	}
	t.wrap(head+strings.Repeat(" ", col-utf8.RuneCountInString(head)), col, text)
}

// fill writes text between an indent and the last column.
func (t *reference) fill(first, rest int, text string) {
	t.wrap(strings.Repeat(" ", first), rest, text)
}

// wrap writes text after a head, further lines indented.
func (t *reference) wrap(head string, indent int, text string) {
	line, empty := head, true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > columns {
			t.line(line)
			line, empty = strings.Repeat(" ", indent), true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	if !empty {
		t.line(line)
	}
}

// says says what a gift is, and its unit.
func (g Gift) says() string {
	if g.Unit == "" {
		return sentence(g.Help)
	}
	return sentence(g.Help + ", in " + g.Unit)
}

// sentence gives a text a capital and a full stop.
func sentence(s string) string {
	if s == "" {
		return s
	}
	s = strings.ToUpper(s[:1]) + s[1:]
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}
