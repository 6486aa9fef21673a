package proof

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// hanging returns the recipe of a disc on a stud, hung by the bearing that is written,
// from so many links, with more blocks.
func hanging(links int, at, more string) string {
	src := `piece "drop" {}
plate "stud" {
  form   = "circle"
  across = 9
}
post "ear" {
  on  = plate.stud
  out = 2
}
`
	from := "plate.stud"
	for i := range links {
		src += fmt.Sprintf("link \"l%d\" {\n hangs_from = %s\n wire = 1\n bore = 4\n}\n", i, from)
		from = fmt.Sprintf("link.l%d", i)
	}
	return src + fmt.Sprintf("plate \"disc\" {\n form = \"circle\"\n across = 14\n hangs_from = %s\n hangs_at = %s\n}\n", from, at) + more
}

// A disc is symmetric about the line through its middle and its eye: hung by an eye at a
// bearing it turns by that angle, on however many links, and seen from the side when
// they are even. What it does to the post is to pull at the stud's own eye, which lies
// straight below the post: the stud itself stays upright.
func TestSwingsOfDisc(t *testing.T) {
	for links := 1; links <= 3; links++ {
		for _, bearing := range []float64{0, 3, 20, 59, -59, 90, 150} {
			turned := 0.0
			for _, r := range prove(t, hanging(links, fmt.Sprint(bearing), ""), "drop.hcl", Options{Only: []Group{Wearing}}).Remarks {
				switch {
				case r.Key() == "plate.disc/hang":
					turned = r.Figure
					if r.Word != "hangs_at" {
						t.Errorf("%d links, %g degrees: %+v", links, bearing, r)
					}
				case r.Check == hang || r.Check == "balance":
					t.Errorf("%d links, %g degrees: %s: %s", links, bearing, r.Key(), r.Says)
				}
			}
			if math.Abs(turned-math.Abs(bearing)) > 0.05 {
				t.Errorf("%d links, hung at %g degrees: turns by %.3f", links, bearing, turned)
			}
		}
	}
}

// What hangs in a drop pulls where it hangs, wherever its own bulk lies: an eye straight
// below the middle leaves the drop upright, one to the side turns it.
func TestSwingsOfCarrier(t *testing.T) {
	lower := func(at, hangsAt string) map[string]float64 {
		found := map[string]float64{}
		for _, r := range prove(t, hanging(1, "0", `
link "low" {
  hangs_from = plate.disc
  at = `+at+`
  wire = 1
  bore = 4
}
plate "tail" {
  form = "circle"
  across = 10
  hangs_from = link.low
  hangs_at = `+hangsAt+"\n}\n"), "drop.hcl", Options{Only: []Group{Wearing}}).Remarks {
			if r.Check == hang {
				found[r.Address] = r.Figure
			}
		}
		return found
	}
	if f := lower("180", "40"); len(f) != 1 || math.Abs(f["plate.tail"]-40) > 0.05 {
		t.Errorf("a tail that hangs askew: %v", f)
	}
	if f := lower("140", "0"); len(f) != 1 || f["plate.disc"] < 2 || f["plate.disc"] > 40 {
		t.Errorf("a tail that hangs to the side: %v", f)
	}
}

// A stone before the plate's middle brings its top forward, by less the larger the link on
// which it tips.
func TestSwingsForward(t *testing.T) {
	tips := func(bore string) float64 {
		src := strings.Replace(hanging(1, "0", `
stones "moon" {
  layout = "one"
  on = plate.disc
  cut = "round"
  gem = "cubic-zirconia"
  size = 8
  lift = 3
}
bezel "cup" {
  on = plate.disc
  holds = stones.moon
}
`), "bore = 4", "bore = "+bore, 1)
		for _, r := range prove(t, src, "drop.hcl", Options{Only: []Group{Wearing}}).Remarks {
			if r.Key() == "plate.disc/hang" && strings.Contains(r.Says, "top forward") {
				return r.Figure
			}
		}
		return 0
	}
	if small, large := tips("4"), tips("8"); large <= 0 || small <= large {
		t.Errorf("it tips by %.2f degrees on a small link, by %.2f on a large one", small, large)
	}
}
