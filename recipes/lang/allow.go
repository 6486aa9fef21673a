package lang

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// body is what stands between two braces, or in a file, after the allow phase.
type body struct {
	attrs  []*attr     // by place
	blocks []*rawBlock // by place
}

// attr is one "word = value". value is nil if it was refused.
type attr struct {
	word  string
	value expr
	name  Span
	span  Span // of the value
}

// rawBlock is one block as it is written.
type rawBlock struct {
	kind     string
	kindSpan Span
	labels   []label
	header   Span // from the kind to the last label
	body     *body
}

type label struct {
	text   string
	quoted bool
	span   Span
}

// allowBody takes a parsed body over into our own tree. Expressions that the
// language does not have are refused here, before anything is evaluated: loops,
// indexes, objects, and text put together from parts, which can double without
// end.
func (r *reader) allowBody(b *hclsyntax.Body) *body {
	out := &body{}
	for _, a := range b.Attributes { // in no order: sorted below
		out.attrs = append(out.attrs, &attr{word: a.Name, name: r.span(a.NameRange), span: r.span(a.Expr.Range())})
	}
	slices.SortFunc(out.attrs, func(x, y *attr) int { return cmp.Compare(x.name.Byte, y.name.Byte) })
	for _, a := range out.attrs {
		if !isName(a.word) {
			r.badName(a.word, a.name, "a word")
			continue
		}
		a.value = r.allow(b.Attributes[a.word].Expr)
	}
	for _, s := range b.Blocks {
		raw := &rawBlock{kind: s.Type, kindSpan: r.span(s.TypeRange)}
		raw.header = raw.kindSpan
		for i, l := range s.Labels {
			at := r.span(s.LabelRanges[i])
			raw.labels = append(raw.labels, label{l, r.lines.src[at.Byte] == '"', at})
			raw.header.EndLine, raw.header.EndColumn, raw.header.EndByte = at.EndLine, at.EndColumn, at.EndByte
		}
		raw.body = r.allowBody(s.Body)
		out.blocks = append(out.blocks, raw)
	}
	return out
}

// badName reports a name that is none, with what was probably meant.
func (r *reader) badName(name string, at Span, what string) {
	fix := "it has small letters a to z, digits and _, and begins with a letter"
	if strings.Contains(name, "-") {
		fix = "it has no hyphen: write " + clip(strings.ReplaceAll(name, "-", "_"))
	} else if one := strings.ToLower(strings.Join(strings.Fields(name), "_")); strings.Contains(name, " ") && isName(one) {
		fix = "it has no spaces: write " + clip(one)
	} else if low := strings.ToLower(name); isName(low) {
		fix = "it has small letters only: write " + clip(low)
	}
	r.fault(at, fmt.Sprintf("%q is not %s", clip(name), what), fix)
}

// allow takes an expression over, or reports what it may not have and returns
// nil.
func (r *reader) allow(e hclsyntax.Expression) expr {
	at := r.span(e.Range())
	refuse := func(summary, detail string) expr {
		r.fault(at, summary, detail)
		return nil
	}
	switch e := e.(type) {
	case *hclsyntax.LiteralValueExpr:
		return r.allowLiteral(e, at)
	case *hclsyntax.TemplateExpr:
		var text strings.Builder
		for _, p := range e.Parts {
			lit, ok := p.(*hclsyntax.LiteralValueExpr)
			if !ok || lit.Val.Type().FriendlyName() != "string" {
				return refuse("text is not put together from parts", `write it out; "$${" stands for a plain "${"`)
			}
			text.WriteString(lit.Val.AsString())
		}
		return &textExpr{text.String(), at}
	case *hclsyntax.TemplateWrapExpr, *hclsyntax.TemplateJoinExpr:
		return refuse("text is not put together from parts", `write the name alone, without "${ }"`)
	case *hclsyntax.ParenthesesExpr:
		return r.allow(e.Expression)
	case *hclsyntax.ScopeTraversalExpr:
		return r.allowName(e.Traversal, at)
	case *hclsyntax.TupleConsExpr:
		list := &listExpr{span: at}
		for _, x := range e.Exprs {
			list.items = append(list.items, r.allow(x))
		}
		return complete(list, list.items...)
	case *hclsyntax.UnaryOpExpr:
		x := r.allow(e.Val)
		op := "-"
		if e.Op == hclsyntax.OpLogicalNot {
			op = "!"
		}
		if n, ok := x.(*numberExpr); ok && op == "-" && !strings.HasPrefix(n.text, "-") && at.Byte+1 == n.span.Byte {
			return &numberExpr{0 - n.v, "-" + n.text, at}
		}
		return complete(&unaryExpr{op, x, at}, x)
	case *hclsyntax.BinaryOpExpr:
		x, y := r.allow(e.LHS), r.allow(e.RHS)
		return complete(&binaryExpr{operators[e.Op], x, y, at}, x, y)
	case *hclsyntax.ConditionalExpr:
		c := &condExpr{r.allow(e.Condition), r.allow(e.TrueResult), r.allow(e.FalseResult), at}
		return complete(c, c.test, c.yes, c.no)
	case *hclsyntax.FunctionCallExpr:
		return r.allowCall(e, at)
	case *hclsyntax.ForExpr:
		return refuse("there are no loops", "write the values out, or give a count")
	case *hclsyntax.ObjectConsExpr:
		return refuse("there are no values in braces", "give each number a word and a line of its own")
	case *hclsyntax.IndexExpr, *hclsyntax.RelativeTraversalExpr, *hclsyntax.SplatExpr:
		return refuse("there are no indexes", "read values by their name: kind.name.word")
	}
	return refuse("this is not a value", "write a number, a word in quotes, a name, or a formula of them")
}

// complete returns e, or nil if a part of it was refused.
func complete(e expr, parts ...expr) expr {
	for _, p := range parts {
		if p == nil {
			return nil
		}
	}
	return e
}

func (r *reader) allowLiteral(e *hclsyntax.LiteralValueExpr, at Span) expr {
	if e.Val.IsNull() {
		r.fault(at, "null is not a value", "leave the line out")
		return nil
	}
	switch e.Val.Type().FriendlyName() {
	case "number":
		v, _ := e.Val.AsBigFloat().Float64()
		if a := math.Abs(v); a > maxNumber || (a < minNumber && e.Val.AsBigFloat().Sign() != 0) {
			r.fault(at, "a number out of all measure", "numbers lie between a billionth and a billion")
			return nil
		}
		return &numberExpr{v, string(r.lines.text(at)), at}
	case "bool":
		return &flagExpr{e.Val.True(), at}
	case "string":
		return &textExpr{e.Val.AsString(), at}
	}
	r.fault(at, "this is not a value", "write a number or a word in quotes")
	return nil
}

func (r *reader) allowName(t hcl.Traversal, at Span) expr {
	n := &nameExpr{span: at}
	for _, s := range t {
		var step string
		switch s := s.(type) {
		case hcl.TraverseRoot:
			step = s.Name
		case hcl.TraverseAttr:
			step = s.Name
		default:
			r.fault(at, "there are no indexes", "read values by their name: kind.name.word")
			return nil
		}
		span := r.span(s.SourceRange())
		if len(n.path) > 0 { // HCL counts the dot before a step to it
			span.Byte += len(".")
			span.Column += len(".")
		}
		if strings.Contains(step, "-") {
			r.fault(span, fmt.Sprintf("%q reads as one name", clip(step)), fmt.Sprintf("a word stands in quotes, %q; for a difference put spaces round the minus", clip(step)))
			return nil
		}
		n.path = append(n.path, step)
		n.spans = append(n.spans, span)
	}
	return n
}

func (r *reader) allowCall(e *hclsyntax.FunctionCallExpr, at Span) expr {
	c := &callExpr{fn: e.Name, name: r.span(e.NameRange), span: at}
	for _, a := range e.Args {
		c.args = append(c.args, r.allow(a))
	}
	f := r.funcs[e.Name]
	switch {
	case e.ExpandFinal:
		r.fault(at, "... is not used", "write the values out")
		return nil
	case f == nil:
		r.fault(c.name, fmt.Sprintf("there is no function %q", clip(e.Name)),
			r.didYouMean(e.Name, r.funcNames, "there are "+strings.Join(r.funcNames, ", ")))
		return nil
	case !f.takes(len(c.args)):
		r.fault(at, fmt.Sprintf("%s takes %s", e.Name, f.usage()), "")
		return nil
	}
	return complete(c, c.args...)
}

// takes says whether the function takes n arguments.
func (f *Func) takes(n int) bool {
	if k := len(f.Params); k > 0 && strings.HasSuffix(f.Params[k-1], "...") {
		return n >= k
	}
	return n == len(f.Params)
}

// usage writes how the function is called: gauge(number).
func (f *Func) usage() string { return f.Name + "(" + strings.Join(f.Params, ", ") + ")" }

// operators are the signs of HCL's operators.
var operators = map[*hclsyntax.Operation]string{
	hclsyntax.OpLogicalOr: "||", hclsyntax.OpLogicalAnd: "&&",
	hclsyntax.OpEqual: "==", hclsyntax.OpNotEqual: "!=",
	hclsyntax.OpGreaterThan: ">", hclsyntax.OpGreaterThanOrEqual: ">=",
	hclsyntax.OpLessThan: "<", hclsyntax.OpLessThanOrEqual: "<=",
	hclsyntax.OpAdd: "+", hclsyntax.OpSubtract: "-",
	hclsyntax.OpMultiply: "*", hclsyntax.OpDivide: "/", hclsyntax.OpModulo: "%",
}

// text returns the bytes of a span.
func (l *lines) text(s Span) []byte { return l.src[s.Byte:s.EndByte] }

// formula parses an expression that stands in a description, not in the recipe.
// Its names are checked where it is used.
func (r *reader) formula(text string) (expr, error) {
	if e, ok := r.parsed[text]; ok {
		return e, nil
	}
	sub := &reader{name: text, lines: newLines([]byte(text)), funcs: r.funcs, funcNames: r.funcNames}
	tree, diags := hclsyntax.ParseExpression([]byte(text), text, hcl.InitialPos)
	if diags.HasErrors() {
		return nil, fmt.Errorf("%q does not read as an expression: %s", text, diags[0].Summary)
	}
	e := sub.allow(tree)
	if e == nil {
		return nil, fmt.Errorf("%q: %s", text, sub.diags[0].Summary)
	}
	r.parsed[text] = e
	return e, nil
}
