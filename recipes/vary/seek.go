package vary

import (
	"fmt"
	"math"

	"waxwright/recipes/proof"
)

// gone is the grade of a remark that is not there.
const gone = proof.Grade(255)

// verdict is what a trial means for the remark in hand.
type verdict struct {
	made          bool
	grade         proof.Grade // of the remark, gone if it is not there
	figure, limit float64
	trouble       string // a fail or caution that is new or worse, "" for none
}

// judge reads the remarks of a trial: what became of r, and whether anything is
// worse than it was in base.
func judge(r proof.Remark, base []proof.Remark, o outcome) verdict {
	v := verdict{made: o.made(), grade: gone}
	if !v.made {
		return v
	}
	was := worst(base)
	for _, m := range o.remarks {
		if m.Key() == r.Key() {
			if m.Grade < v.grade {
				v.grade, v.figure, v.limit = m.Grade, m.Figure, m.Limit
			}
			continue
		}
		if old, ok := was[m.Key()]; m.Grade <= proof.Caution && (!ok || m.Grade < old) && v.trouble == "" {
			v.trouble = fmt.Sprintf("%s: %s, %s", m.Part, m.Check, m.Grade)
		}
	}
	return v
}

// worst returns the worst grade of each key.
func worst(remarks []proof.Remark) map[string]proof.Grade {
	all := map[string]proof.Grade{}
	for _, r := range remarks {
		if g, ok := all[r.Key()]; !ok || r.Grade < g {
			all[r.Key()] = r.Grade
		}
	}
	return all
}

// hunt is the search for a cure of one remark.
type hunt struct {
	*search
	r     proof.Remark
	aim   proof.Grade    // what has to be gone: a grade this bad or worse
	how   depth          // of trials on the way
	plain []proof.Remark // of the recipe as it is, bare
	base  []proof.Remark // of the recipe as it is, at depth how
	memo  map[string]verdict
}

// hunting finds how deep trials have to look: if the remark is there without
// any metal, then without.
func (s *search) hunting(r proof.Remark) (*hunt, error) {
	h := &hunt{search: s, r: r, memo: map[string]verdict{}}
	o, err := s.try(s.c.Src, s.c.Set, bare, nil)
	if err != nil {
		return nil, err
	}
	h.plain = o.remarks
	for _, m := range o.remarks {
		if m.Key() == r.Key() && m.Grade == r.Grade && m.Figure == r.Figure {
			h.base = o.remarks
			return h, nil
		}
	}
	h.how, h.base = proved, s.base.remarks
	if r.Group == proof.Wearing { // masses need no fine mesh
		h.how = coarse
		o, err := s.try(s.c.Src, s.c.Set, coarse, []proof.Group{r.Group})
		if err != nil {
			return nil, err
		}
		h.base = o.remarks
	}
	return h, nil
}

// look tries a lever k steps from where it stands.
func (h *hunt) look(l lever, k int) (verdict, error) {
	text := write(l.at(k))
	key := l.address + " " + l.word + " " + text
	if v, ok := h.memo[key]; ok {
		return v, nil
	}
	src, set, err := h.turned(l, text)
	if err != nil {
		return verdict{}, nil // not a literal after all
	}
	o, err := h.try(src, set, bare, nil)
	if err != nil {
		return verdict{}, err
	}
	v := judge(h.r, h.plain, o)
	if h.how != bare && v.made && v.trouble == "" {
		if o, err = h.try(src, set, h.how, []proof.Group{h.r.Group}); err != nil {
			return verdict{}, err
		}
		v = judge(h.r, h.base, o)
	}
	h.memo[key] = v
	return v, nil
}

// left is how many models may still be made to look for a step: one stays to prove it.
func (h *hunt) left() int {
	if h.how == bare {
		return h.o.Trials - h.spent
	}
	return h.o.Trials - h.spent - 1
}

// noise is by how much a figure has to move to have moved: what is measured on
// a mesh, by the chord error of the mesh.
func (h *hunt) noise() float64 {
	if h.how == bare {
		return 0
	}
	return h.o.Tol
}

// found is the end of a search in one direction.
type found struct {
	k       int     // steps to where it passes, 0: nowhere
	far     float64 // the farthest value that was tried
	better  bool    // the first steps made things better
	trouble string  // what came in the way of a step that would have passed
}

// own says whether a lever is the word that the remark names.
func (h *hunt) own(l lever) bool { return l.address == h.r.Address && l.word == h.r.Word }

// reach is how many steps a lever is turned at most: the remark's own word at least
// as far as twice what is missing.
func (h *hunt) reach(l lever) int {
	far := l.reach()
	if h.own(l) && l.unit == h.r.Unit {
		far = max(far, int(math.Ceil(2*math.Abs(h.r.Limit-h.r.Figure)/l.step)))
	}
	return far
}

// seek follows a lever in one direction to the first step that passes: by the
// slope of what is measured as far as it goes, else by doubling, and then by
// bisection. It takes for granted that what has passed goes on to pass. Where a step
// brings something worse, the remark's own word is tried beyond it, too: a plate that
// is just large enough for its stone is not yet large enough for the prongs.
func (h *hunt) seek(l lever, dir int) (f found, err error) {
	now := verdict{grade: h.r.Grade, figure: h.r.Figure, limit: h.r.Limit}
	toward := math.Copysign(1, now.limit-now.figure)
	lo, last := 0, now // does not pass
	reach := h.reach(l)
	hi, top := 0, reach+1 // passes, 0: not known; cannot be used
	worse := 0            // the first step beyond lo that brings something worse; lo or less: not known
	k, far, leaps, beyond := 1, 0, blind[:1], 0
	if h.own(l) {
		leaps, beyond = blind[:], len(blind)
	}
	for lo+1 < top && (hi == 0 || lo+1 < hi) && h.left() > 0 {
		k = min(max(k, lo+1), top-1)
		v, err := h.look(l, dir*k)
		if err != nil {
			return f, err
		}
		if v.made && k > far {
			far, f.far = k, l.at(dir*k)
		}
		passes := v.made && v.grade > h.aim
		switch {
		case !v.made, v.trouble != "":
			if v.made {
				f.trouble = fmt.Sprintf("at %s then %s", write(l.at(dir*k)), v.trouble)
			}
			switch {
			case v.made && hi > 0: // better lies beyond it
				lo = k
				k = (lo + hi) / 2
				continue
			case v.made && beyond > 0 && k < reach:
				if worse <= lo {
					worse = k
				}
				beyond--
				k = min(2*k+2, top-1)
				continue
			case worse > lo:
				k, worse, beyond = worse, 0, 0
			}
			top = k
			k = (lo + k) / 2
			continue
		case passes:
			f.better = true
			hi, top = k, k
			if k = (lo + k) / 2; last.figure != now.figure {
				k = hi - 1 // the slope has led here: most likely the step before fails
				last.figure = now.figure
			}
			continue
		}
		gain := (v.figure - last.figure) * toward
		if v.grade > last.grade {
			gain = max(gain, h.noise()+l.step) // it is better, whatever the figure
		}
		switch {
		case gain > h.noise():
			f.better = true
			slope := (v.figure - now.figure) / float64(k)
			lo, last = k, v
			k = min(4*k+4, reach)
			if more := math.Ceil((v.limit - v.figure) / slope); more >= 0 && float64(lo)+more < float64(k) {
				k = lo + max(1, int(more))
			}
		case hi > 0: // flat, between what passes and what does not
			lo = k
			k = (lo + hi) / 2
		case gain < -h.noise():
			return f, nil
		case lo == 0 && len(leaps) > 0:
			k, leaps = leaps[0], leaps[1:] // perhaps it needs more to be seen
		default:
			return f, nil
		}
	}
	if hi > 0 {
		f.k = dir * hi
	}
	return f, nil
}

// blind is how many steps a lever is turned at once when one step changes
// nothing that is measured; the word that a remark names is worth a second leap.
var blind = [...]int{6, 24}
