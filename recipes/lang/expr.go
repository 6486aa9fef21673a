package lang

import "strings"

// expr is an expression after the allow phase: all that the language has.
// Nothing behind that phase knows of HCL.
type expr interface{ at() Span }

type (
	// numberExpr is a literal number, a minus before it included.
	numberExpr struct {
		v    float64
		text string // as it is written
		span Span
	}
	textExpr struct {
		s    string
		span Span
	}
	flagExpr struct {
		v    bool
		span Span
	}
	// nameExpr is a dotted name: across, dial.petals, stones.petals.reach.
	nameExpr struct {
		path  []string
		spans []Span // of each step
		span  Span
	}
	listExpr struct {
		items []expr
		span  Span
	}
	unaryExpr struct {
		op   string // "-" or "!"
		x    expr
		span Span
	}
	binaryExpr struct {
		op   string
		x, y expr
		span Span
	}
	condExpr struct {
		test, yes, no expr
		span          Span
	}
	callExpr struct {
		fn   string
		args []expr
		name Span
		span Span
	}
)

func (e *numberExpr) at() Span { return e.span }
func (e *textExpr) at() Span   { return e.span }
func (e *flagExpr) at() Span   { return e.span }
func (e *nameExpr) at() Span   { return e.span }
func (e *listExpr) at() Span   { return e.span }
func (e *unaryExpr) at() Span  { return e.span }
func (e *binaryExpr) at() Span { return e.span }
func (e *condExpr) at() Span   { return e.span }
func (e *callExpr) at() Span   { return e.span }

// String writes the name as it is read in a recipe.
func (e *nameExpr) String() string { return strings.Join(e.path, ".") }

// isLiteral says whether the expression holds no name and no operation.
func isLiteral(e expr) bool {
	switch e := e.(type) {
	case *numberExpr, *textExpr, *flagExpr:
		return true
	case *listExpr:
		for _, x := range e.items {
			if !isLiteral(x) {
				return false
			}
		}
		return true
	}
	return false
}

// names calls f for every name in an expression, in reading order.
func names(e expr, f func(*nameExpr)) {
	switch e := e.(type) {
	case *nameExpr:
		f(e)
	case *listExpr:
		for _, x := range e.items {
			names(x, f)
		}
	case *unaryExpr:
		names(e.x, f)
	case *binaryExpr:
		names(e.x, f)
		names(e.y, f)
	case *condExpr:
		names(e.test, f)
		names(e.yes, f)
		names(e.no, f)
	case *callExpr:
		for _, x := range e.args {
			names(x, f)
		}
	}
}

// How tightly the operators bind, for writing as few brackets as possible.
const (
	bindCond = iota + 1
	bindOr
	bindAnd
	bindSame
	bindLess
	bindAdd
	bindMul
	bindUnary
	bindAtom
)

var binding = map[string]int{
	"||": bindOr, "&&": bindAnd,
	"==": bindSame, "!=": bindSame,
	"<": bindLess, "<=": bindLess, ">": bindLess, ">=": bindLess,
	"+": bindAdd, "-": bindAdd,
	"*": bindMul, "/": bindMul, "%": bindMul,
}

// writer writes an expression as people write formulas. subst, if it is set,
// puts values in the place of names.
type writer struct {
	subst func(*nameExpr) string
}

// write returns the text, in brackets if it binds less tightly than least.
func (w writer) write(e expr, least int) string {
	s, binds := w.text(e)
	if binds < least {
		return "(" + s + ")"
	}
	return s
}

func (w writer) text(e expr) (string, int) {
	switch e := e.(type) {
	case *numberExpr:
		if e.v < 0 {
			return e.text, bindUnary
		}
		return e.text, bindAtom
	case *textExpr:
		return TextValue(e.s).String(), bindAtom
	case *flagExpr:
		return Value{typ: isFlag, flag: e.v}.String(), bindAtom
	case *nameExpr:
		if w.subst == nil {
			return e.String(), bindAtom
		}
		s := w.subst(e)
		if strings.HasPrefix(s, "-") {
			return s, bindUnary
		}
		return s, bindAtom
	case *listExpr:
		return "[" + w.list(e.items) + "]", bindAtom
	case *unaryExpr:
		return e.op + w.write(e.x, bindUnary+1), bindUnary
	case *binaryExpr:
		b := binding[e.op]
		x := w.write(e.x, b)
		if c, ok := e.y.(*callExpr); ok && e.op == "*" && bareNumber(e.x) {
			y, _ := w.text(c)
			return x + " " + y, bindMul // 2 sin(18), as people write it
		}
		return x + " " + e.op + " " + w.write(e.y, b+1), b
	case *condExpr:
		return w.write(e.test, bindOr) + " ? " + w.write(e.yes, bindOr) + " : " + w.write(e.no, bindCond), bindCond
	case *callExpr:
		if w.subst != nil && len(e.args) == 1 && angular[e.fn] {
			if v, ok := fold(e.args[0], w.subst); ok && v >= 0 {
				return e.fn + " " + formatNumber(v), bindMul // sin 18
			}
		}
		return e.fn + "(" + w.list(e.args) + ")", bindAtom
	}
	return "?", bindAtom
}

func (w writer) list(items []expr) string {
	parts := make([]string, len(items))
	for i, x := range items {
		parts[i] = w.write(x, bindCond)
	}
	return strings.Join(parts, ", ")
}

// bareNumber says whether e is written as a bare number.
func bareNumber(e expr) bool {
	_, ok := e.(*numberExpr)
	return ok
}
