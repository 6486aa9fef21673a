// Package vary turns one number of a recipe at a time and looks what becomes of
// the piece. It finds cures: a change of one number, written or added, after which a
// remark of the proof is gone.
//
// A cure is found in three steps:
//
//  1. levers (lever.go): the numbers, written as literals in the recipe, that
//     govern the remark. The table governs (governs.go) names them for each
//     check, after the word that the remark itself names; a word that is a
//     formula leads to the dials and words it reads. A word that is not written,
//     but has a value, may be added.
//  2. a search on each lever (seek.go): both directions are tried, and the one
//     that makes things better is followed, on a grid of sensible steps, to the
//     first step that passes. The first lever that cures is taken, unless that costs
//     much metal: then the others are tried, and the cheapest is taken.
//  3. a trial (trial.go) compiles, models and proves the piece with the number
//     as it would be written. Remarks that do not need the metal are searched
//     without meshing it; the others on a coarse mesh. What is found is proved
//     again by every check, at the tolerance of the call.
//
// Guaranteed: a cure was tried. With it, and nothing else changed, the remark is
// gone or of a better grade, and no fail or caution is new or worse. The same
// recipe, house and options give the same cures. Not guaranteed: that there is
// no other cure, or that a remark without a cure has none; what was tried is
// said.
package vary

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/proof"
)

// Case is a recipe for which cures are sought.
type Case struct {
	Src  []byte
	Name string            // of the file, for the places of faults
	Set  map[string]string // dials that are set from outside
}

// Options for Cures and Mend. The zero Options are those of a proof for casting.
type Options struct {
	Proof    proof.Options // how it is proved; Only limits what is cured, all checks are watched
	Tol      float64       // of the models that are proved, mm; 0: build.DefaultTol
	Workers  int           // 0: as many as there are processors
	Trials   int           // how many models may be made for one remark, to look and to prove; 0: DefaultTrials
	Cache    *build.Cache
	Progress func(done, total int) // called now and then, never at the same time twice; may be nil
	Seeking  func(key string)      // called before a cure of that remark is sought; may be nil
}

// DefaultTrials is how many models are made for one remark at most. Most cures
// take three to six; beyond twice as many none was found in the faulty recipes.
const DefaultTrials = 24

// Cure is what was found for one remark. Without a New it is none, and Text says
// what was tried.
type Cure struct {
	For     string      `json:"for"`            // key of the remark, "bezel.rim/wall"
	Grade   proof.Grade `json:"grade"`          // of the remark
	Address string      `json:"address"`        // of the block with the number, "bezel.rim"
	Word    string      `json:"word"`           // "wall", "rays.width 2" for the second of a list
	Dial    string      `json:"dial,omitempty"` // its name, if the number is a dial's
	Span    lang.Span   `json:"span"`           // of the number; of the header of its block where it is not written
	Old     string      `json:"old"`            // as it is written, or set; empty where it is not written
	New     string      `json:"new"`            // as it is to be written
	Passes  bool        `json:"passes"`         // no fail or caution is left of it; else its grade is better
	Grams   float64     `json:"grams"`          // of metal that it adds to the piece
	Also    []string    `json:"also,omitempty"` // what else changes
	Text    string      `json:"text"`           // all of it in a sentence
}

// Found says whether there is a cure.
func (c Cure) Found() bool { return c.New != "" }

// Cures looks for a cure of every given remark by itself; nil stands for all
// fails and cautions. The remarks are those that Prove has for this recipe, with
// the dials as set. There is one Cure for each key, in the order of the remarks.
//
// When ctx ends, the cures that were found until then are returned with its
// error. Other errors are those of a recipe that cannot be modelled or proved.
func Cures(ctx context.Context, c Case, remarks []proof.Remark, o Options) ([]Cure, error) {
	s, err := start(ctx, c, o)
	if err != nil {
		return nil, err
	}
	if remarks == nil {
		remarks = s.base.remarks
	}
	targets := s.curable(remarks)
	var all []Cure
	for i, r := range targets {
		s.seeking(r)
		s.report(i, len(targets))
		cure, err := s.cure(r)
		if err != nil {
			return all, err
		}
		all = append(all, cure)
	}
	s.report(len(targets), len(targets))
	return all, nil
}

// Mended is a recipe after the cures that could be made together.
type Mended struct {
	Src    []byte        // the recipe with every cure written into it
	Cures  []Cure        // those that are in Src, in the order in which they were made, then what has none
	Grams  float64       // of metal that the cures in Src add to the piece
	Before *proof.Report // of the recipe as it was, each remark with its cure
	After  *proof.Report // of Src
}

// Mend cures what can be cured, fails first: each cure is made on the recipe as
// the ones before it left it, so that After is what Prove says of Src. Dials that
// are set stay as they are. It ends as Cures does.
func Mend(ctx context.Context, c Case, o Options) (*Mended, error) {
	s, err := start(ctx, c, o)
	if err != nil {
		return nil, err
	}
	m := &Mended{Src: c.Src, Before: s.base.report, After: s.base.report}
	hopeless := map[string]bool{}
	planned := len(s.curable(s.base.remarks))
	var none []Cure
	for {
		targets := slices.DeleteFunc(s.curable(s.base.remarks), func(r proof.Remark) bool { return hopeless[r.Key()] })
		if len(targets) == 0 || len(m.Cures) >= mostCures {
			break
		}
		s.seeking(targets[0])
		s.report(min(len(m.Cures)+len(none), planned-1), planned)
		cure, err := s.cure(targets[0])
		if err != nil {
			m.Cures = append(m.Cures, none...)
			return m, err
		}
		if !cure.Found() {
			hopeless[targets[0].Key()] = true
			for _, o := range s.following(targets[0], targets[1:]) { // is not cured for its own sake
				hopeless[o.Key()] = true
				none = append(none, Cure{For: o.Key(), Grade: o.Grade, Text: fmt.Sprintf("it may follow from the %s of %s: mend that first", targets[0].Check, targets[0].Address)})
			}
			none = append(none, cure)
			continue
		}
		if !cure.Passes {
			hopeless[targets[0].Key()] = true // better is all it gets
		}
		m.Cures = append(m.Cures, cure)
		m.Src, m.Grams = s.best.src, m.Grams+cure.Grams
		s.settle()
		m.After = s.base.report
	}
	m.Cures = append(m.Cures, none...)
	m.Before = m.prescribed()
	return m, nil
}

// adrift are the checks whose remarks may follow from a stone beside its plate: what
// should hold it stands on nothing.
var adrift = []string{"wall", "gap", "wound", "joint", "seat", "hold", "cover", "light leak"}

// following returns those of the remarks that may follow from a fail that is a cause: of
// the stones in hand, and of what holds them.
func (s *search) following(cause proof.Remark, remarks []proof.Remark) []proof.Remark {
	if !cause.Cause() || cause.Grade != proof.Fail {
		return nil
	}
	group, _, _ := strings.Cut(cause.Part, " ")
	about := []string{group}
	file := s.base.piece.Recipe
	for _, address := range file.Names() {
		if slices.ContainsFunc(file.Links(address), func(l lang.Link) bool { return l.Word == "holds" && l.To.Address == group }) {
			about = append(about, address)
		}
	}
	var all []proof.Remark
	for _, r := range remarks {
		if r.Casting == cause.Casting && slices.Contains(adrift, r.Check) && (slices.Contains(about, r.Address) || slices.Contains(about, r.Other)) {
			all = append(all, r)
		}
	}
	return all
}

// prescribed is Before with the cure of each remark beside it.
func (m *Mended) prescribed() *proof.Report {
	left := worst(m.After.Remarks)
	texts := map[string]string{}
	for _, c := range m.Cures {
		texts[c.For] = c.Text
	}
	r := *m.Before
	r.Remarks = slices.Clone(r.Remarks)
	for i := range r.Remarks {
		k := &r.Remarks[i]
		if k.Grade > proof.Caution {
			continue
		}
		k.Cure = texts[k.Key()]
		if _, ok := left[k.Key()]; k.Cure == "" && !ok {
			k.Cure = "goes with the cures of the others"
		}
	}
	return &r
}

// mostCures keeps Mend from going on for ever: no recipe needs as many.
const mostCures = 50

// curable returns one remark a key out of the fails and cautions, the worst.
func (s *search) curable(remarks []proof.Remark) []proof.Remark {
	seen := map[string]bool{}
	var all []proof.Remark
	for _, r := range remarks {
		if r.Grade > proof.Caution || seen[r.Key()] || r.Group == proof.Mesh ||
			len(s.o.Proof.Only) > 0 && !slices.Contains(s.o.Proof.Only, r.Group) {
			continue
		}
		seen[r.Key()] = true
		all = append(all, r)
	}
	first := func(r proof.Remark) int { // causes before what follows from them
		if r.Cause() {
			return -1
		}
		return int(r.Grade)
	}
	slices.SortStableFunc(all, func(a, b proof.Remark) int { return cmp.Compare(first(a), first(b)) })
	return all
}

// start proves the recipe as it is.
func start(ctx context.Context, c Case, o Options) (*search, error) {
	o.Tol = cmp.Or(o.Tol, build.DefaultTol)
	o.Trials = cmp.Or(o.Trials, DefaultTrials)
	if o.Cache == nil {
		o.Cache = &build.Cache{}
	}
	s := &search{ctx: ctx, c: c, o: o}
	base, err := s.try(c.Src, c.Set, proved, nil)
	if err != nil {
		return nil, err
	}
	if base.diags != nil {
		return nil, base.diags
	}
	if base.report == nil {
		return nil, errors.New("the recipe cannot be modelled: " + base.why)
	}
	s.base = base
	return s, nil
}

// search is the work on one recipe.
type search struct {
	ctx  context.Context
	c    Case
	o    Options
	base outcome // of the recipe as it is
	best outcome // of the last cure that was found

	spent        int // models made for the remark in hand
	nth, planned int // the remark in hand, and how many there are
}

// settle makes the last cure the recipe that is searched from.
func (s *search) settle() {
	s.c.Src, s.base = s.best.src, s.best
}

// report tells how far the work is: every remark counts as all its trials.
func (s *search) report(nth, of int) {
	s.nth, s.planned, s.spent = nth, of, 0
	s.beat()
}

// seeking tells what is sought next.
func (s *search) seeking(r proof.Remark) {
	if s.o.Seeking != nil {
		s.o.Seeking(r.Key())
	}
}

func (s *search) beat() {
	if s.o.Progress != nil && s.planned > 0 {
		s.o.Progress(s.nth*s.o.Trials+min(s.spent, s.o.Trials-1), s.planned*s.o.Trials)
	}
}

// none is the Cure of a remark that has none.
func none(r proof.Remark, tried []string) Cure {
	c := Cure{For: r.Key(), Grade: r.Grade}
	if len(tried) == 0 {
		c.Text = "no number is written in the recipe that governs this"
	} else {
		c.Text = "no single number tried cures this: " + strings.Join(tried, ", ")
	}
	return c
}

// grams writes what a cure costs.
func grams(g float64) string {
	switch {
	case g >= leastGrams:
		return fmt.Sprintf("adds %.2f g", g)
	case g <= -leastGrams:
		return fmt.Sprintf("saves %.2f g", -g)
	}
	return "weighs the same"
}

// leastGrams is the least difference of weights that is spoken of, g: half of the
// last digit that is printed.
const leastGrams = 0.005
