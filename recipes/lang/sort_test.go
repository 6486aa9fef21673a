package lang_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/recipes/lang"
)

// Random needs: a recipe reads if and only if they have no circle, each block
// then follows after all that it needs, and nothing is moved without a reason.
func TestOrderOfNeeds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "lets")
		needs := make([][]int, n)
		var b strings.Builder
		b.WriteString("garden \"x\" { }\n")
		for i := range n {
			needs[i] = rapid.SliceOfNDistinct(rapid.IntRange(0, n-1), 0, min(2, n), rapid.ID[int]).Draw(t, "needs")
			fmt.Fprintf(&b, "let \"l%d\" { value = 0", i)
			for _, j := range needs[i] {
				fmt.Fprintf(&b, " + let.l%d", j)
			}
			b.WriteString(" }\n")
		}
		f, ds := lang.Read([]byte(b.String()), "r.hcl", garden, lang.Options{})
		if want := !hasCircle(needs); (f != nil) != want {
			t.Fatalf("read %v, want %v: %v", f != nil, want, ds)
		}
		if f == nil {
			return
		}
		var order []int
		for _, blk := range f.Order()[1:] {
			var i int
			fmt.Sscanf(lang.HeadOf(blk).Name, "l%d", &i)
			order = append(order, i)
		}
		at := func(i int) int { return slices.Index(order, i) }
		for i := range n {
			for _, j := range needs[i] {
				if at(j) > at(i) {
					t.Fatalf("order %v: %d comes before %d, which it needs", order, i, j)
				}
			}
		}
		for k := 1; k < n; k++ { // a step back is there only because a need held it up
			if a, b := order[k-1], order[k]; a > b && !slices.Contains(needs[b], a) {
				t.Fatalf("order %v: %d could have come before %d", order, b, a)
			}
		}
	})
}

// hasCircle says whether removing what needs nothing, again and again, leaves
// something over.
func hasCircle(needs [][]int) bool {
	gone := make([]bool, len(needs))
	for range needs {
		for i, js := range needs {
			if !slices.ContainsFunc(js, func(j int) bool { return !gone[j] }) {
				gone[i] = true
			}
		}
	}
	return slices.Contains(gone, false)
}

// What hangs may carry what it was cut from: pose has an order of its own.
func TestPoseIsNotShape(t *testing.T) {
	src := `garden "x" { }
basket "low" { hangs_from = basket.high }
basket "high" {
  hangs_from = bed.copy
  drop       = basket.low.drop
}
bed "copy" {
  form = "copy"
  from = bed.sun
}
bed "sun" {
  form   = "circle"
  across = 9 + basket.high.drop
}
`
	f, ds := lang.Read([]byte(src), "r.hcl", garden, lang.Options{})
	if f == nil {
		t.Fatal(ds)
	}
	names := func(bs []lang.Block) string {
		var all []string
		for _, b := range bs {
			all = append(all, lang.HeadOf(b).Address)
		}
		return strings.Join(all, " ")
	}
	if got, want := names(f.Order()), "garden basket.low basket.high bed.sun bed.copy"; got != want {
		t.Errorf("order of needs %s, want %s", got, want)
	}
	if got, want := names(f.PoseOrder()), "garden bed.copy basket.high basket.low bed.sun"; got != want {
		t.Errorf("order of hanging %s, want %s", got, want)
	}
	links := f.Links("basket.high")
	if len(links) != 1 || !links[0].Pose || links[0].To.Address != "bed.copy" || links[0].To.Span.Line != 4 {
		t.Errorf("links %+v", links)
	}
}
