package cli

import (
	"fmt"
	"strings"
	"testing"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

// A remark has one number: the one that prove prints is on its pin, too.
func TestPinNumbers(t *testing.T) {
	src := `piece "pin" {}
plate "disc" {
  form      = "circle"
  across    = 9
  thickness = 12
}
stones "pearl" {
  layout = "one"
  gem    = "pearl"
  size   = 5
}
bezel "rim" {
  on    = plate.disc
  holds = stones.pearl
  wall  = 0.3
}
`
	p, diags := piece.Read([]byte(src), "pin.hcl", nil)
	if p == nil {
		t.Fatal(diags)
	}
	m, err := build.Make(t.Context(), p, build.Options{Tol: 0.05})
	if err != nil {
		t.Fatal(err)
	}
	report, err := proof.Prove(t.Context(), m, proof.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var printed strings.Builder
	if err := report.Print(&printed); err != nil {
		t.Fatal(err)
	}
	s := &shot{}
	s.Width, s.Height = 1200, 900
	s.pin(m, report)
	if len(s.List) < 3 {
		t.Fatalf("%d remarks on the picture:\n%s", len(s.List), printed.String())
	}
	for i, r := range report.Remarks {
		if r.Grade == proof.Unchecked {
			continue
		}
		if got := s.List[i]; got.Label != fmt.Sprint(r.Number) || !strings.Contains(got.Text, r.Says) {
			t.Errorf("the picture says %s %q of number %d, %q", got.Label, got.Text, r.Number, r.Says)
		}
		if want := fmt.Sprintf("\n%2d  %s", r.Number, r.Part); !strings.Contains(printed.String(), want) {
			t.Errorf("prove has no %q:\n%s", want, printed.String())
		}
	}
}
