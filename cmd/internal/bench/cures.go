package bench

import (
	"context"
	"slices"
	"strconv"

	"waxwright/recipes/proof"
	"waxwright/recipes/vary"
)

const (
	// cureTrials is how many models are made for a remark at most: fewer than a
	// maker would wait for who asks for cures alone.
	cureTrials = 12
	// cureWorkers leaves the other processors to what the maker does meanwhile.
	cureWorkers = 1
)

// cure looks for cures of the fails and cautions, one after the other, and tells
// each as soon as it is found. Another order ends the search.
func (d *desk) cure(ctx context.Context, o order, remarks []proof.Remark) {
	c := vary.Case{Src: o.src, Name: d.name, Set: o.set}
	for _, r := range remarks {
		if r.Grade != proof.Fail && r.Grade != proof.Caution {
			continue
		}
		found, err := vary.Cures(ctx, c, []proof.Remark{r}, vary.Options{Workers: cureWorkers, Trials: cureTrials, Cache: &d.cache})
		if ctx.Err() != nil {
			return
		}
		if err != nil { // a search that fails is no fault of the piece
			d.told(ctx, func(s *state) { s.Trouble = "cures: " + err.Error() })
			return
		}
		cures, words := curesOf(found)
		if len(cures)+len(words) == 0 {
			continue
		}
		d.told(ctx, func(s *state) {
			s.Remarks = slices.Clone(s.Remarks)
			for i := range s.Remarks {
				if s.Remarks[i].ID == idOf(r) {
					s.Remarks[i].Cures, s.Remarks[i].Advice = cures, words
				}
			}
		})
	}
}

// curesOf writes the cures that were found for the page: those by a dial, and
// those by other numbers.
func curesOf(found []vary.Cure) ([]cure, []advice) {
	cures, words := []cure{}, []advice{}
	for _, c := range found {
		switch v, err := strconv.ParseFloat(c.New, 64); {
		case !c.Found():
		case c.Dial != "" && err == nil:
			cures = append(cures, cure{c.Dial, v, c.Text})
		default:
			words = append(words, advice{c.Text, c.Span.Line})
		}
	}
	return cures, words
}
