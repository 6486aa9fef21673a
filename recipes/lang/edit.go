package lang

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// SetLiteral returns src with one literal replaced: the value of a word of the
// block at an address, "dial.petals". A word of a sub-block is "rays.depth", the
// second literal of a list "rays.width 2". All other bytes, comments and layout among them, stay as they are, and src
// itself is not changed.
//
// Both the old and the new value have to be one literal: a number, a word in
// quotes, true or false; a formula is not rewritten. The result is read again
// before it is returned: it has the same blocks and words in the same order and
// the new literal in its place. Whether the value is in its range is for Read
// to say.
func SetLiteral(src []byte, address, word, text string) ([]byte, error) {
	text = strings.TrimSpace(text)
	before, err := outlineOf(src)
	if err != nil {
		return nil, err
	}
	old, at := before.find(address, word)
	if old == nil {
		return nil, fmt.Errorf("%s has no written %s", address, word)
	}
	if !isOneLiteral(old) {
		return nil, fmt.Errorf("%s of %s is no literal: %s", word, address, src[at.Byte:at.EndByte])
	}
	want, ok := parseLiteral(text)
	if !ok {
		return nil, fmt.Errorf("%q is no literal", clip(text))
	}
	out := make([]byte, 0, len(src)+len(text))
	out = append(out, src[:at.Byte]...)
	out = append(out, text...)
	out = append(out, src[at.EndByte:]...)

	after, err := outlineOf(out)
	if err != nil {
		return nil, fmt.Errorf("the recipe would not read any more: %w", err)
	}
	now, _ := after.find(address, word)
	if now == nil || !before.like(after) || literalText(now) != literalText(want) {
		return nil, fmt.Errorf("%q does not take the place of %s of %s", clip(text), word, address)
	}
	return out, nil
}

// AddLiteral returns src with a word more in the block at an address: a line of its
// own after the last one that is written there, with its indent, the equals signs
// below each other where there is room. A word of a sub-block is "rays.turn". All
// other bytes stay as they are, and src itself is not changed.
//
// The word must not be written yet, text has to be one literal, and the block needs
// a word that ends its line. The result is read again before it is returned: it has
// that word more, and nothing else differs.
func AddLiteral(src []byte, address, word, text string) ([]byte, error) {
	text = strings.TrimSpace(text)
	before, err := outlineOf(src)
	if err != nil {
		return nil, err
	}
	if old, _ := before.find(address, word); old != nil {
		return nil, fmt.Errorf("%s has a %s already", address, word)
	}
	want, ok := parseLiteral(text)
	if !ok {
		return nil, fmt.Errorf("%q is no literal", clip(text))
	}
	in, name := inside(address, word)
	last := before.last(in)
	if last < 0 {
		return nil, fmt.Errorf("%s has no written word for %s to stand under", address, word)
	}
	at := before[last].attr
	end := len(src)
	if i := bytes.IndexByte(src[at.span.EndByte:], '\n'); i >= 0 {
		end = at.span.EndByte + i + 1
	}
	start := bytes.LastIndexByte(src[:at.name.Byte], '\n') + 1
	indent := string(src[start:at.name.Byte])
	if strings.TrimSpace(indent) != "" {
		return nil, fmt.Errorf("%s is written on one line", address)
	}
	sign := bytes.IndexByte(src[at.name.Byte:], '=') // in columns from the word on
	line := indent + name + strings.Repeat(" ", max(1, sign-len(name))) + "= " + text + "\n"
	if end == len(src) && src[end-1] != '\n' {
		line = "\n" + line
	}
	out := slices.Concat(src[:end], []byte(line), src[end:])

	after, err := outlineOf(out)
	if err != nil {
		return nil, fmt.Errorf("the recipe would not read any more: %w", err)
	}
	now, _ := after.find(address, word)
	if now == nil || literalText(now) != literalText(want) || !before.like(slices.Delete(slices.Clone(after), last+1, last+2)) {
		return nil, fmt.Errorf("%s %q does not find its place in %s", word, clip(text), address)
	}
	return out, nil
}

// inside returns the address of what a word stands in, as an outline has it, and
// the word there.
func inside(address, word string) (in, name string) {
	if sub, w, ok := strings.Cut(word, "."); ok {
		return address + "\x00" + sub, w
	}
	return address, word
}

// last returns the index of the last word that is written right in what is at an
// address, -1 for none. Blocks whose label is a title are found by their kind alone.
func (o outline) last(address string) int {
	last := -1
	for i, e := range o {
		if e.attr != nil && e.in(address) {
			last = i
		}
	}
	return last
}

// in says whether the entry stands right in what is at an address.
func (e entry) in(address string) bool {
	return e.address == address || !strings.Contains(address, ".") && strings.HasPrefix(e.address, address+".") &&
		!strings.Contains(e.address, "\x00")
}

// parseLiteral reads text that is one literal and nothing else.
func parseLiteral(text string) (expr, bool) {
	const before = "probe = "
	o, err := outlineOf([]byte(before + text + "\n"))
	if err != nil || len(o) != 1 || o[0].attr == nil || strings.Contains(text, "\n") {
		return nil, false
	}
	a := o[0].attr
	if n, ok := a.value.(*numberExpr); ok && n.text != text {
		return nil, false // in brackets
	}
	return a.value, isOneLiteral(a.value) && a.span.Byte == len(before) && a.span.EndByte == len(before)+len(text)
}

// outline lists what is written in a recipe, in order: an entry for every block
// and for every word.
type outline []entry

type entry struct {
	address string // of the block it stands in, with its sub-blocks: "plate.sun rays"
	word    string // empty for a block
	attr    *attr
}

// outlineOf parses a recipe as far as its structure. The faults of syntax are
// an error.
func outlineOf(src []byte) (outline, error) {
	if len(src) > MaxBytes {
		return nil, fmt.Errorf("the recipe is too large: over %d bytes", MaxBytes)
	}
	r := newReader(src, "recipe", Kinds{})
	b := r.syntax()
	if b == nil {
		return nil, r.diags
	}
	var o outline
	o.add("", b)
	return o, nil
}

func (o *outline) add(address string, b *body) {
	for _, a := range b.attrs {
		*o = append(*o, entry{address, a.word, a})
	}
	for _, raw := range b.blocks {
		in := raw.kind
		for _, l := range raw.labels {
			if address == "" {
				in += "."
			} else {
				in += " "
			}
			in += l.text
		}
		if address != "" {
			in = address + "\x00" + in
		}
		*o = append(*o, entry{address: in})
		o.add(in, raw.body)
	}
}

// find returns the value of a word of a block, nil for none, and where it
// stands. Blocks whose label is a title are found by their kind alone.
func (o outline) find(address, word string) (expr, Span) {
	address, word = inside(address, word)
	word, nth, item := strings.Cut(word, " ")
	for _, e := range o {
		if e.attr == nil || e.word != word || !e.in(address) {
			continue
		}
		if !item {
			return e.attr.value, e.attr.span
		}
		list, _ := e.attr.value.(*listExpr)
		n, err := strconv.Atoi(nth)
		if list == nil || err != nil || n < 1 || n > len(list.items) {
			return nil, Span{}
		}
		x := list.items[n-1]
		return x, x.at()
	}
	return nil, Span{}
}

// like says whether two recipes have the same blocks and words in one order.
func (o outline) like(other outline) bool {
	if len(o) != len(other) {
		return false
	}
	for i := range o {
		if o[i].address != other[i].address || o[i].word != other[i].word {
			return false
		}
	}
	return true
}

// isOneLiteral says whether e is a number, a text or a flag as it is written.
func isOneLiteral(e expr) bool {
	_, list := e.(*listExpr)
	return e != nil && !list && isLiteral(e)
}

// literalText writes a literal for comparison.
func literalText(e expr) string { return writer{}.write(e, 0) }
