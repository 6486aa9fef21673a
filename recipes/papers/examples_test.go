package papers

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// example is the papers of a piece that comes with waxwright.
type example struct {
	papers *Papers
	art    map[string]*Art // by paper
}

var examples = sync.OnceValue(func() map[string]example {
	names, _ := filepath.Glob("../../examples/*/*.hcl")
	all := map[string]example{}
	for _, n := range names {
		src, err := os.ReadFile(n)
		if err != nil {
			panic(err)
		}
		from := source(failing{}, string(src))
		from.Name = filepath.Base(n)
		p, err := Gather(context.Background(), from, Options{})
		if err != nil {
			panic(err)
		}
		e := example{p, map[string]*Art{}}
		a, err := Draw(context.Background(), from, Options{Pixels: 320})
		if err != nil {
			panic(err)
		}
		b := *a // with the same pictures
		if err := b.drawings(context.Background(), from, Options{Paper: Letter}); err != nil {
			panic(err)
		}
		e.art[A4.Name], e.art[Letter.Name] = a, &b
		all[from.Name] = e
	}
	return all
})

// No sheet of an example goes on to a page for a few lines: what goes on fills a
// third of its last page or more.
func TestLastPages(t *testing.T) {
	for name, e := range examples() {
		for _, paper := range []Paper{A4, Letter} {
			c := newCompositor()
			for _, s := range sheets {
				all := c.pages(e.papers, []sheet{s.build(e.papers, e.art[paper.Name])}, paper)
				if low := all[len(all)-1].low(); len(all) > 1 && low < paper.Height/3 {
					t.Errorf("%s, %s, %s: page %d ends %.0f mm from its top", name, paper.Name, s.name, len(all), low)
				}
				for i, pg := range all {
					for _, bad := range overlaps(&pg) {
						t.Errorf("%s, %s, %s, page %d: %s", name, paper.Name, s.name, i+1, bad)
					}
				}
			}
		}
	}
}

// said is all that a sheet says, block by block.
func said(s sheet) string {
	var b strings.Builder
	say := func(all ...string) { b.WriteString(strings.Join(all, " ") + "\n") }
	blocks := s.blocks
	for len(blocks) > 0 {
		k := blocks[0]
		blocks = blocks[1:]
		switch k := k.(type) {
		case columns:
			for i := range k.parts {
				blocks = slices.Concat(k.parts[len(k.parts)-1-i].blocks, blocks)
			}
		case heading:
			say(k.text)
		case para:
			say(k.text)
		case facts:
			for _, r := range k.rows {
				say(r[:]...)
			}
		case items:
			for _, it := range k.list {
				say(it.tag, it.text, strings.Join(it.notes, " "))
			}
		case figures:
			for _, f := range k.list {
				say(f.caption)
			}
		case table:
			for _, col := range k.cols {
				say(col.title)
			}
			for _, r := range k.rows {
				say(r...)
			}
			say(k.foot...)
		}
	}
	return b.String()
}

// A stone order goes to a dealer: what to send, as many as are needed and to
// spare, and nothing of the proof or of where densities come from.
func TestStoneOrder(t *testing.T) {
	for name, e := range examples() {
		text := said(e.papers.stonesSheet(nil))
		for _, not := range []string{"proof", "gravity", "GIA", "gemsociety", "fail", "caution"} {
			if strings.Contains(strings.ToLower(text), strings.ToLower(not)) {
				t.Errorf("%s: the stone order says %q", name, not)
			}
		}
		needed, send := 0, 0
		for _, l := range e.papers.Lots {
			needed += l.Needed
			send += l.Needed + l.Spares
			if !strings.Contains(text, l.title()+" "+l.Cut+" "+l.Goods) {
				t.Errorf("%s: %s does not stand on the stone order", name, l.Group)
			}
		}
		if want := " " + strconv.Itoa(needed) + " " + strconv.Itoa(send-needed) + " " + strconv.Itoa(send) + " "; !strings.Contains(text, want) {
			t.Errorf("%s: %q is not the sum of the stone order:\n%s", name, want, text)
		}
	}
}

// What is alike is said once, of all by their names.
func TestAlike(t *testing.T) {
	text := said(examples()["leaf-drop.hcl"].papers.casterSheet(&Art{}))
	for _, want := range []string{
		"thickness of plate drop, leaf 1.20 ", "bore of link upper, middle, lower 3.20 ",
		"Inside of link upper, middle, lower: metal runs on metal there.",
		"Face of plate drop and its grooves: it shows.", "Face of plate leaf: it shows.",
	} {
		if n := strings.Count(text, want); n != 1 {
			t.Errorf("%q stands %d times in\n%s", want, n, text)
		}
	}
}

// Every figure of the law that concerns the metal stands with its caution, once.
func TestCautionFigures(t *testing.T) {
	for name, e := range examples() {
		text := said(e.papers.cautionsSheet(nil))
		for _, c := range e.papers.Cautions {
			for _, l := range c.Limits {
				want := l.Says + " " + strconv.FormatFloat(l.Value, 'f', -1, 64) + " " + l.Unit
				n := 0
				if concerns(l, e.papers.Piece.Alloy) {
					n = 1
				}
				if got := strings.Count(text, want); got != n {
					t.Errorf("%s: %q stands %d times, want %d", name, want, got, n)
				}
				for _, s := range strings.Split(l.Source, "; ") {
					if n > 0 && !strings.Contains(text, s) {
						t.Errorf("%s: the source %q is missing", name, s)
					}
				}
			}
		}
	}
}
