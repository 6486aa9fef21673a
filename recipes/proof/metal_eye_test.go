package proof

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// How deep an eye runs into a bezel falls by as much as it is moved outwards, as long as
// less than the wall stands in it, until it is clear: and it is told before all else.
func TestEyeRunsIntoBezel(t *testing.T) {
	src, err := os.ReadFile("../../testdata/faulty/eye-filled.hcl")
	if err != nil {
		t.Fatal(err)
	}
	deep := func(margin float64) float64 {
		moved := strings.Replace(string(src), "margin     = 0.8", fmt.Sprintf("margin = %g", margin), 1)
		for i, r := range prove(t, moved, "drop.hcl", Options{Only: []Group{Metal}}).Remarks {
			if r.Check == fouled {
				if i > 0 || r.Grade != Fail || !strings.Contains(r.Says, "the eye of link.ring in plate.button runs into bezel.cup") {
					t.Errorf("margin %g: %d: %+v", margin, i, r)
				}
				return r.Figure
			}
		}
		return 0
	}
	first := deep(0.5)
	for _, margin := range []float64{0.45, 0.4, 0.35} {
		if got, want := deep(margin), first-(0.5-margin); math.Abs(got-want) > 2*inside {
			t.Errorf("margin %g: %.3f mm, want %.3f", margin, got, want)
		}
	}
	if got := deep(0.5 - first - inside); got > 0 {
		t.Errorf("an eye that is clear of the bezel: %.3f mm", got)
	}
	if least := deep(0.8); least <= first {
		t.Errorf("an eye that is deeper in it: %.3f mm, not more than %.3f", least, first)
	}
}
