// Package proof judges a piece as a caster, a setter and a wearer would,
// before money is spent on it.
//
// It measures nothing itself that geometry can measure: a check takes what
// geom and piece know and grades it by the limits of a house. Each remark says
// who, where, how much, which limit and from where, why it matters, and which
// line of the recipe to change.
//
// Guaranteed: the same piece and house give the same remarks in the same
// order. What was not checked is said, with the reason. Not guaranteed: that a
// piece without remarks can be cast, set or worn; nothing here says "safe".
//
// Lengths are mm, weights g, angles degrees.
package proof

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// Grade is how bad a remark is.
type Grade uint8

// The grades, worst first.
const (
	Fail      Grade = iota // do not send
	Caution                // decide
	Note                   // know
	Unchecked              // nothing was judged here, and why
)

var gradeNames = [...]string{"fail", "caution", "note", "not checked"}

// String returns the word of the grade.
func (g Grade) String() string { return gradeNames[g] }

// MarshalText writes the word of the grade.
func (g Grade) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// Group is a family of checks.
type Group string

// The groups of checks, in the order in which they run.
const (
	Mesh    Group = "mesh"
	Metal   Group = "metal"
	Stones  Group = "stones"
	Wearing Group = "wearing"
)

// Groups lists all groups.
var Groups = []Group{Mesh, Metal, Stones, Wearing}

// Remark is one finding of a check.
type Remark struct {
	Check   string    `json:"check"` // "spacing"
	Group   Group     `json:"group"`
	Grade   Grade     `json:"grade"`
	Part    string    `json:"part"` // "stones.petals 4"
	Address string    `json:"-"`    // "stones.petals"
	Other   string    `json:"-"`    // the address of what it lies too near to, "bezel.heart"; may be empty
	Casting string    `json:"casting,omitempty"`
	At      vec.P     `json:"at"` // mm, in the casting's frame
	Says    string    `json:"says"`
	Figure  float64   `json:"figure"`
	Limit   float64   `json:"limit"`
	Unit    string    `json:"unit,omitempty"`
	Source  string    `json:"source,omitempty"` // of the limit
	Why     string    `json:"why,omitempty"`
	Count   int       `json:"count"`            // of equal places
	Number  int       `json:"number,omitempty"` // in its report, from 1, as lists and pictures show it; 0 where not all was asked
	Word    string    `json:"word,omitempty"`
	Meant   string    `json:"meant,omitempty"` // the number that the word was probably meant to have, as a recipe writes it
	Cure    string    `json:"cure,omitempty"`  // what was tried against it, if anybody has: see package vary
	Span    lang.Span `json:"span"`            // of the line to change
}

// Key names a remark for accept: "stones.petals/spacing".
func (r Remark) Key() string { return r.Address + "/" + r.Check }

// Cause says whether much of what else is remarked may follow from this: it is told
// first of its grade, and best mended first.
func (r Remark) Cause() bool {
	return r.Check == slip || r.Check == fouled || r.Check == overhang && r.Grade == Fail
}

// Report is all that was found.
type Report struct {
	House    string          `json:"house"`
	Remarks  []Remark        `json:"remarks"`
	Accepted []Accepted      `json:"accepted,omitempty"` // silenced by the recipe, not among Remarks
	Warnings []stock.Warning `json:"warnings,omitempty"` // for papers in full; as read in stock.WarningsDate
}

// Count returns how many remarks have the grade.
func (r *Report) Count(g Grade) int {
	n := 0
	for _, m := range r.Remarks {
		if m.Grade == g {
			n++
		}
	}
	return n
}

// number counts the remarks in their order, those that were not checked left out.
func (r *Report) number() {
	for i := range r.Remarks {
		if r.Remarks[i].Grade < Unchecked {
			r.Remarks[i].Number = i + 1
		}
	}
}

// merge joins remarks that differ in their place alone, keeping the worst, and
// sorts them. What is wrong with a mesh is of many kinds: only what says the same
// but for its figures is joined.
func merge(all []Remark) []Remark {
	type same struct {
		key   string
		grade Grade
		says  string
	}
	plain := func(r rune) rune {
		if r >= '0' && r <= '9' {
			return -1
		}
		return r
	}
	at := map[same]int{}
	var out []Remark
	for _, r := range all {
		r.Count = 1
		k := same{key: r.Key(), grade: r.Grade}
		if r.Group == Mesh {
			k.says = strings.Map(plain, r.Says)
		}
		i, ok := at[k]
		if !ok {
			at[k] = len(out)
			out = append(out, r)
			continue
		}
		n := out[i].Count + 1
		if worse(r, out[i]) {
			out[i] = r
		}
		out[i].Count = n
	}
	order(out)
	return out
}

// order sorts remarks: worst grade first, then causes before what may follow from
// them, then by group, line of the recipe and check.
func order(all []Remark) {
	slices.SortStableFunc(all, func(a, b Remark) int {
		return cmp.Or(
			cmp.Compare(a.Grade, b.Grade),
			after(a.Cause())-after(b.Cause()),
			cmp.Compare(slices.Index(Groups, a.Group), slices.Index(Groups, b.Group)),
			cmp.Compare(a.Span.Byte, b.Span.Byte),
			cmp.Compare(a.Check, b.Check),
		)
	})
}

// after is 0 for what comes first.
func after(first bool) int {
	if first {
		return 0
	}
	return 1
}

// worse says whether a lies farther beyond its limit than b.
func worse(a, b Remark) bool {
	return abs(a.Figure-a.Limit) > abs(b.Figure-b.Limit)
}

func abs(v float64) float64 { return max(v, -v) }

// part names one of a group: "prongs.inner 3".
func part(address string, n int) string {
	if n == 0 {
		return address
	}
	return fmt.Sprintf("%s %d", address, n)
}

// of fills in who and where for an owner.
func of(p *piece.Piece, o piece.Owner, at vec.P) Remark {
	return Remark{
		Part: part(o.Address, o.N), Address: o.Address,
		Casting: p.Castings[o.Casting].Name, At: at, Span: o.Span,
	}
}
