package vary

import (
	"slices"
	"strings"
	"testing"

	"waxwright/recipes/proof"
)

// beside is a stone larger than its plate, whose prongs stand beside it, in a piece whose
// bail and post have faults of their own. Nothing cures the overhang by one number.
const beside = `piece "pin" {}
stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 5
  lift   = 1.4
}
plate "disc" {
  form      = "circle"
  across    = stones.bud.size - 0.8
  thickness = 1.6
}
prongs "claws" {
  on    = plate.disc
  holds = stones.bud
  where = "around"
  count = 4
  wire  = 0.9
  cover = 0.25
}
bail "loop" {
  on   = plate.disc
  wire = 0.9
  bore = 2.1
}
post "ear" {
  on     = plate.disc
  at     = 0
  out    = 0.4
  wire   = 0.85
  length = 14
}
`

// A cause that nothing cures keeps from their cures only what can follow from it: what
// holds the stone waits, wires and lengths elsewhere on the casting are cured.
func TestWhatWaitsForACause(t *testing.T) {
	t.Parallel()
	m, err := Mend(t.Context(), Case{Src: []byte(beside), Name: "pin.hcl"}, Options{Tol: 0.04})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]Cure{}
	for _, c := range m.Cures {
		got[c.For] = c
	}
	for _, key := range []string{"bail.loop/bail", "bail.loop/bail bore", "post.ear/post length"} {
		if c := got[key]; !c.Found() || !c.Passes {
			t.Errorf("%s: %+v", key, c)
		}
	}
	for key, says := range map[string]string{
		"plate.disc/overhang": "no single number tried",
		"prongs.claws/gap":    "it may follow from the overhang of plate.disc",
	} {
		if c := got[key]; c.Found() || !strings.HasPrefix(c.Text, says) {
			t.Errorf("%s: %+v, want %q", key, c, says)
		}
	}
}

// No more models are made for a remark than Trials, be they looked at or proved: of a
// plate whose edge has to go past what is worse, and of a gap that is measured on meshes.
func TestTrials(t *testing.T) {
	t.Parallel()
	for key, src := range map[string]string{
		"plate.seat/overhang": narrow,
		"prongs.claws/gap":    beside,
	} {
		c := Case{Src: []byte(src), Name: "pin.hcl"}
		asked := slices.DeleteFunc(reprove(t, c).Remarks, func(r proof.Remark) bool { return r.Key() != key })
		for _, most := range []int{1, 2} {
			told := 0
			_, err := Cures(t.Context(), c, asked, Options{Tol: 0.04, Trials: most, Progress: func(int, int) { told++ }})
			if made := told - 2; err != nil || made > most || most > 1 && made == 0 { // it is told of the start and the end, too
				t.Errorf("%s: %d models for at most %d trials, %v", key, made, most, err)
			}
		}
	}
}
