package lang

import (
	"fmt"
	"math"
)

// evaluator works out one expression of a part. An unknown value is silent:
// whatever made it unknown has been reported.
type evaluator struct {
	r *reader
	p *part
	// of an expression that is not written in the recipe: where its faults are
	// reported, and what it is, "height = 1.5 * across"
	what string
	at   Span
	// values that stand in for words of the part, for trying out
	trial map[string]float64
	quiet bool // report nothing
}

// fault reports a fault in the expression.
func (ev *evaluator) fault(at Span, summary, detail string) {
	if ev.quiet {
		return
	}
	if ev.what != "" {
		at, summary = ev.at, ev.p.title()+": "+ev.what+": "+summary
	}
	ev.r.fault(at, summary, detail)
}

// eval returns the value of e; ok is false if it is unknown.
func (ev *evaluator) eval(e expr) (v Value, ok bool) {
	switch e := e.(type) {
	case *numberExpr:
		return NumberValue(e.v), true
	case *textExpr:
		return TextValue(e.s), true
	case *flagExpr:
		return Value{typ: isFlag, flag: e.v}, true
	case *nameExpr:
		return ev.name(e)
	case *listExpr:
		return ev.listOf(e)
	case *unaryExpr:
		return ev.unary(e)
	case *binaryExpr:
		return ev.binary(e)
	case *condExpr:
		test, ok := ev.eval(e.test)
		if !ok {
			return Value{}, false
		}
		if test.typ != isFlag {
			ev.fault(e.test.at(), test.String()+" is neither true nor false", "before ? stands a comparison: count > 6")
			return Value{}, false
		}
		if test.flag {
			return ev.eval(e.yes)
		}
		return ev.eval(e.no)
	case *callExpr:
		return ev.call(e)
	}
	return Value{}, false
}

// taken returns the branch of e that holds, e itself if it has none.
func (ev *evaluator) taken(e expr) expr {
	for {
		c, ok := e.(*condExpr)
		if !ok {
			return e
		}
		test, _ := ev.eval(c.test)
		e = c.no
		if test.flag {
			e = c.yes
		}
	}
}

// finite passes a number on if it is one.
func (ev *evaluator) finite(v float64, e expr) (Value, bool) {
	if math.IsNaN(v) || math.Abs(v) > maxNumber {
		ev.fault(e.at(), "the result is out of all measure", "numbers lie within a billion")
		return Value{}, false
	}
	return NumberValue(v), true
}

func (ev *evaluator) name(n *nameExpr) (Value, bool) {
	if v, ok := ev.trial[n.path[0]]; ok && len(n.path) == 1 {
		return NumberValue(v), true
	}
	t, tr := ev.r.resolve(ev.p, n)
	if tr != nil {
		if tr.summary != "" && ev.what != "" { // a written name was reported when it was linked
			ev.fault(n.span, tr.summary, tr.detail)
		}
		return Value{}, false
	}
	switch {
	case t.part != nil:
		f, ok := ev.r.word(t.part, t.word)
		if ok && f == nil {
			ev.fault(n.span, t.word.name+" is not given", "give it, or write a number here")
		}
		if !ok || f == nil {
			return Value{}, false
		}
		return f.Value, true
	case t.block != nil && t.block.state != derived:
		return Value{}, false
	case t.block != nil:
		f := t.block.facts[t.value]
		if f == nil {
			ev.fault(n.span, t.block.head.Address+" has no "+t.value, ev.lacks(t.block))
			return Value{}, false
		}
		return f.Value, true
	}
	return NumberValue(t.number), true
}

// lacks says why a block may have no value under a name that it knows.
func (ev *evaluator) lacks(b *block) string {
	if k := b.desc.kind; k != nil {
		return fmt.Sprintf("its %s is %q", k.name, b.form)
	}
	return "it is not given there"
}

func (ev *evaluator) listOf(e *listExpr) (Value, bool) {
	v, known := Value{typ: isList}, true
	for _, x := range e.items {
		item, ok := ev.eval(x)
		if ok && item.typ == isList {
			ev.fault(x.at(), "a list within a list", "write one flat list")
			ok = false
		}
		known = known && ok
		v.list = append(v.list, item)
	}
	return v, known
}

func (ev *evaluator) unary(e *unaryExpr) (Value, bool) {
	x, ok := ev.eval(e.x)
	switch {
	case !ok:
		return Value{}, false
	case e.op == "-" && x.typ == isNumber:
		return NumberValue(-x.num), true
	case e.op == "!" && x.typ == isFlag:
		return Value{typ: isFlag, flag: !x.flag}, true
	}
	ev.fault(e.span, fmt.Sprintf("%s does not work on %s", e.op, x), "")
	return Value{}, false
}

func (ev *evaluator) binary(e *binaryExpr) (Value, bool) {
	x, okx := ev.eval(e.x)
	y, oky := ev.eval(e.y)
	if !okx || !oky {
		return Value{}, false
	}
	truth := func(b bool) (Value, bool) { return Value{typ: isFlag, flag: b}, true }
	numbers := x.typ == isNumber && y.typ == isNumber
	flags := x.typ == isFlag && y.typ == isFlag
	switch {
	case (e.op == "==" || e.op == "!=") && x.typ == y.typ && x.typ != isList:
		same := x.num == y.num && x.text == y.text && x.flag == y.flag
		return truth(same == (e.op == "=="))
	case e.op == "&&" && flags:
		return truth(x.flag && y.flag)
	case e.op == "||" && flags:
		return truth(x.flag || y.flag)
	case numbers && e.op == "<":
		return truth(x.num < y.num)
	case numbers && e.op == "<=":
		return truth(x.num <= y.num)
	case numbers && e.op == ">":
		return truth(x.num > y.num)
	case numbers && e.op == ">=":
		return truth(x.num >= y.num)
	case numbers && binding[e.op] >= bindAdd:
		v, err := arithmetic(e.op, x.num, y.num)
		if err != nil {
			ev.fault(e.span, err.Error(), "")
			return Value{}, false
		}
		return ev.finite(v, e)
	}
	ev.fault(e.span, fmt.Sprintf("%s does not work on %s and %s", e.op, clip(x.String()), clip(y.String())), "")
	return Value{}, false
}

func (ev *evaluator) call(e *callExpr) (Value, bool) {
	args := make([]Value, len(e.args))
	known := true
	for i, a := range e.args {
		v, ok := ev.eval(a)
		args[i], known = v, known && ok
	}
	if !known {
		return Value{}, false
	}
	f := ev.r.funcs[e.fn]
	v, err := f.Call(args)
	if err != nil {
		ev.fault(e.span, err.Error(), f.usage()+": "+f.Help)
		return Value{}, false
	}
	return ev.finite(v, e)
}

// inNumbers writes an expression with values in the place of names, for
// explain. It is empty if that would say nothing new.
func (ev *evaluator) inNumbers(e expr) string {
	reads := false
	names(e, func(*nameExpr) { reads = true })
	if _, one := e.(*nameExpr); one || !reads {
		return ""
	}
	w := writer{subst: func(n *nameExpr) string {
		if v, ok := ev.trial[n.path[0]]; ok && len(n.path) == 1 {
			return formatNumber(v)
		}
		t, tr := ev.r.resolve(ev.p, n)
		if tr != nil {
			return n.String()
		}
		var f *Fact
		switch {
		case t.part != nil:
			f = t.part.facts[t.word.name]
		case t.block != nil:
			f = t.block.facts[t.value]
		default:
			return n.String() // pi
		}
		if f == nil {
			return n.String()
		}
		if f.source != "" {
			return f.source
		}
		return f.Value.String()
	}}
	return w.write(e, 0)
}
