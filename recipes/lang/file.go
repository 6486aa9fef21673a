package lang

import (
	"slices"
	"strings"
)

// File is a recipe that was read without a fault.
type File struct {
	Name string // of the file, as it was given to Read
	// Digest is a hash of the recipe's bytes and of the dials that were set.
	Digest [32]byte

	blocks []*block // file order
	order  []*block // order of needs
	pose   []*block // order of hanging
	names  map[string]*block
	lines  *lines
}

// Blocks returns all blocks in file order, dials and lets among them.
func (f *File) Blocks() []Block { return structs(f.blocks) }

// Order returns all blocks in the order of their needs: each after all that it
// refers to, else in file order.
func (f *File) Order() []Block { return structs(f.order) }

// PoseOrder returns all blocks in the order of hanging: each after all that it
// refers to by pose references, else in file order.
func (f *File) PoseOrder() []Block { return structs(f.pose) }

// All returns the blocks of one type in file order.
func All[T Block](f *File) []T {
	var all []T
	for _, b := range f.blocks {
		if t, ok := b.dest.(T); ok {
			all = append(all, t)
		}
	}
	return all
}

// Find returns the block at an address if it has that type.
func Find[T Block](f *File, address string) (T, bool) {
	if b := f.names[address]; b != nil {
		t, ok := b.dest.(T)
		return t, ok
	}
	var none T
	return none, false
}

// HeadOf returns the head of any block.
func HeadOf(b Block) Head { return *b.head() }

// Facts returns every value of a block with where it comes from, in the order
// of the description: words, sub-blocks' words ("rays.depth"), what it gives.
// Words without a value are left out. It returns nil for an unknown address.
func (f *File) Facts(address string) []Fact {
	b := f.names[address]
	if b == nil {
		return nil
	}
	return b.allFacts()
}

// Later says whether a value of a block is known only once the metal is modelled.
func (f *File) Later(address, value string) bool {
	b := f.names[address]
	return b != nil && gift(b.desc.later, value) != nil
}

// Links returns the references of a block to others, in the order of the
// description, or nil for an unknown address.
func (f *File) Links(address string) []Link {
	b := f.names[address]
	if b == nil {
		return nil
	}
	return slices.Clone(b.links)
}

// Dials returns the dials in file order, with their values as set.
func (f *File) Dials() []*Dial { return All[*Dial](f) }

// Span returns where the word of a block is written, or the block's header if
// the word is empty or not written. The zero Span is for an unknown address.
func (f *File) Span(address, word string) Span {
	if b := f.names[address]; b != nil {
		return b.spanOf(word)
	}
	return Span{File: f.Name}
}

// Remark makes a diagnostic about a word of a block after reading, so that
// later stages speak with the same voice: what is wrong, and what to do.
func (f *File) Remark(s Severity, address, word, problem, fix string) Diag {
	d := Diag{Severity: s, Summary: address + ": " + problem, Detail: fix, Span: f.Span(address, word), Address: address, Word: word}
	if b := f.names[address]; b != nil {
		d.Detail += b.follows(word)
	}
	f.lines.quote(&d)
	return d
}

// RemarkText is Remark about some text of the recipe: where it is first written
// between quotes, or the whole file where it is not.
func (f *File) RemarkText(s Severity, text, problem, fix string) Diag {
	d := Diag{Severity: s, Summary: problem, Detail: fix, Span: Span{File: f.Name}}
	src := string(f.lines.src)
	for from := 0; text != ""; {
		i := strings.Index(src[from:], text)
		if i < 0 {
			break
		}
		i += from
		line := src[strings.LastIndexByte(src[:i], '\n')+1 : i]
		if strings.Count(line, `"`)%2 == 1 {
			d.Span = f.lines.place(f.Name, i, i+len(text))
			f.lines.quote(&d)
			break
		}
		from = i + len(text)
	}
	return d
}

// Names returns the addresses of all blocks in file order.
func (f *File) Names() []string {
	names := make([]string, len(f.blocks))
	for i, b := range f.blocks {
		names[i] = b.head.Address
	}
	return names
}

func structs(bs []*block) []Block {
	all := make([]Block, len(bs))
	for i, b := range bs {
		all[i] = b.dest
	}
	return all
}
