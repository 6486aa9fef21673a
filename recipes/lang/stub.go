package lang

import "io"

// Derive checks the value against range and choices.
func (b *Dial) Derive(s *Scope) {}

type state uint8

const (
	pending state = iota
	derived
	failed
)

type part struct{ facts map[string]*Fact }
type block struct {
	part
	head  *Head
	dest  Block
	state state
	links []Link
}
type reader struct{ names map[string]*block }
type lines struct{}

func (l *lines) quote(*Diag)                           {}
func (b *block) allFacts() []Fact                      { return nil }
func (p *part) spanOf(string) Span                     { return Span{} }
func (b *block) sub(string) *part                      { return nil }
func (r *reader) give(*block, string, float64, string) {}
func (r *reader) fault(Span, string, string)           {}
func isName(s string) bool                             { return s != "" }

// Options for Read.
type Options struct {
	Set map[string]string // dial name -> value in place of its literal
}

// Read reads a recipe. It returns a File and no faults, or no File and at least
// one fault; all are sorted by place. name is what diagnostics call the file.
func Read(src []byte, name string, kinds Kinds, o Options) (*File, Diags) { panic("to come") }

// Check says what is wrong with a table of kinds: descriptions that contradict
// themselves, defaults and formulas that do not read. For the tests of a trade.
func (k Kinds) Check() error { return nil }

// Reference writes the reference of one kind of block, or of the whole language
// if kind is empty: plain text, at most 80 columns. An unknown kind is an error
// that names the nearest.
func Reference(k Kinds, kind string) (string, error) { return "", nil }

// Layout says how diagnostics are printed.
type Layout struct {
	Color bool
	Most  int // how many to print before "and n more"; 0: 20
}

// Print writes the diagnostics for people: place, what is wrong, the line with
// a caret under the span, what to do.
func (ds Diags) Print(w io.Writer, l Layout) error { return nil }

// SetLiteral returns src with one literal replaced: the value of a word of the
// block at an address. All other bytes stay as they are.
func SetLiteral(src []byte, address, word, text string) ([]byte, error) { return nil, nil }
