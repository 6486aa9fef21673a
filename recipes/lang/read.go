package lang

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
)

// The limits of a recipe. Each is far above what a maker writes and low enough
// that the worst file within them is read in a blink.
const (
	MaxBytes   = 1 << 20 // size of a file
	maxTokens  = 200_000 // of the whole file: some 5,000 blocks of eight short lines
	maxLine    = 1 << 16 // bytes of a line, so of a text too
	maxPerLine = 1_000   // tokens on a line, and open operands of an expression
	maxDigits  = 40      // characters of a number
	maxDepth   = 32      // of brackets of all sorts
	maxBlocks  = 5_000   // blocks and sub-blocks
	maxFaults  = 1_000   // that are reported
	maxNumber  = 1e9     // of a literal or a value
	minNumber  = 1e-9    // of a literal other than 0
)

// Options for Read.
type Options struct {
	Set map[string]string // dial name -> value in place of its literal
}

// Read reads a recipe. It returns a File and no faults, or no File and at least
// one fault, sorted by place. name is what diagnostics call the file. A caller
// that reads from a stream should stop at MaxBytes + 1 bytes.
//
// Read panics if the kinds contradict themselves; see Kinds.Check.
func Read(src []byte, name string, kinds Kinds, o Options) (*File, Diags) {
	if len(src) > MaxBytes {
		too := fmt.Sprintf("the file is too large: over %d bytes", MaxBytes)
		return nil, Diags{{Summary: too, Detail: "a recipe is a few pages of text", Span: Span{File: name}}}
	}
	r := newReader(src, name, kinds)
	r.set = o.Set
	if body := r.syntax(); body != nil {
		r.gather(body)
		r.link()
		r.sort()
		r.decode()
	}
	r.sortDiags()
	if r.diags.Faulty() {
		return nil, r.diags
	}
	return &File{
		Name: name, Digest: digest(src, o.Set),
		blocks: r.blocks, order: r.order, pose: r.pose, names: r.names, lines: r.lines,
	}, r.diags
}

// reader is one reading of one recipe.
type reader struct {
	name  string
	lines *lines
	set   map[string]string

	kindNames []string // in the order of the reference
	kinds     map[string]*Kind
	funcNames []string
	funcs     map[string]*Func
	parsed    map[string]expr // default expressions and formulas, by text

	blocks []*block // file order
	order  []*block // order of needs
	pose   []*block // order of hanging
	names  map[string]*block
	byKind map[string][]string // names of the blocks of a kind, in file order
	lost   map[string]bool     // names of blocks that were written but are no good

	lostKinds map[string]bool // kinds of those blocks

	missed map[string][]trouble // blocks that are asked for and not there, by address
	open   map[int]bool         // lines whose quotes or brackets have no partner

	suggester
	diags   Diags
	dropped int // faults beyond maxFaults
}

func newReader(src []byte, name string, kinds Kinds) *reader {
	r := &reader{
		name: name, lines: newLines(src),
		kinds: map[string]*Kind{}, funcs: map[string]*Func{},
		parsed: map[string]expr{}, names: map[string]*block{}, byKind: map[string][]string{}, lost: map[string]bool{}, lostKinds: map[string]bool{},
		missed: map[string][]trouble{}, open: map[int]bool{},
	}
	for _, k := range kinds.all() {
		r.kindNames = append(r.kindNames, k.Name)
		r.kinds[k.Name] = &k
	}
	for _, f := range kinds.funcs() {
		r.funcNames = append(r.funcNames, f.Name)
		r.funcs[f.Name] = &f
	}
	return r
}

// all returns the kinds with the basic ones.
func (k Kinds) all() []Kind {
	return append(slices.Clip(k.Blocks),
		Kind{Name: "dial", New: func() Block { return new(Dial) }},
		Kind{Name: "let", New: func() Block { return new(Let) }})
}

// Names lists the kinds, the basic ones last.
func (k Kinds) Names() []string {
	var names []string
	for _, kind := range k.all() {
		names = append(names, kind.Name)
	}
	return names
}

// funcs returns the functions with the basic ones.
func (k Kinds) funcs() []Func { return append(slices.Clip(k.Funcs), basicFuncs...) }

// fault reports a fault at a span: what is wrong, and what to do.
func (r *reader) fault(at Span, summary, detail string) {
	if len(r.diags) >= maxFaults {
		r.dropped++
		return
	}
	r.diags = append(r.diags, Diag{Summary: summary, Detail: detail, Span: at})
}

// file is the span of the whole file, without a place in it.
func (r *reader) file() Span { return Span{File: r.name} }

// sortDiags sorts the diagnostics by place and quotes their lines.
func (r *reader) sortDiags() {
	slices.SortStableFunc(r.diags, func(a, b Diag) int { return a.Span.Byte - b.Span.Byte })
	r.diags = slices.CompactFunc(r.diags, func(a, b Diag) bool {
		return a.Span == b.Span && a.Summary == b.Summary
	})
	if r.dropped > 0 {
		r.diags = append(r.diags, Diag{Summary: fmt.Sprintf("and %d more faults", r.dropped), Span: r.file()})
	}
	for i := range r.diags {
		r.lines.quote(&r.diags[i])
	}
}

// didYouMean writes the suggestion for a misspelt word, else the list of what
// there is.
func (r *reader) didYouMean(word string, candidates []string, otherwise string) string {
	if c := r.nearest(word, candidates); c != "" {
		return fmt.Sprintf("did you mean %q?", c)
	}
	return otherwise
}

// digest hashes the bytes of a recipe and the dials that were set.
func digest(src []byte, set map[string]string) [32]byte {
	h := sha256.New()
	part := func(b []byte) {
		h.Write(binary.LittleEndian.AppendUint64(nil, uint64(len(b))))
		h.Write(b)
	}
	part(src)
	for _, k := range slices.Sorted(maps.Keys(set)) {
		part([]byte(k))
		part([]byte(set[k]))
	}
	return [32]byte(h.Sum(nil))
}
