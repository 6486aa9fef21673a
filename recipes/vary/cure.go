package vary

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

// cure looks for the cure of one remark and leaves its trial in s.best: the first that
// is found, but of those that cost much metal the cheapest, unless the remark names its
// word.
func (s *search) cure(r proof.Remark) (Cure, error) {
	s.spent = 0
	h, err := s.hunting(r)
	if err != nil {
		return Cure{}, err
	}
	if r.Check == slip {
		return h.meant()
	}
	var tried []string
	var dear Cure // the cheapest that costs much metal
	var made outcome
	bought := s.bought()
	for i, aims := range aimsFor(r) {
		for _, l := range s.governing(r) {
			if h.left() <= 0 {
				if i == 0 {
					tried = append(tried, "and no more was tried")
				}
				break
			}
			if dear.Found() && slices.ContainsFunc(bought, l.is) {
				continue
			}
			var how string
			for _, h.aim = range aims {
				var c Cure
				if c, how, err = h.pull(l); err != nil {
					return c, err
				}
				if c.Found() && (h.own(l) || c.Grams <= dearShare*s.base.grams) {
					return c, nil
				}
				if c.Found() && (!dear.Found() || c.Grams < dear.Grams-leastGrams) {
					dear, made = c, s.best
				}
				if c.Found() {
					break
				}
			}
			if i == 0 { // later aims go over the same ground, as far as trials are left
				tried = append(tried, how)
			}
		}
		if dear.Found() {
			s.best = made
			return dear, nil
		}
	}
	return none(r, tried), nil
}

// dearShare is from which share of the piece's metal on a cure that adds it is dear, so
// that another word is tried, too: common practice, no source.
const dearShare = 0.02

// bought returns the levers that turn which stones are bought, dials among them: that
// they change is not cheaper than metal.
func (s *search) bought() []lever {
	var all []lever
	for _, g := range lang.All[*piece.Stones](s.base.piece.Recipe) {
		for _, word := range []string{"size", "count"} {
			all = append(all, levers(s.base.piece.Recipe, s.c.Src, g.Address, word)...)
		}
	}
	return all
}

// slip is the check whose remarks say which number was meant.
const slip = "slip"

// meant tries the number that was meant, and no other: what is nearer to the slip
// would pass as well.
func (h *hunt) meant() (Cure, error) {
	h.aim = proof.Caution
	for _, l := range levers(h.search.base.piece.Recipe, h.c.Src, h.r.Address, h.r.Word) {
		if h.r.Meant == "" || l.value != h.r.Figure || h.spent >= h.o.Trials {
			continue // what a formula makes the number of
		}
		src, set, err := h.turned(l, h.r.Meant)
		if err != nil {
			continue
		}
		o, err := h.try(src, set, proved, nil)
		if err != nil {
			return Cure{}, err
		}
		v := judge(h.r, h.search.base.remarks, o)
		switch {
		case !v.made:
		case v.trouble != "":
			return none(h.r, []string{fmt.Sprintf("%s (then %s)", l.shown(h.r.Meant), v.trouble)}), nil
		case v.grade > h.aim:
			h.best = o
			return h.describe(l, h.r.Meant, o, v), nil
		}
	}
	return Cure{For: h.r.Key(), Grade: h.r.Grade, Text: "write the number that was meant, where " + h.r.Word + " comes from"}, nil
}

// aimsFor says what a cure is to reach: what has to be gone. Each lever is tried
// for all of the first aims before the next one is: best that nothing is said any
// more, else a note may stay. Where that is in vain a fail may become a caution.
func aimsFor(r proof.Remark) [][]proof.Grade {
	aims := [][]proof.Grade{{proof.Note, proof.Caution}}
	if telling[r.Check] {
		aims = [][]proof.Grade{{proof.Caution}}
	}
	if r.Grade == proof.Fail {
		aims = append(aims, []proof.Grade{proof.Fail})
	}
	return aims
}

// telling are the checks whose notes tell something and ask for nothing.
var telling = map[string]bool{"weight": true}

// pull tries one lever both ways. Without a cure it says what was tried.
func (h *hunt) pull(l lever) (Cure, string, error) {
	least, most := l.value, l.value
	trouble := ""
	for _, dir := range []int{1, -1} {
		f, err := h.seek(l, dir)
		if err != nil {
			return Cure{}, "", err
		}
		if f.far != 0 {
			least, most = min(least, f.far), max(most, f.far)
		}
		if f.trouble != "" {
			trouble = f.trouble
		}
		if f.k != 0 {
			c, why, err := h.confirm(l, f.k)
			if err != nil || c.Found() {
				return c, "", err
			}
			if why != "" {
				trouble = why
			}
		}
		if f.better && trouble == "" {
			break // the other way is worse
		}
	}
	how := fmt.Sprintf("%s from %s to %s", l.name(), write(least), write(most))
	if least == most {
		how = fmt.Sprintf("%s other than %s", l.name(), write(l.value))
	}
	if trouble != "" {
		how += " (" + trouble + ")"
	}
	return Cure{}, how, nil
}

// confirmations is how many steps from the one that was found on are proved: what is
// measured on a coarse mesh may be short by one. Of the remark's own word more are, so
// that it gets past what is worse and back to the least that is not.
const confirmations, ownConfirmations = 3, 9

// confirm proves a step in full, and the next ones if it does not pass yet, or if it
// is of the remark's own word and brings something worse.
func (h *hunt) confirm(l lever, k int) (c Cure, why string, err error) {
	dir, tries := 1, confirmations
	if k < 0 {
		dir = -1
	}
	if h.own(l) {
		tries = ownConfirmations
	}
	bad, good, stride := 0, 0, 2 // steps that are worse and that pass, 0: not known
	for range min(tries, h.o.Trials-h.spent) {
		text := write(l.at(k))
		src, set, err := h.turned(l, text)
		if err != nil {
			break
		}
		o, err := h.try(src, set, proved, nil)
		if err != nil {
			return c, "", err
		}
		v := judge(h.r, h.search.base.remarks, o)
		switch {
		case !v.made:
			return c, why, nil
		case v.trouble == "" && v.grade > h.aim:
			h.best, good = o, k
			c, why = h.describe(l, text, o, v), ""
		case v.trouble != "" && good == 0:
			if bad == 0 {
				why = fmt.Sprintf("%s would pass, but then %s", text, v.trouble)
			}
			if bad = k; !h.own(l) || dir*(k+dir*stride) > h.reach(l) {
				return c, why, nil
			}
			k += dir * stride
			stride *= 2
			continue
		case good != 0:
			bad = k
		default:
			k += dir
			continue
		}
		if bad == 0 || dir*(good-bad) <= 1 {
			break
		}
		k = (bad + good) / 2
	}
	return c, why, nil
}

// describe writes the cure down.
func (h *hunt) describe(l lever, text string, o outcome, v verdict) Cure {
	c := Cure{
		For: h.r.Key(), Grade: h.r.Grade, Address: l.address, Word: l.word, Dial: l.dial, Span: l.span,
		Old: l.text, New: text, Passes: v.grade > proof.Caution,
		Grams: o.grams - h.search.base.grams, Also: h.also(o),
	}
	turned := l.shown(text)
	switch {
	case l.added:
		turned = fmt.Sprintf("add %s = %s to %s:", l.word, text, titled(l.address))
	case l.dial != "":
		turned = fmt.Sprintf("dial %s at %s", l.dial, text)
	case l.address != h.r.Address:
		turned += " of " + l.address
	}
	does := "passes"
	if !c.Passes {
		does = "leaves a " + v.grade.String()
	}
	also := "nothing else changes"
	if len(c.Also) > 0 {
		also = strings.Join(c.Also, ", ")
	}
	c.Text = fmt.Sprintf("%s %s, %s; %s", turned, does, grams(c.Grams), also)
	return c
}

// titled is an address as the header of its block is written: bezel "rim".
func titled(address string) string {
	kind, name, ok := strings.Cut(address, ".")
	if !ok {
		return kind
	}
	return kind + " " + strconv.Quote(name)
}

// also says what else changes in the proof.
func (h *hunt) also(o outcome) []string {
	before, after := worst(h.search.base.remarks), worst(o.remarks)
	var all []string
	seen := map[string]bool{h.r.Key(): true}
	for _, r := range o.remarks {
		if r.Key() == h.r.Key() && r.Grade == proof.Note {
			all = append(all, "a note stays: "+r.Says)
			break
		}
	}
	for _, r := range h.search.base.remarks {
		if seen[r.Key()] || r.Grade == proof.Unchecked {
			continue
		}
		seen[r.Key()] = true
		if now, ok := after[r.Key()]; !ok {
			all = append(all, fmt.Sprintf("%s of %s goes, too", r.Check, r.Address))
		} else if now > before[r.Key()] {
			all = append(all, fmt.Sprintf("%s of %s becomes a %s", r.Check, r.Address, now))
		}
	}
	for _, r := range o.remarks {
		if seen[r.Key()] || r.Grade != proof.Note {
			continue
		}
		seen[r.Key()] = true
		all = append(all, fmt.Sprintf("a note more, %s: %s", r.Part, r.Says))
	}
	return all
}
