package lang_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"waxwright/recipes/lang"
)

const herbs = `garden "herb \"garden\"" {
  soil = "sand"
}

dial "leaves" {
  value = 10                  # how many
  range = [6, 16]
  step  = 1
  note  = "plants in the ring"
}

let "room" { value = 2 * dial.leaves + 0.5 }

ring "herbs" {
  in     = bed.sun
  size   = 2.5
  count  = dial.leaves
  gap    = 0.20
  plants = ["sage", "rue"]

  one "3" { size = 3 }
  one "5" { }
}

bed "sun" {
  form   = "oblong"
  across = let.room
  turn   = "sun"

  border {
    count = 4 * dial.leaves
    width = [0.25, 0.9]
  }
}

bed "again" {
  form = "copy"
  from = bed.sun
}

hedge "green" {
  round  = bed.again
  clears = ring.herbs
  long   = 400
}
`

func readHerbs(t *testing.T, o lang.Options) *lang.File {
	t.Helper()
	f, ds := lang.Read([]byte(herbs), "herbs.hcl", garden, o)
	if f == nil {
		t.Fatal(ds)
	}
	return f
}

func TestKindsAreSound(t *testing.T) {
	if err := garden.Check(); err != nil {
		t.Error(err)
	}
}

func TestReadFillsStructs(t *testing.T) {
	f := readHerbs(t, lang.Options{})
	g := lang.All[*Garden](f)[0]
	if g.Name != `herb "garden"` || g.Address != "garden" || g.Soil != "sand" {
		t.Errorf("garden %+v", g)
	}
	r, _ := lang.Find[*Ring](f, "ring.herbs")
	if r.Size != 2.5 || r.Count != 10 || r.Gap != 0.2 || r.In.Address != "bed.sun" || r.In.Span.Line != 15 || r.Span.Line != 14 {
		t.Errorf("ring %+v", r)
	}
	if !slices.Equal(r.Plants, []string{"sage", "rue"}) || len(r.Ones) != 2 || r.Ones[0].Name != "3" || r.Ones[0].Size != 3 || r.Ones[1].Size != 20 {
		t.Errorf("plants %v, ones %+v %+v", r.Plants, r.Ones[0], r.Ones[1])
	}
	b, _ := lang.Find[*Bed](f, "bed.sun")
	if b.Across != 20.5 || b.Height != 30.75 || !b.Sunny || b.Turn != 0 || b.Border.Count != 40 || b.Border.Kind != "clay" || b.Border.Width[1] != 0.9 {
		t.Errorf("bed %+v border %+v", b, b.Border)
	}
	h, _ := lang.Find[*Hedge](f, "hedge.green")
	if h.Wide != 20 || h.Height != 20.5/8 || len(h.Clears) != 1 {
		t.Errorf("hedge %+v", h)
	}
	if again, _ := lang.Find[*Bed](f, "bed.again"); again.Border != nil {
		t.Error("a sub-block that is not written")
	}
	if _, ok := lang.Find[*Bed](f, "ring.herbs"); ok {
		t.Error("a ring found as a bed")
	}
	if got := strings.Join(f.Names(), " "); got != "garden dial.leaves let.room ring.herbs bed.sun bed.again hedge.green" {
		t.Errorf("names %s", got)
	}
}

func TestFacts(t *testing.T) {
	f := readHerbs(t, lang.Options{})
	got := map[string]string{}
	for _, n := range f.Names() {
		for _, x := range f.Facts(n) {
			got[n+" "+x.Word] = x.Value.String() + " from " + x.From()
		}
	}
	for word, want := range map[string]string{
		"garden soil":           `"sand" from line 2`,
		"garden slope":          "0 from default",
		"dial.leaves value":     "10 from line 6",
		"let.room value":        "20.5 from 2 * dial.leaves + 0.5 = 2 * 10 + 0.5, line 12",
		"ring.herbs count":      "10 from dial.leaves, line 17",
		"ring.herbs radius":     "4.3687 from (size + gap) / (2 sin(180 / count)) = (2.5 + 0.20) / (2 sin 18)",
		"ring.herbs one 5.size": "20 from 2 * count = 2 * 10, default",
		"ring.herbs reach":      "5.6187 from radius + size / 2 = 4.3687 + 2.5 / 2",
		"bed.sun height":        "30.75 from 1.5 * across = 1.5 * 20.5, default",
		"bed.sun border.count":  "40 from 4 * dial.leaves = 4 * 10, line 31",
		"bed.sun turn":          `"sun" from line 28`,
		"bed.again reach":       "10.25 from reach of the other",
		"hedge.green height":    "2.5625 from round.reach / 4 = 10.25 / 4, default",
		"hedge.green wide":      "20 from half of the bench",
	} {
		if got[word] != want {
			t.Errorf("%s: %s, want %s", word, got[word], want)
		}
	}
	if f.Facts("bed.moon") != nil || f.Links("bed.moon") != nil {
		t.Error("facts about a block that there is not")
	}
}

func TestSet(t *testing.T) {
	plain := readHerbs(t, lang.Options{})
	f := readHerbs(t, lang.Options{Set: map[string]string{"leaves": "12"}})
	r, _ := lang.Find[*Ring](f, "ring.herbs")
	if r.Count != 12 || f.Facts("dial.leaves")[0].From() != "set, in place of line 6" {
		t.Errorf("count %d from %s", r.Count, f.Facts("dial.leaves")[0].From())
	}
	if other := readHerbs(t, lang.Options{Set: map[string]string{"leaves": "13"}}); f.Digest == plain.Digest || f.Digest == other.Digest {
		t.Error("the digest does not know what was set")
	}
	if same := readHerbs(t, lang.Options{Set: map[string]string{}}); same.Digest != plain.Digest {
		t.Error("the digest depends on an empty setting")
	}
	for _, c := range []struct {
		name, value string
		want        []want
	}{
		{"leaves", "99", []want{{"6:11", "it may be 6 to 16"}}},
		{"leaves", "nan", []want{{"6:11", `set to nan: not a number`}}},
		{"leaves", "12mm", []want{{"6:11", "lengths are plain mm: give 12"}}},
		{"leaves", "0.5in", []want{{"6:11", "lengths are plain mm: give 12.7"}}},
		{"leaves", "9 deg", []want{{"6:11", "angles are plain degrees: give 9"}}},
		{"leaves", "9,5", []want{{"6:11", "decimals have a point: 9.5"}}},
		{"leaves", "9 leaves", []want{{"6:11", `"leaves" behind a number`}}},
		{"leaves", "1e300", []want{{"6:11", "out of all measure"}}},
		{"leaves", "", []want{{"6:11", "nothing is no value"}}},
		{"leaves", "9.5", []want{{"17:12", "dial.leaves set to 9.5: count of ring.herbs is 9.5, and it is counted\nset it to another value"}}},
		{"leafs", "12", []want{{"", `did you mean "leaves"?`}}},
	} {
		_, ds := lang.Read([]byte(herbs), "herbs.hcl", garden, lang.Options{Set: map[string]string{c.name: c.value}})
		expect(t, ds, c.want)
	}
	word := "garden \"x\" { }\ndial \"size\" {\n value = \"J\"\n choices = [\"J\", \"K\"]\n}\nlet \"a\" { value = dial.size }\n"
	f, ds := lang.Read([]byte(word), "r.hcl", garden, lang.Options{Set: map[string]string{"size": "K"}})
	if f == nil {
		t.Fatal(ds)
	}
	if s, _ := lang.All[*lang.Let](f)[0].Value.Text(); s != "K" {
		t.Errorf("set to K, read %s", s)
	}
}

func TestDials(t *testing.T) {
	d := readHerbs(t, lang.Options{}).Dials()[0]
	if v, _ := d.Value.Number(); v != 10 || d.Range[0] != 6 || d.Range[1] != 16 || d.Step != 1 || d.Note != "plants in the ring" || d.Name != "leaves" {
		t.Errorf("dial %+v", d)
	}
	if herbs[d.At.Byte:d.At.EndByte] != "10" {
		t.Errorf("at %v", d.At)
	}
}

// A mark at the beginning and DOS line ends change nothing but the bytes.
func TestEncodings(t *testing.T) {
	dos := "\ufeff" + strings.ReplaceAll(herbs, "\n", "\r\n")
	f, ds := lang.Read([]byte(dos), "herbs.hcl", garden, lang.Options{})
	if f == nil {
		t.Fatal(ds)
	}
	d := f.Dials()[0]
	if dos[d.At.Byte:d.At.EndByte] != "10" || d.At.Line != 6 || d.At.Column != 11 {
		t.Errorf("at %v", d.At)
	}
	faulty := strings.Replace(dos, "soil = \"sand\"", "soil = \"snad\"", 1)
	_, ds = lang.Read([]byte(faulty), "herbs.hcl", garden, lang.Options{})
	if len(ds) != 1 || ds[0].Line != `  soil = "snad"` || ds[0].Mark != 9 || ds[0].Marks != 6 {
		t.Errorf("%+v", ds)
	}
}

func TestPrint(t *testing.T) {
	src := "garden \"x\" { }\nbed \"a\" {\n\tform = \"circle\" # größer\n\tacross = 5 + \"ü\x1b\" + 1\n}\n"
	src = strings.ReplaceAll(src, "\x1b", "")
	_, ds := lang.Read([]byte(src), "r.hcl", garden, lang.Options{})
	var out strings.Builder
	if err := ds.Print(&out, lang.Layout{}); err != nil {
		t.Fatal(err)
	}
	want := `r.hcl:4:11: fault: + does not work on 5 and "ü"
  across = 5 + "ü" + 1
           ^^^^^^^
`
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
	out.Reset()
	ds.Print(&out, lang.Layout{Color: true})
	if !strings.Contains(out.String(), "\x1b[31mfault\x1b[0m") {
		t.Errorf("no colour: %q", out.String())
	}
	var many lang.Diags
	for range 30 {
		many = append(many, lang.Diag{Summary: "x"})
	}
	out.Reset()
	many.Print(&out, lang.Layout{Most: 3})
	if !strings.HasSuffix(out.String(), "and 27 more\n") || strings.Count(out.String(), "\n") != 4 {
		t.Errorf("got %s", out.String())
	}
}

func TestJSON(t *testing.T) {
	_, ds := lang.Read([]byte("garden \"x\" { soil = \"snad\" }"), "r.hcl", garden, lang.Options{})
	var out bytes.Buffer
	if err := ds.WriteJSON(&out); err != nil {
		t.Fatal(err)
	}
	var got []struct {
		Severity, Summary, Detail, Source string
		Span                              struct {
			File                                            string
			Line, Column, EndLine, EndColumn, Byte, EndByte int
		}
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil || len(got) != 1 {
		t.Fatalf("%v %s", err, out.String())
	}
	g := got[0]
	if g.Severity != "fault" || g.Detail != `did you mean "sand"?` || g.Span.File != "r.hcl" || g.Span.Line != 1 || g.Span.Column != 21 || g.Span.EndByte != 26 || g.Source == "" {
		t.Errorf("%+v", g)
	}
	out.Reset()
	lang.Diags(nil).WriteJSON(&out)
	if out.String() != "[]\n" {
		t.Errorf("no diagnostics are %q", out.String())
	}
}

func TestRemark(t *testing.T) {
	f := readHerbs(t, lang.Options{})
	d := f.Remark(lang.Caution, "bed.sun", "across", "it is wide", "narrow it")
	if d.Span.Line != 27 || d.Line != "  across = let.room" || d.Mark != 11 || d.Summary != "bed.sun: it is wide" || (lang.Diags{d}).Faulty() {
		t.Errorf("%+v", d)
	}
	if d := f.Remark(lang.Fault, "bed.sun", "border.width", "x", ""); d.Span.Line != 32 {
		t.Errorf("a word of a sub-block: %+v", d)
	}
	if d := f.Remark(lang.Fault, "bed.again", "across", "x", ""); d.Span.Line != 36 {
		t.Errorf("a word that is not written: %+v", d)
	}
}

func TestReference(t *testing.T) {
	all, err := lang.Reference(garden, "")
	if err != nil {
		t.Fatal(err)
	}
	for i, line := range strings.Split(all, "\n") {
		if n := len([]rune(line)); n > 80 {
			t.Errorf("line %d has %d columns: %s", i+1, n, line)
		}
	}
	flat := strings.Join(strings.Fields(all), " ")
	for _, s := range []string{
		"garden \"the title, free text\" { }",
		"height From bottom to top. A number, 1 to 250 mm. Default: 1.5 * across. Only with form \"oblong\".",
		"turn Where the sun comes from. A number of degrees. Default: 0. Or \"sun\": where it stands at noon.",
		"width At the inner end, at the edge. A list of 2 numbers, [..., ...], 0 to 50 mm.",
		"gap Air between neighbours. A number, -5 to 50 mm. Or a range, [least, most]. If too little is given: 0.5.",
		"Tied: radius, gap, size, count.",
		"reach From the middle to the edge, in mm.",
		"hangs_from What carries it. The name of a basket or a bed. May be left out. About how the piece hangs",
		"dial \"name\"", "let \"name\"", "pot(number)", "sqrt(number)", "pi ",
	} {
		if !strings.Contains(flat, s) {
			t.Errorf("the reference lacks %q", s)
		}
	}
	one, err := lang.Reference(garden, "bed")
	if err != nil || !strings.HasPrefix(one, "bed ") || strings.Contains(one, "ring \"name\"") || !strings.Contains(all, one) {
		t.Errorf("%v\n%s", err, one)
	}
	if _, err := lang.Reference(garden, "bde"); err == nil || !strings.Contains(err.Error(), `did you mean "bed"?`) {
		t.Errorf("%v", err)
	}
}

func BenchmarkRead(b *testing.B) {
	src := []byte(herbs)
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		if f, ds := lang.Read(src, "herbs.hcl", garden, lang.Options{}); f == nil {
			b.Fatal(ds)
		}
	}
}
