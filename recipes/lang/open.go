package lang

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// A quote, brace or bracket without its partner makes nonsense of all that
// follows. They are looked for before the parser sees the text, and where one is
// found the parser is not asked: so each is one fault, where it was opened.

// closeQuotes reports the quotes that are not closed on their line. It returns
// the text without what is quoted on such lines, byte for byte as long, and its
// tokens. ok is false if there are more than can be told apart.
func (r *reader) closeQuotes(t guarded) (closed guarded, ok bool) {
	for spent := 0; spent <= maxTokens; spent += len(t.tokens) {
		at, found := openQuote(t.tokens)
		if !found {
			return t, true
		}
		quote := at.Start.Byte
		from := bytes.LastIndexByte(r.lines.src[:quote], '\n') + 1
		from += bytes.IndexByte(r.lines.src[from:], '"')
		to := len(r.lines.src)
		if n := bytes.IndexByte(r.lines.src[from:], '\n'); n >= 0 {
			to = from + n
		}
		text := quotedPart(r.lines.src[quote+1 : to])
		fix := `a word stands between two quotes: "word"`
		if text != "" {
			fix = fmt.Sprintf(`close it on the same line: "%s"`, clip(text))
		}
		r.fault(r.lines.place(r.name, quote, quote+1+len(text)), "a quote is opened and not closed", fix)
		r.open[at.Start.Line] = true

		t.src = bytes.Clone(t.src)
		unquote(t.src[from-t.start.Byte : to-t.start.Byte])
		t.tokens, _ = hclsyntax.LexConfig(t.src, r.name, t.start)
	}
	return t, false
}

// unquote blanks the end of a line but for braces and brackets, which the rest
// of the text goes by.
func unquote(line []byte) {
	remark := false
	for i, c := range line {
		remark = remark || c == '#'
		if c != '\r' && (remark || !strings.ContainsRune("{}[]", rune(c))) {
			line[i] = ' '
		}
	}
}

// openQuote returns the range of the first quote whose line ends before its
// partner comes.
func openQuote(tokens hclsyntax.Tokens) (at hcl.Range, found bool) {
	var open []hcl.Range // quotes, each inside of the one before
	for _, t := range tokens {
		switch t.Type {
		case hclsyntax.TokenOQuote:
			open = append(open, t.Range)
		case hclsyntax.TokenCQuote:
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		}
		ends := t.Type == hclsyntax.TokenEOF || t.Range.End.Line > t.Range.Start.Line
		if ends && len(open) > 0 {
			return open[0], true
		}
	}
	return hcl.Range{}, false
}

// quotedPart returns the word that was probably meant by what follows an open
// quote on its line.
func quotedPart(line []byte) string {
	if i := bytes.IndexAny(line, "#{"); i >= 0 {
		line = line[:i]
	}
	return string(bytes.Trim(line, "}[](), \t\r"))
}

// partners are the signs that close, by those that open.
var partners = map[string]string{"{": "}", "[": "]", "(": ")"}

// bracket is one that is open.
type bracket struct {
	sign   string
	at     hcl.Range
	block  string // whose brace it is, "" for none
	column int    // where that block begins
}

// pairs follows the brackets of a text.
type pairs struct {
	r      *reader
	tokens hclsyntax.Tokens
	open   []bracket
	excess int    // braces that open over those that close, less what was reported
	closed string // the block that was closed last, and where
}

// brackets reports braces and brackets without a partner, each where it was
// opened, and notes their lines.
func (r *reader) brackets(tokens hclsyntax.Tokens) {
	p := pairs{r: r}
	quotes := 0
	for _, t := range tokens {
		switch t.Type {
		case hclsyntax.TokenOQuote, hclsyntax.TokenOHeredoc:
			quotes++
		case hclsyntax.TokenCQuote, hclsyntax.TokenCHeredoc:
			quotes--
		case hclsyntax.TokenOBrace:
			p.excess++
		case hclsyntax.TokenCBrace:
			p.excess--
		}
		if quotes == 0 || t.Type == hclsyntax.TokenOQuote {
			p.tokens = append(p.tokens, t)
		}
	}
	for i, t := range p.tokens {
		switch t.Type {
		case hclsyntax.TokenIdent:
			p.item(i)
		case hclsyntax.TokenOBrace, hclsyntax.TokenOBrack, hclsyntax.TokenOParen:
			p.push(i)
		case hclsyntax.TokenCBrace, hclsyntax.TokenCBrack, hclsyntax.TokenCParen:
			p.pop(i)
		}
	}
	for len(p.open) > 0 {
		p.unclosed("")
	}
}

// is returns the type of the token at i, the last for any behind it.
func (p *pairs) is(i int) hclsyntax.TokenType { return p.tokens[min(i, len(p.tokens)-1)].Type }

// begins says whether the token at i is the first of an item.
func (p *pairs) begins(i int) bool {
	if i == 0 {
		return true
	}
	switch p.is(i - 1) {
	case hclsyntax.TokenNewline, hclsyntax.TokenComment, hclsyntax.TokenOBrace, hclsyntax.TokenCBrace:
		return true
	}
	return false
}

// push notes an open bracket, and which block a brace belongs to.
func (p *pairs) push(i int) {
	b := bracket{sign: string(p.tokens[i].Bytes), at: p.tokens[i].Range}
	from := i
	for from > 0 && !p.begins(from) {
		from--
	}
	if head := p.tokens[from]; b.sign == "{" && head.Type == hclsyntax.TokenIdent && p.is(from+1) != hclsyntax.TokenEqual {
		b.block, b.column = p.text(from, i-1), head.Range.Start.Column
	}
	p.open = append(p.open, b)
}

// text returns what is written from one token to another.
func (p *pairs) text(from, to int) string {
	g := hcl.RangeBetween(p.tokens[from].Range, p.tokens[to].Range)
	return clip(string(p.r.lines.src[g.Start.Byte:g.End.Byte]))
}

// pop closes a bracket. What is open inside of its partner was forgotten; a sign
// without any partner is the fault itself.
func (p *pairs) pop(i int) {
	t := p.tokens[i]
	sign, line := string(t.Bytes), t.Range.Start.Line
	if sign == "}" && p.begins(i) {
		p.outdented(t)
	}
	at := len(p.open) - 1
	for at >= 0 && partners[p.open[at].sign] != sign {
		if sign != "}" && p.open[at].sign == "{" { // no bracket reaches out of its block
			at = -1
			break
		}
		at--
	}
	if top := len(p.open) - 1; at < 0 && top >= 0 && sign != "}" && p.open[top].sign != "{" {
		b := p.open[top]
		p.say(t.Range, fmt.Sprintf("%s closes what %s opened", sign, b.sign), "write "+partners[b.sign])
		p.open = p.open[:top]
		return
	}
	if at < 0 {
		fix := "take it out"
		for opens, closes := range partners {
			if closes == sign && sign != "}" {
				fix += ", or write " + opens + " before it"
			}
		}
		if sign == "}" && p.closed != "" {
			fix = p.closed + " already; take one of the two out"
		}
		p.say(t.Range, fmt.Sprintf("nothing is open that this %s could close", sign), fix)
		return
	}
	for len(p.open) > at+1 {
		p.unclosed("")
	}
	if b := p.open[at].block; b != "" {
		p.closed = fmt.Sprintf("%s was closed at line %d", b, line)
	}
	p.open = p.open[:at]
}

// outdented closes blocks that begin further in than a brace that stands first
// on its line, if braces are missing and the brace fits the block round them.
func (p *pairs) outdented(t hclsyntax.Token) {
	for top := len(p.open) - 1; p.excess > 0 && top > 0; top-- {
		column := t.Range.Start.Column
		if p.open[top].block == "" || p.open[top].column <= column || p.open[top-1].column < column {
			return
		}
		p.unclosed(fmt.Sprintf(" before line %d", t.Range.Start.Line))
	}
}

// item looks at a name that begins an item: what has to be closed before a word
// or a block may stand there.
func (p *pairs) item(i int) {
	if !p.begins(i) {
		return
	}
	name, at := string(p.tokens[i].Bytes), p.tokens[i].Range.Start
	alone := p.is(i+1) == hclsyntax.TokenNewline
	block := p.is(i+1) == hclsyntax.TokenOBrace || p.is(i+1) == hclsyntax.TokenOQuote
	if !alone && !block && p.is(i+1) != hclsyntax.TokenEqual {
		return
	}
	where := fmt.Sprintf(" before line %d, where %s begins", at.Line, clip(name))
	for !alone && len(p.open) > 0 && p.open[len(p.open)-1].sign != "{" {
		p.unclosed(where)
	}
	for block && p.excess > 0 && len(p.open) > 0 && (p.r.kinds[name] != nil || at.Column == 1) {
		p.unclosed(where)
	}
	if alone && p.excess < 0 || p.is(i+1) == hclsyntax.TokenOQuote && (p.r.kinds[name] != nil || p.excess < 0) {
		p.unopened(i)
	}
}

// unopened reports a block without a brace on its line, and takes it for open.
func (p *pairs) unopened(i int) {
	j := i + 1
	for p.is(j) == hclsyntax.TokenOQuote || p.is(j) == hclsyntax.TokenCQuote {
		j++
	}
	text := p.text(i, j-1)
	switch p.is(j) {
	case hclsyntax.TokenNewline, hclsyntax.TokenComment, hclsyntax.TokenIdent, hclsyntax.TokenCBrace:
	default:
		return
	}
	head := hcl.RangeBetween(p.tokens[i].Range, p.tokens[j-1].Range)
	for p.is(j) == hclsyntax.TokenNewline || p.is(j) == hclsyntax.TokenComment {
		j++
	}
	p.say(head, "the block is not opened", "its brace stands on the same line: "+text+" {")
	if p.is(j) != hclsyntax.TokenOBrace && p.excess < 0 {
		p.excess++
		p.open = append(p.open, bracket{"{", head, text, head.Start.Column})
	}
}

// unclosed reports the innermost bracket that is open, and takes it for closed.
func (p *pairs) unclosed(where string) {
	b := p.open[len(p.open)-1]
	p.open = p.open[:len(p.open)-1]
	what := "this " + b.sign
	if b.block != "" {
		what = b.block
	}
	if b.sign == "{" {
		p.excess--
	}
	p.say(b.at, what+" is not closed", fmt.Sprintf("a closing %s is missing%s", partners[b.sign], where))
}

// say reports a fault, once a line.
func (p *pairs) say(at hcl.Range, summary, fix string) {
	if line := at.Start.Line; !p.r.open[line] {
		p.r.open[line] = true
		p.r.fault(p.r.span(at), summary, fix)
	}
}
