package vary

import (
	"testing"

	"waxwright/recipes/proof"
)

// Between the last step that is better and the first beyond it that is worse all is
// open to be tried, though an earlier step was worse, too.
func TestSeekPastTwoWorse(t *testing.T) {
	l := lever{address: "plate.disc", word: "across", value: 20, step: 1}
	h := &hunt{
		search: &search{o: Options{Trials: DefaultTrials}},
		r:      proof.Remark{Address: l.address, Word: l.word, Grade: proof.Fail, Limit: 10},
		aim:    proof.Caution,
		memo:   map[string]verdict{},
	}
	for k := 1; k <= h.reach(l); k++ {
		v := verdict{made: true, grade: proof.Fail, figure: float64(k), limit: 10}
		switch {
		case k == 1 || k > 7:
			v.trouble = "plate.disc: joint, fail"
		case k == 7:
			v.grade = gone
		}
		h.memo[l.address+" "+l.word+" "+write(l.at(k))] = v
	}
	f, err := h.seek(l, 1)
	if err != nil || f.k != 7 {
		t.Errorf("passes at step %d, want 7: %+v, %v", f.k, f, err)
	}
}
