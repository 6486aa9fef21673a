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
