package lang

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
)

var (
	utf8Mark  = []byte{0xEF, 0xBB, 0xBF}
	utf16Mark = [][]byte{{0xFF, 0xFE}, {0xFE, 0xFF}}
)

// guarded is a text that is safe to parse.
type guarded struct {
	src    []byte  // without a mark at its beginning
	start  hcl.Pos // where src begins
	tokens hclsyntax.Tokens
}

// guard looks at the bytes and at the tokens before anything recurses over
// them: the parser has no limit of depth, and a stack that overflows cannot be
// recovered. ok is false if the reading has to stop here.
func (r *reader) guard() (t guarded, ok bool) {
	src := r.lines.src
	t.start = hcl.InitialPos
	for _, m := range utf16Mark {
		if bytes.HasPrefix(src, m) {
			r.fault(r.file(), "the file is not UTF-8 text", "save it with the encoding UTF-8")
			return t, false
		}
	}
	if bytes.HasPrefix(src, utf8Mark) {
		src = src[len(utf8Mark):]
		t.start.Byte = len(utf8Mark)
	}
	if at, problem := notText(src); problem != "" {
		at += t.start.Byte
		r.fault(r.lines.place(r.name, at, at+1), problem, "a recipe is plain text, saved with the encoding UTF-8")
		return t, false
	}
	if roughTokens(src) > maxTokens { // a lexer that has run already has used up the memory
		r.fault(r.file(), fmt.Sprintf("the recipe is too large: over %d words, numbers and signs", maxTokens), "split it into several recipes")
		return t, false
	}
	for i, from := range r.lines.start {
		to := len(r.lines.src)
		if i+1 < len(r.lines.start) {
			to = r.lines.start[i+1]
		}
		if to-from > maxLine {
			r.fault(r.lines.place(r.name, from, from+1), fmt.Sprintf("a line of over %d bytes", maxLine), "break it up")
			return t, false
		}
	}
	t.src = src
	t.tokens, _ = hclsyntax.LexConfig(src, r.name, t.start) // the parser repeats its faults
	if t, ok = r.closeQuotes(t); !ok {
		return t, false
	}
	return t, r.guardTokens(t.tokens)
}

// notText returns the first byte that no text has, and why.
func notText(src []byte) (at int, problem string) {
	for i := 0; i < len(src); {
		c, size := utf8.DecodeRune(src[i:])
		switch {
		case c == utf8.RuneError && size == 1:
			return i, "this is not UTF-8 text"
		case c == '\r' && (i+1 == len(src) || src[i+1] != '\n'):
			return i, "a carriage return without a line feed"
		case c < ' ' && c != '\n' && c != '\r' && c != '\t', c == 0x7F:
			return i, fmt.Sprintf("a control character, code %d", c)
		}
		i += size
	}
	return 0, ""
}

// roughTokens counts the tokens of a text from above, but for a factor of two
// that oddities such as 1a or " " may hide: every run of letters and digits, and
// every other character that is not a blank, is one.
func roughTokens(src []byte) int {
	n, in := 0, false // a run
	for _, c := range src {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '_':
			if !in {
				n++
			}
			in = true
			continue
		case c == ' ', c == '\t', c == '\r', c >= 0x80 && c < 0xC0: // the latter go on with a character
		default:
			n++
		}
		in = false
	}
	return n
}

// guardTokens checks depth and number of tokens. An expression nests without
// brackets too, by signs and operators: so the operands that stand open, in all
// enclosing brackets together, are counted as well.
func (r *reader) guardTokens(tokens hclsyntax.Tokens) bool {
	type level struct {
		brace bool // a line ends what is open
		open  int  // tokens since the last comma or line
	}
	levels := []level{{brace: true}}
	line, inLine, open := 0, 0, 0
	for _, t := range tokens {
		if t.Range.Start.Line != line {
			line, inLine = t.Range.Start.Line, 0
		}
		inLine++
		top := &levels[len(levels)-1]
		top.open++
		open++
		switch t.Type {
		case hclsyntax.TokenOBrace, hclsyntax.TokenOBrack, hclsyntax.TokenOParen, hclsyntax.TokenOQuote,
			hclsyntax.TokenOHeredoc, hclsyntax.TokenTemplateInterp, hclsyntax.TokenTemplateControl:
			levels = append(levels, level{brace: t.Type == hclsyntax.TokenOBrace})
		case hclsyntax.TokenCBrace, hclsyntax.TokenCBrack, hclsyntax.TokenCParen, hclsyntax.TokenCQuote,
			hclsyntax.TokenCHeredoc, hclsyntax.TokenTemplateSeqEnd:
			if len(levels) > 1 {
				open -= top.open
				levels = levels[:len(levels)-1]
			}
		case hclsyntax.TokenNumberLit:
			if len(t.Bytes) > maxDigits {
				r.fault(r.span(t.Range), fmt.Sprintf("a number of %d characters", len(t.Bytes)), "round it")
				return false
			}
		case hclsyntax.TokenComma:
			open -= top.open
			top.open = 0
		case hclsyntax.TokenNewline, hclsyntax.TokenComment: // a remark holds the end of its line
			if top.brace && bytes.HasSuffix(t.Bytes, []byte("\n")) {
				open -= top.open
				top.open = 0
			}
		}
		if len(levels) > maxDepth {
			r.fault(r.span(t.Range), fmt.Sprintf("brackets are nested deeper than %d", maxDepth), "split it up with let blocks")
			return false
		}
		if inLine > maxPerLine || open > maxPerLine {
			r.fault(r.span(t.Range), fmt.Sprintf("an expression or line of over %d words, numbers and signs", maxPerLine), "split it up with let blocks")
			return false
		}
	}
	return true
}

// span makes a span of a range of HCL.
func (r *reader) span(g hcl.Range) Span {
	return Span{
		File: r.name,
		Line: g.Start.Line, Column: g.Start.Column, EndLine: g.End.Line, EndColumn: g.End.Column,
		Byte: g.Start.Byte, EndByte: g.End.Byte,
	}
}
