package lang

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// trouble is why a name stands for nothing. An empty summary is silent: the
// fault was reported elsewhere.
type trouble struct {
	at              Span
	summary, detail string
	missing         string // address of a block that is not there
}

func troubleAt(at Span, summary, detail string) *trouble {
	return &trouble{at: at, summary: summary, detail: detail}
}

// findBlock finds the block that a name in a block begins with. kinds are those
// that are wanted, for the suggestion; nil is any.
func (r *reader) findBlock(in *block, n *nameExpr, kinds []string) (*block, *trouble) {
	k := r.kinds[n.path[0]]
	if k == nil {
		fix := ""
		if len(n.path) == 1 {
			fix = r.like(in, n.path[0], kinds)
		}
		if fix == "" {
			fix = r.didYouMean(n.path[0], r.kindNames, "")
		}
		if fix == "" {
			fix = r.offer(in, kinds)
		}
		return nil, troubleAt(n.spans[0], fmt.Sprintf("there is nothing called %q", clip(n.String())), fix)
	}
	if kinds == nil {
		kinds = []string{k.Name}
	}
	address := k.Name
	if !k.Title {
		if len(n.path) < 2 {
			return nil, troubleAt(n.span, k.Name+" is a kind of block, not one of them", r.offer(in, kinds))
		}
		address += "." + n.path[1]
	}
	if b := r.names[address]; b != nil {
		return b, nil
	}
	if k.Title || r.lost[n.path[1]] {
		return nil, &trouble{}
	}
	fix := ""
	if slices.Contains(kinds, k.Name) { // of that kind before any other
		fix = r.like(in, n.path[1], []string{k.Name})
	}
	if fix == "" {
		fix = r.like(in, n.path[1], kinds)
	}
	if fix == "" && r.lostKinds[k.Name] {
		return nil, &trouble{}
	}
	if fix == "" {
		fix = r.offer(in, kinds)
	}
	return nil, &trouble{n.span, "there is no " + clip(address), fix, address}
}

// like suggests the block of one of the kinds, first wanted first, that was
// probably meant by a name: one of that very name, else the nearest.
func (r *reader) like(in *block, name string, kinds []string) string {
	for _, k := range kinds {
		if b := r.names[k+"."+name]; b != nil && b != in {
			return "did you mean " + b.head.Address + "?"
		}
		own := ""
		if k == in.kind.Name {
			own = in.head.Name
		}
		if c := r.nearestBut(name, r.byKind[k], own); c != "" {
			return "did you mean " + k + "." + c + "?"
		}
	}
	return ""
}

// elsewhere finds a block of any kind with the name.
func (r *reader) elsewhere(name string) string {
	for _, k := range r.kindNames {
		if r.names[k+"."+name] != nil {
			return k + "." + name
		}
	}
	return ""
}

// offer lists the blocks of some kinds, or of all if kinds is nil, but for the
// one that asks.
func (r *reader) offer(in *block, kinds []string) string {
	const most = 8
	var all []string
	for _, b := range r.blocks {
		if b != in && (kinds == nil && b.kind.About == nil || slices.Contains(kinds, b.kind.Name)) {
			if all = append(all, b.head.Address); len(all) > most {
				all[most] = "..."
				break
			}
		}
	}
	switch len(all) {
	case 0:
		other := ""
		if slices.Contains(kinds, in.kind.Name) {
			other = "other "
		}
		return "the recipe has no " + other + orList(kinds) + " block"
	case 1:
		return "there is " + all[0]
	}
	return "there are " + strings.Join(all, ", ")
}

// report reports a trouble, unless it is silent. A block that is not there is one
// fault, however many ask for it: see reportMissing.
func (r *reader) report(t trouble) {
	switch {
	case t.missing != "":
		r.missed[t.missing] = append(r.missed[t.missing], t)
	case t.summary != "":
		r.fault(t.at, t.summary, t.detail)
	}
}

// reportMissing reports each block that is not there once, at the first place
// that asks for it, and names the lines of the others.
func (r *reader) reportMissing() {
	for _, address := range slices.Sorted(maps.Keys(r.missed)) {
		all := r.missed[address]
		slices.SortStableFunc(all, func(a, b trouble) int { return a.at.Byte - b.at.Byte })
		var lines []string
		for _, t := range all[1:] {
			if line := strconv.Itoa(t.at.Line); t.at.Line != all[0].at.Line && !slices.Contains(lines, line) {
				lines = append(lines, line)
			}
		}
		detail := all[0].detail
		switch {
		case len(lines) == 1:
			detail += "\nline " + lines[0] + " asks for it too"
		case len(lines) > 1:
			detail += "\nlines " + andList(lines) + " ask for it too"
		}
		r.fault(all[0].at, all[0].summary, detail)
	}
}
