package papers

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/tdewolff/canvas"
	"pgregory.net/rapid"

	"waxwright/recipes/typeface"
)

// overlaps finds what stands on a page where it must not: text on text, on a
// line, on a figure, or beyond the margins.
func overlaps(pg *page) []string {
	type placed struct {
		m   mark
		box typeface.Box
	}
	var texts, others []placed
	var bad []string
	edge := typeface.Box{X0: marginX, Y0: 5, X1: pg.paper.Width - marginX, Y1: pg.paper.Height - 5}
	for _, m := range pg.marks {
		b := pg.covers(m)
		const tiny = 0.02 // widths of words do not quite add up to those of lines
		if b.X0 < edge.X0-tiny || b.X1 > edge.X1+tiny || b.Y0 < edge.Y0 || b.Y1 > edge.Y1 {
			bad = append(bad, fmt.Sprintf("%q stands beyond the margins: %v", m.text, b))
		}
		if m.kind == textMark {
			texts = append(texts, placed{m, b})
		} else {
			others = append(others, placed{m, b})
		}
	}
	for i, a := range texts {
		for _, b := range texts[i+1:] {
			if a.box.Meets(b.box) {
				bad = append(bad, fmt.Sprintf("%q and %q", a.m.text, b.m.text))
			}
		}
		for _, b := range others {
			if a.box.Meets(b.box) {
				bad = append(bad, fmt.Sprintf("%q and a mark of kind %d", a.m.text, b.m.kind))
			}
		}
	}
	for i, a := range others {
		for _, b := range others[i+1:] {
			if a.m.kind == artMark && b.m.kind == artMark && a.box.Meets(b.box) {
				bad = append(bad, "two figures")
			}
		}
	}
	return bad
}

// blank is a figure of nothing.
type blank struct{ w, h float64 }

func (b blank) size(width float64) (w, h float64) {
	w = min(width, b.w)
	return w, b.h * w / b.w
}
func (b blank) draw(*canvas.Context, typeface.Faces, float64, float64, float64) {}
func (b blank) html(typeface.Faces, string) (string, error)                     { return "", nil }

func TestSheetsDoNotOverlap(t *testing.T) {
	p := gathered(t)
	p.Piece.Title = strings.Repeat("a long name ", 8)
	p.Piece.Alloy = "gold-18-white-nickel" // the longest of their titles
	p.Castings = slices.Clone(p.Castings)
	p.Castings[0].File = "pair-of-long-earrings-shell-mirrored.stl"
	art := &Art{Quarter: blank{110, 88}, Front: blank{60, 50}, Side: blank{60, 50}, Back: blank{60, 50},
		Drawing: blank{174, 120}, Map: blank{174, 120}, Keep: blank{80, 80}}
	for _, paper := range []Paper{A4, Letter} {
		c := newCompositor()
		for _, s := range sheets {
			for i, pg := range c.pages(p, []sheet{s.build(p, art)}, paper) {
				for _, bad := range overlaps(&pg) {
					t.Errorf("%s, %s, page %d: %s", paper.Name, s.name, i+1, bad)
				}
			}
		}
	}
}

// A sheet of which a few lines spill over is drawn together to save the page,
// and only that one.
func TestTight(t *testing.T) {
	p := &Papers{Piece: Piece{Title: "any", Digest: strings.Repeat("0", 64)}}
	c := newCompositor()
	s := sheet{title: "Lines"}
	for len(c.broken(p, s, A4, 0)) < 2 {
		s.blocks = append(s.blocks, para{text: "a line"})
	}
	if n := len(c.sheet(p, s, A4)); n != 1 {
		t.Errorf("a line too many takes %d pages", n)
	}
	if n := len(c.broken(p, s, A4, 0)); n != 2 {
		t.Errorf("the next sheet is tight, too: %d pages", n)
	}
	s.blocks = append(s.blocks, s.blocks...)
	usual, got := c.broken(p, s, A4, 0), c.sheet(p, s, A4)
	if len(got) == len(usual) && !slices.EqualFunc(got, usual, func(a, b page) bool { return len(a.marks) == len(b.marks) }) {
		t.Error("a sheet was drawn together, and no page saved")
	}
}

// A list that goes on to another page leaves no scant last page: its last items
// are carried over.
func TestListCarriedOver(t *testing.T) {
	p := &Papers{Piece: Piece{Title: "any", Digest: strings.Repeat("0", 64)}}
	c := newCompositor()
	list := items{}
	for range 60 {
		list.add("tag", strings.Repeat("words of an item ", 20))
		all := c.sheet(p, sheet{title: "List", blocks: []block{heading{"Items"}, list}}, A4)
		if low := all[len(all)-1].low(); len(all) > 1 && low < scant*A4.Height {
			t.Errorf("%d items: page %d ends %.0f mm from its top", len(list.list), len(all), low)
		}
	}
}

// Whatever the sheets say, nothing overlaps and nothing is lost.
func TestAnySheet(t *testing.T) {
	p := &Papers{Piece: Piece{Title: "any", Digest: strings.Repeat("0", 64)}}
	c := newCompositor()
	word := rapid.StringMatching(`[a-zA-Z0-9.,-]{1,12}`)
	phrase := rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(word, 0, 12).Draw(t, "words"), " ")
	})
	long := rapid.OneOf(phrase, rapid.StringMatching(`[a-f0-9]{64}`))
	blockOf := rapid.Custom(func(t *rapid.T) block {
		switch rapid.IntRange(0, 6).Draw(t, "kind") {
		case 0:
			return heading{word.Draw(t, "heading")}
		case 1:
			return para{text: strings.Repeat(phrase.Draw(t, "text")+" ", 4), quiet: rapid.Bool().Draw(t, "quiet")}
		case 2:
			f := facts{mono: rapid.Bool().Draw(t, "mono")}
			for range rapid.IntRange(1, 15).Draw(t, "rows") {
				f.add(word.Draw(t, "word"), long.Draw(t, "says"))
			}
			return f
		case 3:
			i := items{}
			for range rapid.IntRange(1, 10).Draw(t, "items") {
				i.add(word.Draw(t, "tag"), long.Draw(t, "text"), phrase.Draw(t, "note"))
			}
			return i
		case 4:
			cols := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) column {
				return column{word.Draw(t, "title"), rapid.SampledFrom([]align{left, right, note, tick}).Draw(t, "align")}
			}), 1, 5).Draw(t, "cols")
			out := table{cols: cols}
			for range rapid.IntRange(0, 60).Draw(t, "rows") {
				row := make([]string, len(cols))
				for i := range row {
					row[i] = word.Draw(t, "cell")
					if cols[i].align.words() {
						row[i] = phrase.Draw(t, "cell")
					}
				}
				out.row(row...)
			}
			if rapid.Bool().Draw(t, "foot") {
				out.foot = make([]string, len(cols))
				out.foot[0] = "sum"
			}
			return out
		case 5:
			return figures{[]figure{{art: blank{60, 40}, caption: phrase.Draw(t, "caption")}, {art: blank{90, 70}}}}
		}
		f := facts{}
		f.add(word.Draw(t, "word"), phrase.Draw(t, "says"))
		return columns{[]part{{1, []block{f, heading{"h"}, para{text: phrase.Draw(t, "left")}}}, {1.5, []block{para{text: phrase.Draw(t, "right")}}}}}
	})
	rapid.Check(t, func(t *rapid.T) {
		s := sheet{name: "any", title: "Any sheet", blocks: rapid.SliceOfN(blockOf, 1, 8).Draw(t, "blocks")}
		want := 0
		for _, sl := range c.set(s.blocks, A4.Width-2*marginX) {
			want += len(sl.marks)
		}
		got := 0
		for _, pg := range c.pages(p, []sheet{s}, A4) {
			got += len(pg.marks)
			if bad := overlaps(&pg); bad != nil {
				t.Fatalf("%v", bad)
			}
		}
		if got < want {
			t.Fatalf("%d marks of %d are on the pages", got, want)
		}
	})
}

// The sizes of paper are those of their standards: ISO 216 gives the sides of An
// as whole mm of 1000 / 2^((2n+1)/4) and 1000 / 2^((2n-1)/4); ANSI/ASME Y14.1 size
// A is 8.5 by 11 inches.
func TestPaper(t *testing.T) {
	const n = 4
	w, h := math.Floor(1000/math.Pow(2, (2*n+1)/4.0)+0.2), math.Floor(1000/math.Pow(2, (2*n-1)/4.0)+0.2)
	if A4.Width != w || A4.Height != h {
		t.Errorf("A4 is %v x %v, want %v x %v", A4.Width, A4.Height, w, h)
	}
	for _, c := range []struct {
		paper Paper
		w, h  float64 // points
	}{{A4, w * 72 / 25.4, h * 72 / 25.4}, {Letter, 612, 792}} {
		data := string(files(t, Options{Paper: c.paper, Only: "job"})["seed-pod-papers-job.pdf"])
		_, box, ok := strings.Cut(data, "/MediaBox[")
		var x, y, gw, gh float64
		if _, err := fmt.Sscanf(box, "%f %f %f %f", &x, &y, &gw, &gh); !ok || err != nil {
			t.Fatalf("no page box: %v", err)
		}
		if x != 0 || y != 0 || math.Abs(gw-c.w) > 0.01 || math.Abs(gh-c.h) > 0.01 {
			t.Errorf("%s is %.2f x %.2f points, want %.2f x %.2f", c.paper.Name, gw, gh, c.w, c.h)
		}
	}
	if _, err := PaperNamed("a4"); err != nil {
		t.Error(err)
	}
}
