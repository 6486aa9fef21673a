package proof

import (
	"fmt"
	"slices"

	"waxwright/recipes/piece"
)

// Accepted is a remark that the recipe accepts: it no longer counts, and
// papers show it with its reason.
type Accepted struct {
	Remark
	Reason string `json:"reason"`
	Line   int    `json:"line"` // of the accept block
}

// accept moves what the recipe accepts out of the remarks, and notes which
// blocks silence nothing. What nobody checked is not accepted, nor is a mesh
// that is not sound. Where not all groups were asked, a block that silences
// nothing may silence a remark of another group: then nothing is noted.
func (r *Report) accept(blocks []*piece.Accept, all bool) {
	for _, a := range blocks {
		matches := func(m Remark) bool { return m.Key() == a.Key() && m.Grade != Unchecked }
		found := false
		for _, m := range r.Remarks {
			if matches(m) {
				found = true
				r.Accepted = append(r.Accepted, Accepted{Remark: m, Reason: a.Why, Line: a.Span.Line})
			}
		}
		r.Remarks = slices.DeleteFunc(r.Remarks, matches)
		if found || !all {
			continue
		}
		r.Remarks = append(r.Remarks, Remark{
			Check: "accept", Grade: Note, Part: a.Key(), Address: a.Address, Span: a.Span, Count: 1,
			Says: fmt.Sprintf("accept %q silences nothing: there is no such remark", a.Key()),
		})
	}
	order(r.Remarks)
}
