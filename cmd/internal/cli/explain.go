package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

func (r *run) explainVerb() *cli.Command {
	return &cli.Command{
		Name:      "explain",
		Usage:     "say where every number of a recipe comes from",
		ArgsUsage: "FILE [NAME] [--set DIAL=VALUE]... [--json], or --words [BLOCK]",
		UsageText: "waxwright explain marigold.hcl stones.petals",
		Description: `Prints every given and derived value with its unit and its origin: of the whole
recipe, of one block (stones.petals), of one kind of block (stones), or one
value alone (stones.petals.radius). With --words it prints the reference of the
recipe language instead, all of it or one kind of block.`,
		Flags: []cli.Flag{
			setFlag(),
			jsonFlag(),
			&cli.BoolFlag{Name: "words", Usage: "print the reference of the language"},
		},
		Action: func(c *cli.Context) error {
			if c.Bool("words") {
				return r.words(c)
			}
			return r.reply(c, r.explain(c))
		},
	}
}

// words prints the reference of the language.
func (r *run) words(c *cli.Context) error {
	if c.Args().Len() > 1 {
		return wrong(c, "--words takes one kind of block, or none")
	}
	ref, err := lang.Reference(piece.Kinds(), c.Args().First())
	if err != nil {
		return wrong(c, "%v", err)
	}
	return r.printf("%s", ref)
}

// explained is what explain has to say.
type explained struct {
	answer
	Blocks []block `json:"blocks,omitempty"`
}

// block is one block with its values.
type block struct {
	Name  string      `json:"name"`
	Span  lang.Span   `json:"span"`
	Facts []fact      `json:"facts"`
	Links []reference `json:"references,omitempty"`
}

// fact is one value and where it comes from.
type fact struct {
	Word string `json:"word"`
	Is   any    `json:"value"`
	Unit string `json:"unit,omitempty"`
	From string `json:"from"`
	Help string `json:"help,omitempty"`

	text string
}

// reference is a word that names another block.
type reference struct {
	Word string `json:"word"`
	To   string `json:"to"`
}

func (r *run) explain(c *cli.Context) *explained {
	out := &explained{answer: answer{Schema: "waxwright.explain.1"}}
	name := ""
	switch c.Args().Len() {
	case 0, 1:
	case 2:
		name = c.Args().Get(1)
	default:
		out.err = wrong(c, "one file and one name at most")
		return out
	}
	p, err := r.recipe(c, c.Args().First(), &out.answer, piece.ForCasting)
	if err != nil || p == nil {
		out.err = err
		return out
	}
	for _, b := range p.Recipe.Blocks() {
		out.Blocks = append(out.Blocks, explainBlock(p.Recipe, lang.HeadOf(b)))
	}
	if name != "" {
		all := out.Blocks
		if out.Blocks = pick(all, name); out.Blocks == nil {
			out.err = wrong(c, "%s", cmp.Or(later(p.Recipe, name, c.Args().First()), "there is no "+name+meant(all, name)))
		}
	}
	return out
}

func explainBlock(f *lang.File, h lang.Head) block {
	b := block{Name: h.Address, Span: h.Span, Facts: []fact{}}
	for _, v := range f.Facts(h.Address) {
		b.Facts = append(b.Facts, fact{
			Word: v.Word, Is: plainValue(v.Value), Unit: v.Unit, From: v.From(), Help: v.Help,
			text: v.Value.String(),
		})
	}
	for _, l := range f.Links(h.Address) {
		b.Links = append(b.Links, reference{l.Word, l.To.Address})
	}
	return b
}

// plainValue turns a value into what JSON knows.
func plainValue(v lang.Value) any {
	if n, err := v.Number(); err == nil {
		return n
	}
	if s, err := v.Text(); err == nil {
		return s
	}
	return v.String()
}

// pick returns what a name stands for: a block, a kind of block, a word of a
// block; nil for nothing.
func pick(all []block, name string) []block {
	var found []block
	for _, b := range all {
		kind, own, _ := strings.Cut(b.Name, ".")
		if name == b.Name || name == kind || name == own {
			found = append(found, b)
		}
		word, ok := strings.CutPrefix(name, b.Name+".")
		if !ok {
			continue
		}
		for _, f := range b.Facts {
			if f.Word == word {
				b.Facts, b.Links = []fact{f}, nil
				return []block{b}
			}
		}
	}
	return found
}

// later says where a value is to be had that only modelled metal has, as the weight of
// a plate, of a kind of block, or of the whole piece; it is empty for any other name, and
// for a block that is none.
func later(f *lang.File, name, file string) string {
	dot := max(0, strings.LastIndexByte(name, '.'))
	owner, word := name[:dot], strings.TrimPrefix(name[dot:], ".")
	whole := owner == "" || owner == "piece"
	all := f.Names()
	i := slices.IndexFunc(all, func(address string) bool {
		kind, own, _ := strings.Cut(address, ".")
		return (whole || slices.Contains([]string{address, kind, own}, owner)) && f.Later(address, word)
	})
	if i < 0 {
		return ""
	}
	says := name + " is known only once the metal is modelled"
	switch {
	case !whole && strings.HasPrefix(all[i], "stones."):
		says += fmt.Sprintf("; what stones weigh stands in the stone order, waxwright papers %s", quoted(file))
	case word == "weight" || word == "volume":
		says += fmt.Sprintf(", for each casting: waxwright make %s lists it", quoted(file))
	}
	return says
}

// meant says what a name that stands for nothing may have meant: a value of the
// block that it begins with, else a block, whose value it may name.
func meant(all []block, name string) string {
	var names []string
	for _, b := range all {
		if word, ok := strings.CutPrefix(name, b.Name+"."); ok {
			var words []string
			for _, f := range b.Facts {
				words = append(words, f.Word)
			}
			if near := lang.Nearest(word, words); near != "" {
				return fmt.Sprintf(": did you mean %s.%s?", b.Name, near)
			}
			return fmt.Sprintf(": %s has %s", b.Name, strings.Join(words, ", "))
		}
		names = append(names, b.Name)
	}
	if i := strings.LastIndexByte(name, '.'); i > strings.IndexByte(name, '.') && lang.Nearest(name[:i], names) != "" {
		name = name[:i]
	}
	return perhaps(name, names)
}

// The widest that text is set, in columns.
const columns = 96

// text writes the blocks for people: word, value, where it comes from.
func (o *explained) text() string {
	word, is := 0, 0
	for _, b := range o.Blocks {
		for _, f := range b.Facts {
			word, is = max(word, len(f.Word)), max(is, len([]rune(f.valueText())))
		}
		for _, l := range b.Links {
			word = max(word, len(l.Word))
		}
	}
	is = min(is, 24)
	var s strings.Builder
	for i, b := range o.Blocks {
		if i > 0 {
			s.WriteString("\n")
		}
		fmt.Fprintf(&s, "%s  (line %d)\n", b.Name, b.Span.Line)
		for _, f := range b.Facts {
			head := fmt.Sprintf("  %-*s  %-*s  ", word, f.Word, is, f.valueText())
			s.WriteString(hang(head, f.From))
		}
		for _, l := range b.Links {
			fmt.Fprintf(&s, "  %-*s  -> %s\n", word, l.Word, l.To)
		}
	}
	return s.String()
}

func (f fact) valueText() string {
	return strings.TrimSpace(f.text + " " + f.Unit)
}

// hang writes text behind a head, broken at blanks, with an indent as deep as
// the head is long.
func hang(head, text string) string {
	indent := len([]rune(head))
	var s strings.Builder
	line := head
	at := indent
	for i, w := range strings.Fields(text) {
		if i > 0 && at+1+len([]rune(w)) > columns {
			s.WriteString(line + "\n")
			line, at = strings.Repeat(" ", indent)+w, indent+len([]rune(w))
			continue
		}
		if i > 0 {
			line, at = line+" ", at+1
		}
		line, at = line+w, at+len([]rune(w))
	}
	return s.String() + strings.TrimRight(line, " ") + "\n"
}
