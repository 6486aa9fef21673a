package lang_test

import (
	"strings"
	"testing"

	"waxwright/recipes/lang"
)

// odd is a block whose description is given.
type odd struct {
	lang.Head
	a, b, c float64
	s       string
	r       lang.Ref
	flag    bool
	say     func(*odd, *lang.Desc)
	derive  func(*odd, *lang.Scope)
}

func (o *odd) Describe(d *lang.Desc) { o.say(o, d) }
func (o *odd) Derive(s *lang.Scope) {
	if o.derive != nil {
		o.derive(o, s)
	}
}

func oddKinds(say func(*odd, *lang.Desc)) lang.Kinds {
	return lang.Kinds{Blocks: []lang.Kind{{Name: "odd", New: func() lang.Block { return &odd{say: say} }}}}
}

// Every contradiction in a description is found by Check, or stops the program
// where it is written.
func TestCheckFinds(t *testing.T) {
	for says, say := range map[string]func(*odd, *lang.Desc){
		"says nothing about itself": func(o *odd, d *lang.Desc) { d.Length(&o.a, "a", "help") },
		"no help":                   func(o *odd, d *lang.Desc) { d.About("x", ""); d.Length(&o.a, "a", "") },
		"there twice":               func(o *odd, d *lang.Desc) { d.Length(&o.a, "a", "help"); d.Length(&o.b, "a", "help") },
		"is no kind":                func(o *odd, d *lang.Desc) { d.Ref(&o.r, "r", "help", "even") },
		"ends before it begins":     func(o *odd, d *lang.Desc) { d.Length(&o.a, "a", "help").Range(2, 1) },
		"does not read":             func(o *odd, d *lang.Desc) { d.Length(&o.a, "a", "help").Default("1 +") },
		"nothing is called bb":      func(o *odd, d *lang.Desc) { d.Length(&o.a, "a", "help").Default("2 * bb") },
		"nothing is called r.z": func(o *odd, d *lang.Desc) {
			d.Ref(&o.r, "r", "help", "odd")
			d.Length(&o.a, "a", "help").Default("r.z")
		},
		"the default of a is 3 mm":                func(o *odd, d *lang.Desc) { d.Length(&o.a, "a", "help").Range(1, 2).Default("3") },
		`default of s is "z", which it cannot be`: func(o *odd, d *lang.Desc) { d.Choice(&o.s, "s", "help", "x", "y").Default(`"z"`) },
		"has c, which the form has not": func(o *odd, d *lang.Desc) {
			d.Length(&o.a, "a", "help")
			d.Tie(lang.Solve{Word: "a", Formula: "c"}, lang.Solve{Word: "c", Formula: "a"})
		},
		"can't be optional": func(o *odd, d *lang.Desc) {
			d.Length(&o.a, "a", "help").Optional()
			d.Length(&o.b, "b", "help")
			d.Tie(lang.Solve{Word: "a", Formula: "b"}, lang.Solve{Word: "b", Formula: "a"})
		},
		"which is no number": func(o *odd, d *lang.Desc) {
			d.Text(&o.s, "s", "help")
			d.Length(&o.b, "b", "help")
			d.Tie(lang.Solve{Word: "s", Formula: "b"}, lang.Solve{Word: "b", Formula: "s"})
		},
		"not another member": func(o *odd, d *lang.Desc) {
			d.Length(&o.a, "a", "help")
			d.Length(&o.b, "b", "help")
			d.Length(&o.c, "c", "help")
			d.Tie(lang.Solve{Word: "a", Formula: "b + c"}, lang.Solve{Word: "b", Formula: "a"})
		},
		"one kind word":        func(o *odd, d *lang.Desc) { d.Kind(&o.s, "s", "help", "x"); d.Kind(&o.s, "t", "help", "x") },
		"before the kind word": func(o *odd, d *lang.Desc) { d.Length(&o.a, "a", "help").In("x") },
		"has no form":          func(o *odd, d *lang.Desc) { d.Kind(&o.s, "s", "help", "x"); d.Length(&o.a, "a", "help").In("y") },
		"is not a word":        func(o *odd, d *lang.Desc) { d.Length(&o.a, "A", "help") },
		"no word b":            func(o *odd, d *lang.Desc) { d.Or("b", "x", new(bool), "help") },
		"cannot be called b": func(o *odd, d *lang.Desc) {
			d.About("x", "")
			d.Length(&o.a, "a", "help").Called("b")
			d.Length(&o.b, "b", "help")
		},
		"b cannot be called x, which": func(o *odd, d *lang.Desc) {
			d.About("x", "")
			d.Length(&o.a, "a", "help").Called("x")
			d.Length(&o.b, "b", "help").Called("x")
		},
		"the address of a": func(o *odd, d *lang.Desc) { d.Block(3, "b", "help") },
		"describe itself":  func(o *odd, d *lang.Desc) { d.Block(&o.a, "b", "help") },
		"needs two words":  func(o *odd, d *lang.Desc) { d.Tie(lang.Solve{Word: "a", Formula: "1"}) },
	} {
		t.Run(says, func(t *testing.T) {
			if got := complaint(oddKinds(say)); !strings.Contains(got, says) {
				t.Errorf("got %q", got)
			}
		})
	}
}

// complaint is what Check says, or what a description panics with.
func complaint(k lang.Kinds) (says string) {
	defer func() {
		if p := recover(); p != nil {
			says = p.(string)
		}
	}()
	if err := k.Check(); err != nil {
		return err.Error()
	}
	return ""
}

func TestScopePanicsOnUnannounced(t *testing.T) {
	k := oddKinds(func(o *odd, d *lang.Desc) { d.About("x", "") })
	k.Blocks = append(k.Blocks, lang.Kind{Name: "even", New: func() lang.Block { return new(even) }})
	defer func() {
		if p, _ := recover().(string); !strings.Contains(p, "does not announce") {
			t.Errorf("panic %q", p)
		}
	}()
	lang.Read([]byte(`even "a" { }`), "r.hcl", k, lang.Options{})
}

type even struct{ lang.Head }

func (e *even) Describe(d *lang.Desc) { d.About("x", "") }
func (e *even) Derive(s *lang.Scope)  { s.Give("reach", 1, "one") }
