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
	r.brackets(text.tokens)
	said := r.slips(text.tokens)
	if len(r.open) > 0 {
		return nil
	}
	file, diags := hclsyntax.ParseConfig(text.src, r.name, text.start)
	for _, d := range diags {
		at := r.file()
		if d.Subject != nil {
			at = r.span(*d.Subject)
		}
		if d.Severity == hcl.DiagError && !said[at.Line] {
			said[at.Line] = true // what else the parser says of the line follows from it
			summary, detail := plainly(d)
			r.fault(at, summary, detail)
		}
	}
	if len(r.diags) > 0 {
		return nil
	}
	return file.Body.(*hclsyntax.Body)
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
		return "the word is given twice", "drop one of them" + firstLine(d.Detail)
	case "Invalid argument name":
		return "the word before = is in quotes, or is no word", "write it without quotes: word = value"
	case "Missing item separator", "Missing argument separator":
		return "a comma is missing", "put one between the values, as in [1, 2]"
	case "Unbalanced parentheses", "Missing closing parenthesis":
		return "something follows a value inside of parentheses", "between two values goes a sign, + - * or /"
	case "Missing false expression in conditional":
		return "a condition has two values", "write test ? value : other value"
	case "Attribute name required", "Invalid attribute name", "Variable name required":
		return "a name is not finished", "a value of another block is kind.name.word"
	case "Index value required", "Missing close bracket on index", "Missing close bracket on splat index", "Invalid legacy index syntax":
		return "there are no indexes", "read values by their name: kind.name.word"
	case "Missing key/value separator", "Missing attribute value", "Missing attribute separator":
		return "there are no values in braces", "give each number a word and a line of its own"
	case "Invalid escape sequence":
		return "a backslash begins nothing here", `write \\ for a backslash, \" for a quote within a text`
	case "Invalid number literal":
		return "this is no number", "write digits with one point, 2.5"
	case "Invalid character":
		return "a sign that is not used", "leave it out; texts stand in quotes"
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

// firstLine says where a word stands first, as the parser tells at the end of a
// sentence: "... at file:3,2-8. ..."; it is empty if it does not.
func firstLine(says string) string {
	line := 0
	if _, err := fmt.Sscanf(says[strings.LastIndex(says, ":")+1:], "%d,", &line); err != nil {
		return ""
	}
	return fmt.Sprintf("; the first is at line %d", line)
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
