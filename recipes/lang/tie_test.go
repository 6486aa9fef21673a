package lang_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/recipes/lang"
)

// ring reads a garden with one ring of these words.
func ring(words string) (*Ring, *lang.File, lang.Diags) {
	f, ds := lang.Read([]byte("garden \"x\" { }\nring \"r\" {\n"+words+"\n}\n"), "r.hcl", garden, lang.Options{})
	if f == nil {
		return nil, nil, ds
	}
	r, _ := lang.Find[*Ring](f, "ring.r")
	return r, f, ds
}

// Circles of n equal plants with their middles on a circle: neighbours are
// 2 r sin(180 / n) apart (the side of a regular polygon).
func TestTieSolvesEachWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 60).Draw(t, "count")
		size := float64(rapid.IntRange(500, 5000).Draw(t, "size")) / 1000
		gap := float64(rapid.IntRange(0, 3000).Draw(t, "gap")) / 1000
		radius := (size + gap) / (2 * math.Sin(math.Pi/float64(n)))
		words := map[string]string{
			"size": fmt.Sprint(size), "gap": fmt.Sprint(gap), "radius": fmt.Sprint(radius), "count": fmt.Sprint(n),
		}
		leave := rapid.SampledFrom([]string{"size", "gap", "radius"}).Draw(t, "leave out")
		var b strings.Builder
		for _, w := range []string{"size", "gap", "radius", "count"} {
			if w != leave {
				fmt.Fprintf(&b, "%s = %s\n", w, words[w])
			}
		}
		r, _, ds := ring(b.String())
		if r == nil {
			t.Fatal(ds)
		}
		for _, c := range []struct{ got, want float64 }{{r.Size, size}, {r.Gap, gap}, {r.Radius, radius}, {float64(r.Count), float64(n)}} {
			if math.Abs(c.got-c.want) > 1e-9*radius {
				t.Fatalf("without %s: %v, want %v", leave, c.got, c.want)
			}
		}
	})
}

func TestTieSaysHow(t *testing.T) {
	_, f, ds := ring("size = 2.5\ngap = 0.20\ncount = 10")
	if f == nil {
		t.Fatal(ds)
	}
	for _, x := range f.Facts("ring.r") {
		if x.Word != "radius" {
			continue
		}
		if x.Origin != lang.Tied || x.Numbers != "(2.5 + 0.20) / (2 sin 18)" || x.Value.String() != "4.3687" {
			t.Errorf("radius %s from %q", x.Value, x.From())
		}
		return
	}
	t.Error("no radius")
}

func TestTieAssumes(t *testing.T) {
	r, _, ds := ring("size = 2.5\ncount = 10")
	if r == nil || r.Gap != 0.5 {
		t.Errorf("%+v %v: want the gap assumed", r, ds)
	}
	r, _, ds = ring("size = 2.5\ncount = 10\nradius = 5")
	if r == nil || math.Abs(r.Gap-(10*math.Sin(math.Pi/10)-2.5)) > 1e-12 {
		t.Errorf("%+v %v: want the gap solved, not assumed", r, ds)
	}
}

func TestTieFaults(t *testing.T) {
	for _, c := range []struct {
		name, words string
		want        []want
	}{
		{"too little", "size = 2", []want{{"2:1", "give one more of radius, count\ncount = 180 / asin((size + gap) / (2 * radius)) ties them"}}},
		{"far too little", "", []want{{"2:1", "give two more of radius, size, count"}}},
		{"too much", "size = 2\ngap = 1\ncount = 8\nradius = 5", []want{{"6:10", "drop one of radius (line 6), gap (line 4), size (line 3), count (line 5); radius = (size + gap) / (2 sin(180 / count)) ties them"}}},
		{"no whole count", "size = 2\ngap = 1\nradius = 5", []want{{"2:1", "let gap be a range, gap = [least, most]"}}},
		{"no such count", "size = 20\ngap = 1\nradius = 5", []want{{"2:1", "between -1 and 1"}}},
		{"out of range", "size = 10\nradius = 0.2\ncount = 60", []want{{"2:1", "gap is -9.9791 mm"}}},
		{"no count fits", "size = 2\nradius = 5\ngap = [0.5, 0.51]\ncount = \"auto\"", []want{{"5:7", "the nearest is count = 12 with gap = 0.5882 mm"}}},
		{"range solved outside", "size = 2\nradius = 5\ngap = [0.1, 0.2]\ncount = 8", []want{{"5:7", "gap comes to 1.8268 mm, outside of its range"}}},
		{"range backwards", "size = 2\nradius = 5\ngap = [0.2, 0.1]", []want{{"5:7", "write the least first"}}},
		{"range of words", "size = 2\nradius = 5\ngap = [0.2, \"x\"]", []want{{"5:7", "not a number"}}},
		{"auto without room", "size = 2\nradius = 5\ngap = 1\ncount = \"auto\"", []want{{"6:9", "let gap be a range"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, f, ds := ring(c.words)
			if f != nil {
				t.Fatal("read without a fault")
			}
			expect(t, ds, c.want)
		})
	}
}

// A range for the gap leaves the count to the tie: whatever is chosen has to
// keep the range, and no other count may come nearer to its middle.
func TestTieChoosesACount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(0.5, 3).Draw(t, "size")
		radius := rapid.Float64Range(3, 20).Draw(t, "radius")
		lo := rapid.Float64Range(0.05, 0.5).Draw(t, "least")
		hi := lo + rapid.Float64Range(0, 0.5).Draw(t, "more")
		gap := func(n int) float64 { return 2*radius*math.Sin(math.Pi/float64(n)) - size }
		fits := false
		for n := 3; n <= 400; n++ {
			fits = fits || gap(n) > lo+1e-9 && gap(n) < hi-1e-9
		}
		auto := rapid.SampledFrom([]string{"", "count = \"auto\"\n"}).Draw(t, "auto")
		r, _, _ := ring(fmt.Sprintf("size = %v\nradius = %v\n%sgap = [%v, %v]", size, radius, auto, lo, hi))
		if r == nil {
			if fits {
				t.Fatal("no count chosen")
			}
			return
		}
		if r.Gap < lo || r.Gap > hi || math.Abs(r.Gap-gap(r.Count)) > 1e-9 {
			t.Fatalf("count %d, gap %v, want it in %v to %v and %v", r.Count, r.Gap, lo, hi, gap(r.Count))
		}
		for n := 3; n <= 400; n++ {
			if math.Abs(gap(n)-(lo+hi)/2) < math.Abs(r.Gap-(lo+hi)/2)-1e-9 {
				t.Fatalf("count %d, but %d is nearer to the middle", r.Count, n)
			}
		}
	})
}

func TestTieByFunction(t *testing.T) {
	read := func(words string) (*Hedge, lang.Diags) {
		f, ds := lang.Read([]byte("garden \"x\" { }\nbed \"b\" {\n form = \"circle\"\n across = 9\n}\nhedge \"h\" {\n round = bed.b\n"+words+"\n}\n"), "r.hcl", garden, lang.Options{})
		if f == nil {
			return nil, ds
		}
		h, _ := lang.Find[*Hedge](f, "hedge.h")
		return h, ds
	}
	if h, ds := read("long = 16"); h == nil || h.Wide != 4 {
		t.Errorf("%+v %v", h, ds)
	}
	if h, ds := read("wide = 5"); h == nil || h.Long != 25 {
		t.Errorf("%+v %v", h, ds)
	}
	_, ds := read("long = 4500")
	expect(t, ds, []want{{"6:1", "no hedge is as long as that"}})
}

// readOdd reads one block of an odd kind and returns it with its facts.
func readOdd(t *testing.T, words string, say func(*odd, *lang.Desc), derive func(*odd, *lang.Scope)) (*odd, map[string]lang.Fact) {
	t.Helper()
	k := lang.Kinds{Blocks: []lang.Kind{{Name: "odd", New: func() lang.Block { return &odd{say: say, derive: derive} }}}}
	if err := k.Check(); err != nil {
		t.Fatal(err)
	}
	f, ds := lang.Read([]byte("odd \"x\" {\n"+words+"\n}\n"), "r.hcl", k, lang.Options{})
	if f == nil {
		t.Fatal(ds)
	}
	facts := map[string]lang.Fact{}
	for _, x := range f.Facts("odd.x") {
		facts[x.Word] = x
	}
	return lang.All[*odd](f)[0], facts
}

// Ties that share a word pass on what they know: c gives b, b gives a.
func TestTiesInARow(t *testing.T) {
	say := func(o *odd, d *lang.Desc) {
		d.About("x", "")
		d.Length(&o.a, "a", "help")
		d.Length(&o.b, "b", "help")
		d.Length(&o.c, "c", "help").Default("7")
		d.Tie(lang.Solve{Word: "a", Formula: "2 * b"}, lang.Solve{Word: "b", Formula: "a / 2"})
		d.Tie(lang.Solve{Word: "b", Formula: "3 * c"}, lang.Solve{Word: "c", Formula: "b / 3"})
	}
	for _, words := range []string{"a = 42", "b = 21", "c = 7", ""} {
		if o, _ := readOdd(t, words, say, nil); o.a != 42 || o.b != 21 || o.c != 7 {
			t.Errorf("%s: %v %v %v", words, o.a, o.b, o.c)
		}
	}
}

// What a block gives under the name of a word replaces it, unless it is the
// same: then the word says better where it comes from.
func TestGiveAWord(t *testing.T) {
	say := func(o *odd, d *lang.Desc) {
		d.About("x", "")
		d.Length(&o.a, "a", "help")
		d.Length(&o.b, "b", "help").Default("2 * a")
		d.Gives("a", "mm", "help")
		d.Gives("b", "mm", "help")
	}
	_, facts := readOdd(t, "a = 4", say, func(o *odd, s *lang.Scope) {
		if !s.Given("a") || s.Given("b") {
			t.Error("given or not is told wrongly")
		}
		s.Give("a", 5, "a + 1")
		s.Give("b", 8, "as it was")
	})
	if f := facts["a"]; f.Value.String() != "5" || f.Origin != lang.Derived || f.Numbers != "4 + 1" {
		t.Errorf("a is %v from %s", f.Value, f.From())
	}
	if f := facts["b"]; f.Value.String() != "8" || f.Origin != lang.Default {
		t.Errorf("b is %v from %s", f.Value, f.From())
	}
}

// A default may be the plain word that stands in place of a value.
func TestDefaultPlainWord(t *testing.T) {
	say := func(o *odd, d *lang.Desc) {
		d.About("x", "")
		d.Angle(&o.a, "a", "help").Default(`"level"`)
		d.Or("a", "level", &o.flag, "help")
	}
	if o, facts := readOdd(t, "", say, nil); !o.flag || facts["a"].Value.String() != `"level"` {
		t.Errorf("%+v %v", o, facts)
	}
	if o, _ := readOdd(t, "a = 3", say, nil); o.flag || o.a != 3 {
		t.Errorf("%+v", o)
	}
}
