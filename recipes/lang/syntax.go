package lang

import (
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// syntax guards, parses, and takes the file over into our own tree. It returns
// nil if the reading has to stop.
func (r *reader) syntax() *body {
	text, ok := r.guard()
	if !ok {
		return nil
	}
	tree := r.parse(text)
	if tree == nil {
		return nil
	}
	if n := countBlocks(tree); n > maxBlocks {
		r.fault(r.file(), fmt.Sprintf("the recipe has %d blocks, %d are allowed", n, maxBlocks), "split it into several recipes")
		return nil
	}
	return r.allowBody(tree)
}

// parse parses the text. Its faults, and those that the tokens alone show, end
// the reading: what follows a fault of syntax is guesswork.
func (r *reader) parse(text guarded) (tree *hclsyntax.Body) {
	defer func() {
		if p := recover(); p != nil { // a fault of the parser, met on no text so far
			r.fault(r.file(), "the recipe cannot be parsed", fmt.Sprint(p))
			tree = nil
		}
	}()
	said := r.slips(text.tokens)
	file, diags := hclsyntax.ParseConfig(text.src, r.name, text.start)
	for _, d := range diags {
		at := r.file()
		if d.Subject != nil {
			at = r.span(*d.Subject)
		}
		if d.Severity == hcl.DiagError && !said[at.Line] {
			summary, detail := plainly(d)
			r.fault(at, summary, detail)
		}
	}
	if len(r.diags) > 0 {
		return nil
	}
	return file.Body.(*hclsyntax.Body)
}

// slips finds what makers write and the parser would answer in its own terms:
// units behind numbers, decimal commas, signs from a text processor. It returns
// the lines that it spoke about.
func (r *reader) slips(tokens hclsyntax.Tokens) map[int]bool {
	said := map[int]bool{}
	say := func(from, to hclsyntax.Token, summary, detail string) {
		if line := from.Range.Start.Line; !said[line] {
			said[line] = true
			r.fault(r.span(hcl.RangeBetween(from.Range, to.Range)), summary, detail)
		}
	}
	depth := 0
	for i, t := range tokens {
		next := func(k int) hclsyntax.Token {
			return tokens[min(i+k, len(tokens)-1)]
		}
		switch t.Type {
		case hclsyntax.TokenOBrack, hclsyntax.TokenOParen:
			depth++
		case hclsyntax.TokenCBrack, hclsyntax.TokenCParen:
			depth--
		case hclsyntax.TokenNumberLit:
			unit := next(1)
			if from, to, ok := strings.Cut(string(t.Bytes), ".."); ok {
				say(t, t, fmt.Sprintf("%q is no number", clip(string(t.Bytes))), dotsAdvice(from, to))
			} else if unit.Type == hclsyntax.TokenIdent {
				say(t, unit, fmt.Sprintf("%q behind a number", clip(string(unit.Bytes))), unitAdvice(string(t.Bytes), string(unit.Bytes)))
			} else if unit.Type == hclsyntax.TokenComma && next(2).Type == hclsyntax.TokenNumberLit && depth == 0 {
				say(t, next(2), "a comma in a number", fmt.Sprintf("decimals have a point: %s.%s", t.Bytes, next(2).Bytes))
			}
		case hclsyntax.TokenInvalid:
			if s, ok := signs[string(t.Bytes)]; ok {
				say(t, t, fmt.Sprintf("the sign %s is not used", clip(string(t.Bytes))), s)
			}
		case hclsyntax.TokenApostrophe:
			say(t, t, "single quotes are not used", `write words in double quotes: "word"`)
		}
	}
	return said
}

// dotsAdvice says what to write in place of numbers with dots between them.
func dotsAdvice(from, to string) string {
	from, to = clip(from), clip(strings.Trim(to, "."))
	if from == "" || to == "" {
		return "decimals have one point"
	}
	return fmt.Sprintf("for one number write %s.%s; a range, where one is asked for, is a list: [%s, %s]", from, to, from, to)
}

// unitAdvice says how to write a number that bears a unit.
func unitAdvice(number, unit string) string {
	number = clip(number)
	switch unit {
	case "in", "inch", "inches":
		return fmt.Sprintf("lengths are plain mm: write inch(%s)", number)
	case "deg", "degrees", "degree":
		return "angles are plain degrees: write " + number
	case "cm":
		return fmt.Sprintf("lengths are plain mm: write 10 * %s", number)
	case "mm":
		return "lengths are plain mm: write " + number
	}
	return "lengths are plain mm, angles plain degrees; between two values goes a sign, + - * or /"
}

// signs is what to write in place of signs that no keyboard of a programmer
// has.
var signs = map[string]string{
	"“": `write words in plain double quotes: "word"`,
	"”": `write words in plain double quotes: "word"`,
	"„": `write words in plain double quotes: "word"`,
	"°": "angles are plain degrees: leave it out",
	"×": "write * for times",
	"·": "write * for times",
	"÷": "write / for divided by",
	"−": "write a plain hyphen for minus: -",
	"–": "write a plain hyphen for minus: -",
	"½": "write 0.5",
	"¼": "write 0.25",
	"¾": "write 0.75",
	"⌀": "leave it out: lengths are plain mm",
	"Ø": "leave it out: lengths are plain mm",
}

// plainly puts a fault of the parser into the words of this language.
func plainly(d *hcl.Diagnostic) (summary, detail string) {
	switch d.Summary {
	case "Argument or block definition required":
		return "neither a block nor a value", `a block is kind "name" { }, a value in it is word = value, each on a line of its own`
	case "Invalid single-argument block definition", "Argument definition required":
		return "a block on one line holds one value at most", "give every value a line of its own, and the closing brace too"
	case "Missing newline after argument", "Unexpected comma after argument":
		return "something follows the value", "give every value a line of its own"
	case "Missing newline after block definition":
		return "something follows the block", "begin it on a new line"
	case "Attribute redefined":
		return "the word is given twice", strings.Replace(d.Detail, "argument", "word", 1)
	case "Unclosed configuration block":
		return "the block is not closed", "a closing brace } is missing, here or in a block before"
	case "Invalid block definition":
		return "this is not a block", `a block is kind "name" { }, with the brace on the same line`
	case "Invalid multi-line string":
		return "a quoted word runs over the end of the line", `close it with "`
	case "Missing expression", "Invalid expression":
		return "a value is missing or incomplete", "write a number, a word in quotes, a name, or a formula of them"
	}
	return lowerFirst(d.Summary), d.Detail
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// countBlocks counts the blocks of a body and of all that is in them.
func countBlocks(b *hclsyntax.Body) int {
	n := len(b.Blocks)
	for _, s := range b.Blocks {
		n += countBlocks(s.Body)
	}
	return n
}
