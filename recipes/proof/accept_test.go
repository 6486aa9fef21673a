package proof

import (
	"slices"
	"strings"
	"testing"

	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// dot is a small piece with two remarks of the wearing group: a thin post
// without a notch.
const dot = `
piece "dot stud" {}
plate "dot" {
  form      = "circle"
  across    = 6
  thickness = 1.2
}
post "post" {
  on    = plate.dot
  at    = "balance"
  wire  = 0.75
  notch = 0
}
`

func keys(all []Remark) []string {
	var names []string
	for _, r := range all {
		names = append(names, r.Grade.String()+" "+r.Key())
	}
	return names
}

// What a recipe accepts no longer counts, stays with its reason, and nothing
// else is silenced; a block that silences nothing is noted.
func TestAccept(t *testing.T) {
	wearing := Options{Only: []Group{Wearing}}
	plain := prove(t, dot, "dot.hcl", wearing)
	if !slices.Contains(keys(plain.Remarks), "caution post.post/post") || !slices.Contains(keys(plain.Remarks), "note post.post/notch") {
		t.Fatal(keys(plain.Remarks))
	}
	got := prove(t, dot+`accept "post.post/post" { why = "asked for by the customer" }`, "dot.hcl", wearing)
	if len(got.Accepted) != 1 || got.Accepted[0].Reason != "asked for by the customer" || got.Accepted[0].Grade != Caution {
		t.Errorf("accepted: %+v", got.Accepted)
	}
	if slices.Contains(keys(got.Remarks), "caution post.post/post") || len(got.Remarks) != len(plain.Remarks)-1 {
		t.Errorf("left: %v, of %v", keys(got.Remarks), keys(plain.Remarks))
	}
	var s strings.Builder
	_ = got.Print(&s)
	if !strings.Contains(strings.Join(strings.Fields(s.String()), " "), "Why: asked for by the customer.") || !strings.Contains(s.String(), "1 accepted") {
		t.Error(s.String())
	}
	all := prove(t, dot+`accept "plate.dot/sheet" { why = "none" }`, "dot.hcl", Options{})
	if !slices.Contains(keys(all.Remarks), "note accept.plate.dot/sheet/accept") {
		t.Errorf("nothing is said of a block that silences nothing: %v", keys(all.Remarks))
	}
}

// An accept block names a block that is there and a remark that there is.
func TestAcceptFaults(t *testing.T) {
	for label, says := range map[string]string{
		"post.pots/post": "did you mean post.post?",
		"post.post/pots": `did you mean "post"?`,
		"post.post":      "names a block and a word",
	} {
		_, diags := piece.Read([]byte(dot+`accept "`+label+`" { why = "so" }`), "dot.hcl", nil)
		found := false
		for _, d := range diags {
			found = found || strings.Contains(d.Summary+" "+d.Detail, says) && d.Span.Line == 14
		}
		if !found {
			t.Errorf("%s: %v", label, diags)
		}
	}
}

// A maker's own house changes what it says, keeps the rest, and grades by it.
func TestOwnHouse(t *testing.T) {
	wearing := Options{Only: []Group{Wearing}}
	own := `
house "bench" {
  post        = [0.60, 0.70, 0.95]
  post_length = [9, 10]
  stud_weight = [3, 5]
  shrinkage   = 0
  source      = "asked in May"
}
`
	got := prove(t, dot+own, "dot.hcl", wearing)
	if got.House != "bench" || slices.Contains(keys(got.Remarks), "caution post.post/post") {
		t.Errorf("%s: %v", got.House, keys(got.Remarks))
	}
	at := slices.IndexFunc(got.Remarks, func(r Remark) bool { return r.Check == "post length" })
	if at < 0 || got.Remarks[at].Source != "asked in May" || got.Remarks[at].Limit != 10 {
		t.Errorf("%+v", got.Remarks)
	}
	file, diags := piece.ReadHouse([]byte(own), "bench.hcl")
	if file == nil {
		t.Fatal(diags)
	}
	o := wearing
	o.Own = file
	if got := prove(t, dot, "dot.hcl", o); got.House != "bench" || slices.Contains(keys(got.Remarks), "caution post.post/post") {
		t.Errorf("%s: %v", got.House, keys(got.Remarks))
	}
	base, _ := stock.HouseNamed("strict")
	over := file.Over(base)
	if l, _ := over.Limit(stock.Gap); l.Fail.Value != 0.40 {
		t.Errorf("a limit that nobody changed is %g", l.Fail.Value)
	}
	if l, _ := over.Limit(stock.StudWeight); l.Over.Value != 5 || l.Most != (stock.Figure{}) {
		t.Errorf("a house that leaves out the last number: %+v", l)
	}
	if over.Shrinkage.Value != 0 || over.PolishLoss != base.PolishLoss {
		t.Errorf("%+v %+v", over.Shrinkage, over.PolishLoss)
	}
}

// Faults of a house say what is wrong, with a suggestion.
func TestOwnHouseFaults(t *testing.T) {
	for src, says := range map[string]string{
		`house "bench" { gapp = [0.2, 0.4] }`:                        `did you mean "gap"?`,
		`house "bench" { gap = [0.4, 0.2] }`:                         "from the least to the greatest",
		`house "bench" { gap = [0.4] }`:                              "such as [0.4, 0.4]",
		`house "bench" { stud_weight = [3] }`:                        "takes 2 or 3 numbers, not 1",
		`house "bench" { prong = [1, 0.3] }`:                         "three a stone",
		`house "bench" { prong = [2, 0.3, 0.4, 1, 0.3, 0.4] }`:       "from small to large",
		"let \"a\" { value = 1 }":                                    `house "name"`,
		"house \"a\" { gap = [0, 1] }\nhouse \"b\" { gap = [0, 1] }": "2 houses",
	} {
		h, diags := piece.ReadHouse([]byte(src), "bench.hcl")
		text := ""
		for _, d := range diags {
			text += d.Summary + " " + d.Detail + "\n"
		}
		if h != nil || !strings.Contains(text, says) {
			t.Errorf("%s: %s", src, text)
		}
	}
}
