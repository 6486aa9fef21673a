package vary

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"testing"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

// faulty reads one of the faulty recipes.
func faulty(t *testing.T, name string) Case {
	t.Helper()
	file := "../../testdata/faulty/" + name + ".hcl"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return Case{Src: src, Name: file}
}

// reprove proves a recipe without any of this package.
func reprove(t *testing.T, c Case) *proof.Report {
	t.Helper()
	p, diags := piece.Read(c.Src, c.Name, c.Set)
	if p == nil {
		t.Fatal(diags)
	}
	m, err := build.Make(t.Context(), p, build.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := proof.Prove(t.Context(), m, proof.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// has says whether the report has a fail or caution of the key.
func has(r *proof.Report, key string) bool {
	g, ok := worst(r.Remarks)[key]
	return ok && g <= proof.Caution
}

// with puts the new literal in the place of the old one, byte by byte.
func (c Cure) with(src []byte) []byte {
	out := append([]byte{}, src[:c.Span.Byte]...)
	out = append(out, c.New...)
	return append(out, src[c.Span.EndByte:]...)
}

// The commonest fails and cautions are cured by the number that governs them,
// and the recipe so cured, proved again from its bytes, has neither the remark
// nor a new one.
func TestCures(t *testing.T) {
	for name, want := range map[string]string{
		"wall":            "bezel.rim wall",
		"thin-plate":      "plate.tag thickness",
		"gap":             "stones.buds size",
		"spacing-caution": "stones.ring gap",
		"cover":           "prongs.claws cover",
		"culet":           "stones.bud lift",
		"weight":          "plate.seed thickness",
		"hang":            "bail.loop at",
		"balance":         "post.ear at",
		"prong":           "prongs.claws wire",
		"tip":             "prongs.claws over",
		"joint":           "bail.loop sink",
		"link-bore":       "link.second bore",
		"ray-claw":        "plate.disc rays.from",
		"slip":            "plate.tag thickness",
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			c := faulty(t, name)
			before := reprove(t, c)
			cures, err := Cures(t.Context(), c, before.Remarks, Options{})
			if err != nil {
				t.Fatal(err)
			}
			cure := cures[0]
			if got := cure.Address + " " + cure.Word; got != want || !cure.Passes {
				t.Fatalf("cured by %q, want %q: %s", got, want, cure.Text)
			}
			if old := string(c.Src[cure.Span.Byte:cure.Span.EndByte]); old != cure.Old {
				t.Fatalf("the number at %s is %s, not %s", cure.Span, old, cure.Old)
			}
			after := reprove(t, Case{Src: cure.with(c.Src), Name: c.Name})
			was := worst(before.Remarks)
			for _, r := range after.Remarks {
				if r.Grade > proof.Caution {
					continue
				}
				if r.Key() == cure.For {
					t.Errorf("%s still has %s: %s", cure.Text, r.Key(), r.Says)
				}
				if old, ok := was[r.Key()]; !ok || r.Grade < old {
					t.Errorf("%s brings %s: %s", cure.Text, r.Key(), r.Says)
				}
			}
		})
	}
}

// A slip is cured by the number that was meant, not by the nearest that passes.
func TestMeant(t *testing.T) {
	c := faulty(t, "slip")
	cures, err := Cures(t.Context(), c, nil, Options{Tol: 0.02})
	if err != nil || len(cures) != 1 || cures[0].New != "1.2" || !cures[0].Passes {
		t.Fatal(cures, err)
	}
}

// What a block takes by itself is a lever that is added, behind those that are
// written unless the remark names it; the recipe with the line more is cured.
func TestAdded(t *testing.T) {
	src := `piece "lean stud" {}
plate "dot" {
  form      = "circle"
  across    = 6
  thickness = 1.4
}
post "ear" {
  on     = plate.dot
  length = 10
}
`
	c := Case{Src: []byte(src), Name: "lean.hcl"}
	m, err := Mend(t.Context(), c, Options{Tol: 0.02, Proof: proof.Options{House: "strict"}})
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Replace(src, "length = 10\n", "length = 10\n  wire   = 0.85\n", 1)
	if string(m.Src) != want || len(m.Cures) == 0 || m.Cures[0].Old != "" || !strings.HasPrefix(m.Cures[0].Text, `add wire = 0.85 to post "ear": passes`) {
		t.Fatalf("%v\n%s", m.Cures, m.Src)
	}
	if d := Diff("lean.hcl", c.Src, m.Src); d != "--- lean.hcl\n+++ lean.hcl\n@@ -9,0 +10 @@\n+  wire   = 0.85\n" {
		t.Error(d)
	}
}

// A difference of lines, put back, is the one text or the other.
func TestDiff(t *testing.T) {
	for _, c := range [][3]string{
		{"a\nb\nc\n", "a\nB\nc\n", "@@ -2 +2 @@\n-b\n+B\n"},
		{"a\nb\nc\n", "a\nb\nx\nc\n", "@@ -2,0 +3 @@\n+x\n"},
		{"a\nb\n", "a\nb\nx\ny\n", "@@ -2,0 +3 @@\n+x\n@@ -2,0 +4 @@\n+y\n"},
		{"a\nb\nc\nd\n", "A\nb\nx\nc\nD\n", "@@ -1 +1 @@\n-a\n+A\n@@ -2,0 +3 @@\n+x\n@@ -4 +5 @@\n-d\n+D\n"},
		{"a\n", "a\n", ""},
		{"a\nb", "a\nB", "@@ -2 +2 @@\n-b\n\\ No newline at end of file\n+B\n\\ No newline at end of file\n"},
	} {
		want := c[2]
		if want != "" {
			want = "--- f\n+++ f\n" + want
		}
		if got := Diff("f", []byte(c[0]), []byte(c[1])); got != want {
			t.Errorf("%q -> %q:\n%s", c[0], c[1], got)
		}
	}
}

// Each number of a list is a lever, and its cure shows the whole list.
func TestList(t *testing.T) {
	c := faulty(t, "ray")
	p, diags := piece.Read(c.Src, c.Name, nil)
	if p == nil {
		t.Fatal(diags)
	}
	all := levers(p.Recipe, c.Src, "plate.disc", "rays.width")
	if len(all) != 2 || all[1].name() != "rays.width 2 of plate.disc" || all[1].shown("0.45") != "rays.width [0.2, 0.45]" {
		t.Fatalf("%+v", all)
	}
	s := search{c: c}
	src, _, err := s.turned(all[1], "0.45")
	if want := bytes.Replace(c.Src, []byte("[0.2, 0.3]"), []byte("[0.2, 0.45]"), 1); err != nil || !bytes.Equal(src, want) {
		t.Errorf("%v\n%s", err, src)
	}
}

// A way in is barred by a neighbour's bezel: the stone has to lie higher.
func TestWayIn(t *testing.T) {
	c := faulty(t, "wound")
	// Farther apart, so that what is left of the bezels will do, and no brim of one
	// hangs over the seat in the other.
	c.Src = bytes.Replace(c.Src, []byte("xy     = [2.05, 0]"), []byte("xy     = [2.3, 0]"), 1)
	before := reprove(t, c)
	for _, r := range before.Remarks {
		if r.Key() != "stones.left/way in" {
			continue
		}
		cures, err := Cures(t.Context(), c, []proof.Remark{r}, Options{})
		if err != nil || len(cures) != 1 || !cures[0].Passes {
			t.Fatal(cures, err)
		}
		if has(reprove(t, Case{Src: cures[0].with(c.Src), Name: c.Name}), r.Key()) {
			t.Error("the cure does not pass: ", cures[0].Text)
		}
		return
	}
	t.Fatal("the recipe has no stone without a way in")
}

// What no number cures is said to have no cure.
func TestHopeless(t *testing.T) {
	for name, says := range map[string]string{
		"facing": "no number",              // a link is missing
		"hold":   "no single number tried", // prongs on one side only
	} {
		cures, err := Cures(t.Context(), faulty(t, name), nil, Options{Tol: 0.02})
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, c := range cures { // of what comes along, too
			found = found || strings.HasSuffix(c.For, "/"+name) && strings.Contains(c.Text, says)
			if c.Found() {
				t.Errorf("%s has a cure: %+v", name, c)
			}
		}
		if !found {
			t.Errorf("%s: %+v", name, cures)
		}
	}
}

// A number that is read from a dial is cured by turning the dial, be it as
// written or as set.
func TestDial(t *testing.T) {
	c := faulty(t, "wall")
	c.Src = bytes.Replace(c.Src, []byte("wall  = 0.3 "), []byte("wall  = dial.thin / 2 "), 1)
	c.Src = append(c.Src, "\ndial \"thin\" {\n  value = 0.6\n  range = [0.2, 1.5]\n  step  = 0.1 # a tenth\n}\n"...)
	for _, set := range []map[string]string{nil, {"thin": "0.5"}} {
		c.Set = set
		cures, err := Cures(t.Context(), c, nil, Options{})
		if err != nil || len(cures) != 1 || cures[0].Dial != "thin" || !cures[0].Passes {
			t.Fatal(cures, err)
		}
		if has(reprove(t, Case{Src: c.Src, Name: c.Name, Set: map[string]string{"thin": cures[0].New}}), cures[0].For) {
			t.Error("the cure does not pass: ", cures[0].Text)
		}
	}
	// out of the dial's range there is no cure
	c.Set = nil
	c.Src = bytes.Replace(c.Src, []byte("1.5]"), []byte("0.6]"), 1)
	cures, err := Cures(t.Context(), c, nil, Options{})
	if err != nil || len(cures) != 1 || cures[0].Found() {
		t.Error(cures, err)
	}
}

// Mend writes all cures into one recipe, whose proof is the one it hands over;
// comments and all other bytes stay.
func TestMend(t *testing.T) {
	c := faulty(t, "joint")
	m, err := Mend(t.Context(), c, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Cures) != 1 || !bytes.Equal(m.Src, m.Cures[0].with(c.Src)) {
		t.Fatalf("%+v", m.Cures)
	}
	if m.Before.Count(proof.Fail) == 0 {
		t.Error("no fail before")
	}
	again := reprove(t, Case{Src: m.Src, Name: c.Name})
	if again.Count(proof.Fail) != 0 || len(again.Remarks) != len(m.After.Remarks) {
		t.Errorf("after: %+v", again.Remarks)
	}
}

// When the context ends, so does the search.
func TestCancelled(t *testing.T) {
	c := faulty(t, "gap")
	ctx, cancel := context.WithCancel(t.Context())
	trials := 0
	_, err := Cures(ctx, c, nil, Options{Progress: func(done, total int) {
		if trials++; trials == 4 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || trials > 4 {
		t.Errorf("%v after %d trials", err, trials)
	}
}

// narrow is a plate whose edge has to be moved past what is worse: prongs that stand on
// it but are not joined to it.
const narrow = `piece "seed" {}
stones "seed" {
  layout = "one"
  gem    = "sapphire"
  size   = 8
}
plate "seat" {
  form      = "circle"
  across    = 7
  thickness = 1
}
prongs "claws" {
  on    = plate.seat
  holds = stones.seed
  where = "around"
  wire  = 1
}
`

// The word that a remark names is tried beyond what its value would suggest: by as
// much as is missing, where it is not written and has no default, and past a step that
// brings something worse.
func TestOwnWord(t *testing.T) {
	for name, c := range map[string]struct{ src, house, key, want string }{
		"as far as is missing": {`piece "deep" {}
stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 9
}
plate "disc" {
  form      = "circle"
  across    = 16
  thickness = 1
}
bezel "rim" {
  on    = plate.disc
  holds = stones.bud
  wall  = 0.8
}
`, "", "stones.bud/culet", "lift"},
		"neither written nor a default": {`piece "tag" {}
plate "tag" {
  form      = "circle"
  across    = 18
  thickness = 2
}
link "ring" {
  hangs_from = plate.tag
  wire       = 0.9
  bore       = 5
}
`, "strict", "link.ring/wall", "margin"},
		"past what is worse": {narrow, "", "plate.seat/overhang", "across"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			k := Case{Src: []byte(c.src), Name: "own.hcl"}
			o := Options{Tol: 0.02, Proof: proof.Options{House: c.house}}
			cures, err := Cures(t.Context(), k, nil, o)
			if err != nil {
				t.Fatal(err)
			}
			for _, cure := range cures {
				if cure.For == c.key {
					if cure.Word != c.want || !cure.Passes {
						t.Errorf("%s: %s", cure.Word, cure.Text)
					}
					return
				}
			}
			t.Errorf("nothing is said of %s: %+v", c.key, cures)
		})
	}
}

// Where the first word that cures is dear in metal, because much else follows from it,
// the next ones are tried, too, and the cheapest is the cure.
func TestCheapest(t *testing.T) {
	t.Parallel()
	c := Case{Name: "ring.hcl", Src: []byte(`piece "ring of buds" {}
stones "buds" {
  layout = "ring"
  gem    = "citrine"
  size   = 3
  count  = 5
  lift   = 2.2
  gap    = 1.5
}
plate "disc" {
  form      = "circle"
  across    = 2 * stones.buds.radius + 6
  thickness = 1.4
}
bezel "rims" {
  on    = plate.disc
  holds = stones.buds
  wall  = 0.6
}
`)}
	var gap []proof.Remark
	for _, r := range reprove(t, c).Remarks {
		if r.Key() == "bezel.rims/gap" {
			r.Other = "" // or the bezel's own words would come first
			gap = append(gap, r)
		}
	}
	cures, err := Cures(t.Context(), c, gap, Options{Tol: 0.04})
	if err != nil || len(cures) != 1 {
		t.Fatal(cures, err)
	}
	if k := cures[0]; k.Address != "bezel.rims" || k.Word != "wall" || k.Grams > 0 {
		t.Errorf("%s", k.Text)
	}
}

// That other stones are bought is not cheaper than metal, though their size be that of a
// dial.
func TestBought(t *testing.T) {
	t.Parallel()
	for _, size := range []string{"dial.stone", "dial.wide - 12"} {
		c := Case{Name: "ring.hcl", Src: []byte(`piece "ring of buds" {}
dial "stone" { value = 3 }
dial "wide" { value = 15 }
stones "buds" {
  layout = "ring"
  gem    = "citrine"
  size   = ` + size + `
  radius = 3.55
  count  = 5
  lift   = 1.7
}
plate "disc" {
  form      = "circle"
  across    = 2 * stones.buds.radius + 6
  thickness = 1.4
}
bezel "rims" {
  on    = plate.disc
  holds = stones.buds
  wall  = 0.4
}
opening "light" {
  form  = "under"
  in    = plate.disc
  under = stones.buds
}
`)}
		cures, err := Cures(t.Context(), c, nil, Options{Tol: 0.04})
		if err != nil || len(cures) != 1 {
			t.Fatal(cures, err)
		}
		if k := cures[0]; k.Address != "stones.buds" || k.Word != "radius" || !k.Passes {
			t.Errorf("size = %s: %s", size, k.Text)
		}
	}
}
