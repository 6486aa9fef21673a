package vary

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// lever is one number that is written in the recipe as a literal, by itself or
// in a list, or a dial that is set in its place, or what a block takes where
// nothing is written.
type lever struct {
	address, word string    // "plate.sun", "edge"; "rays.width 2" for the second of a list
	dial          string    // its name, if it is one
	list          []float64 // that it stands in, if it does
	nth           int       // of list, from 0
	span          lang.Span // of the literal
	text          string    // as it is written, or set
	value         float64
	unit          string
	step          float64
	fromHere      bool // steps count from the value, not from 0
	set           bool // the dial is set from outside
	added         bool // it is not written: the value is the block's default
}

// name is how people call the lever: "wall of bezel.rim", "dial size".
func (l lever) name() string {
	if l.dial != "" {
		return "dial " + l.dial
	}
	return l.word + " of " + l.address
}

// is says whether two levers are the same number.
func (l lever) is(o lever) bool { return l.address == o.address && l.word == o.word }

// stepsOf are the steps in which makers think, by unit: common practice, no
// source. What is not listed moves in whole numbers.
var stepsOf = map[string]float64{"mm": 0.05, "degrees": 1, "%": 1}

// at is the value k steps from the lever's own, k not 0: on the grid of steps,
// the first step being to the next point of it.
func (l lever) at(k int) float64 {
	if l.fromHere {
		return tidy(l.value + float64(k)*l.step)
	}
	n := l.value / l.step
	if near := math.Round(n); math.Abs(n-near) < onGrid {
		n = near
	}
	if k > 0 {
		return tidy((math.Floor(n) + float64(k)) * l.step)
	}
	return tidy((math.Ceil(n) + float64(k)) * l.step)
}

// onGrid is how near to a step, in steps, a number counts as being on it: more
// than the rounding of a division, less than a digit that anybody writes.
const onGrid = 1e-6

// tidy drops the digits that adding up steps leaves behind.
func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// write writes a value as a literal of a recipe.
func write(v float64) string { return strconv.FormatFloat(tidy(v), 'f', -1, 64) }

// reach is how many steps from its value a lever is turned at most: to the
// triple of its value, but at least as far as is worth trying.
func (l lever) reach() int {
	far := max(2*math.Abs(l.value), 4*l.step)
	switch l.unit {
	case "mm":
		far = max(far, 2)
	case "degrees":
		far = 180
	}
	return int(math.Ceil(far / l.step))
}

// names finds the names in a formula.
var names = regexp.MustCompile(`[a-z_][a-z0-9_]*(?:\.[a-z0-9_]+)*`)

// taken returns the lever of a word that is not written and has no default, but that
// the piece has a number for.
func taken(p *piece.Piece, address, word string) (lever, bool) {
	v, ok := p.Taken(address, word)
	if !ok {
		return lever{}, false
	}
	return lever{address: address, word: word, span: p.Recipe.Span(address, ""), value: v, unit: "mm", step: stepsOf["mm"], added: true}, true
}

// levers returns the numbers that the value of a word follows from, the nearest
// first: the word itself where it is written as a number, or not written at all and
// could be, then what its formula reads, as far as that is written.
func levers(file *lang.File, src []byte, address, word string) []lever {
	l := looker{file: file, src: src, asked: [2]string{address, word}, seen: map[string]bool{}}
	l.look(address, word, "")
	return l.found
}

// looker follows formulas to the numbers that they read.
type looker struct {
	file  *lang.File
	src   []byte
	asked [2]string // address and word
	seen  map[string]bool
	found []lever
}

// look follows one word. unit is that of the word it is asked for.
func (k *looker) look(address, word, unit string) {
	if k.seen[address+"\x00"+word] {
		return
	}
	k.seen[address+"\x00"+word] = true
	for _, f := range k.file.Facts(address) {
		if f.Word != word {
			continue
		}
		if f.Unit != "" {
			unit = f.Unit
		}
		if f.Origin == lang.Literal || f.Origin == lang.Set {
			k.add(f, unit)
			return
		}
		if v, err := f.Value.Number(); err == nil && f.Origin == lang.Default && k.asked == [2]string{address, word} {
			k.take(lever{address: address, word: word, span: f.Span, value: v, unit: unit, added: true})
		}
		for _, name := range names.FindAllString(f.Formula, -1) {
			k.follow(address, strings.Split(name, "."), unit)
		}
	}
}

// follow finds the word that a name in a formula of the block stands for.
func (k *looker) follow(address string, path []string, unit string) {
	if len(path) == 1 {
		k.look(address, path[0], unit)
		return
	}
	if path[0] == "dial" || path[0] == "let" {
		k.look(path[0]+"."+path[1], "value", unit)
		return
	}
	for _, l := range k.file.Links(address) { // "on.thickness"
		if l.Word == path[0] {
			k.look(l.To.Address, strings.Join(path[1:], "."), unit)
			return
		}
	}
	if len(path) > 2 { // "plate.sun.across"
		k.look(path[0]+"."+path[1], strings.Join(path[2:], "."), unit)
		return
	}
	k.look(path[0], path[1], unit) // of the piece
}

// add takes up a number as a lever, or each number of a list.
func (k *looker) add(f lang.Fact, unit string) {
	if v, err := f.Value.Number(); err == nil {
		k.take(lever{address: f.Address, word: f.Word, span: f.Span, value: v, unit: unit, set: f.Origin == lang.Set})
	}
	list := f.Value.Numbers()
	for i, at := range f.Items {
		k.take(lever{address: f.Address, word: fmt.Sprintf("%s %d", f.Word, i+1), span: at, value: list[i], unit: unit, list: list, nth: i})
	}
}

// take takes up a lever, if it is one that can be turned.
func (k *looker) take(l lever) {
	if l.span.EndByte > len(k.src) {
		return
	}
	l.text, l.step = string(k.src[l.span.Byte:l.span.EndByte]), stepsOf[l.unit]
	if l.set {
		l.text = write(l.value)
	} else if l.added {
		l.text = ""
	} else if written, err := strconv.ParseFloat(l.text, 64); err != nil || written != l.value {
		return // not one literal: a word, a number in brackets
	}
	if l.step == 0 {
		if l.value != math.Trunc(l.value) {
			return // a plain number that counts nothing: its steps are not known
		}
		l.step = 1
	}
	if d, ok := lang.Find[*lang.Dial](k.file, l.address); ok {
		l.dial = d.Name
		if d.Step > 0 {
			l.step, l.fromHere = d.Step, true
		}
	}
	k.found = append(k.found, l)
}

// shown is how the word of the lever reads with another number, the whole of
// its list: "edge 0.3", "rays.width [0.25, 0.9]".
func (l lever) shown(text string) string {
	if l.list == nil {
		return l.word + " " + text
	}
	all := make([]string, len(l.list))
	for i, v := range l.list {
		all[i] = write(v)
	}
	all[l.nth] = text
	word, _, _ := strings.Cut(l.word, " ")
	return word + " [" + strings.Join(all, ", ") + "]"
}
