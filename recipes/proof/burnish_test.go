package proof

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// A bezel that cannot be closed over its stone fails on the line of its wall, in
// words of the bench, and with the thickness that it names it can be closed. Nothing
// else of the proof is taken for it.
func TestTooThickToBurnish(t *testing.T) {
	src, err := os.ReadFile("../../testdata/faulty/wall.hcl")
	if err != nil {
		t.Fatal(err)
	}
	with := func(wall float64) string {
		return strings.Replace(string(src), "wall  = 0.3 ", fmt.Sprintf("wall  = %.4g ", wall), 1)
	}
	cannot := func(wall float64) (most float64, ok bool) {
		for _, r := range prove(t, with(wall), "wall.hcl", Options{Only: []Group{Metal}}).Remarks {
			if !strings.Contains(r.Says, "cannot be set") || r.Grade == Unchecked {
				continue
			}
			if r.Key() != "bezel.rim/wall" || r.Grade != Fail || r.Word != "wall" || r.Span.Line != 27 {
				t.Errorf("%s of %s in line %d: %s", r.Grade, r.Key(), r.Span.Line, r.Says)
			}
			if !strings.Contains(r.Says, "the wall, 4 mm, is too thick to be burnished over a stone of") {
				t.Errorf("it says %q", r.Says)
			}
			_, under, _ := strings.Cut(r.Why, "make wall less than ")
			if most, err = strconv.ParseFloat(strings.TrimSuffix(under, " mm"), 64); err != nil {
				t.Errorf("it advises %q: %v", r.Why, err)
			}
			ok = true
		}
		return most, ok
	}
	most, ok := cannot(4)
	if !ok || !(most > 0.45 && most < 4) {
		t.Fatalf("a wall of 4 mm is burnished, or what may be, %g, is out of all measure", most)
	}
	if _, ok := cannot(math.Floor(100*most-1) / 100); ok {
		t.Errorf("it still cannot be closed at a hundredth under the %g that is named", most)
	}
}
