package papers

import "slices"

// sheet is one sheet: what it says, and nothing of paper.
type sheet struct {
	name   string // as --only takes it
	title  string
	blocks []block
	close  []block // the same in less room, for where that saves a page; nil: none
}

// sheets are all sheets in their order. To add one, write a function and add
// its line.
var sheets = []struct {
	name  string
	build func(*Papers, *Art) sheet
}{
	{"job", (*Papers).jobSheet},
	{"setting", (*Papers).settingSheet},
	{"stones", (*Papers).stonesSheet},
	{"caster", (*Papers).casterSheet},
	{"findings", (*Papers).findingsSheet},
	{"cautions", (*Papers).cautionsSheet},
	{"customer", (*Papers).customerSheet},
	{costName, (*Papers).costSheet},
}

// costName is the sheet that is left out where the recipe has no prices, unless it
// is asked for.
const costName = "cost"

// SheetNames lists the sheets.
func SheetNames() []string {
	var all []string
	for _, s := range sheets {
		all = append(all, s.name)
	}
	return all
}

// block is a piece of a sheet.
type block interface{ isBlock() }

// heading stands over what follows.
type heading struct{ text string }

// para is running text: quiet for explanations, strong for what must be seen.
type para struct {
	text          string
	quiet, strong bool
}

// facts are words with what they stand for; mono for digests.
type facts struct {
	rows [][2]string
	mono bool
}

func (f *facts) add(word, says string) { f.rows = append(f.rows, [2]string{word, says}) }

// align is how the cells of a column stand.
type align uint8

const (
	left align = iota
	right
	note // to the left, in quiet letters
	tick // a box to tick in every row
)

// words says whether a column may be broken into lines.
func (a align) words() bool { return a == left || a == note }

type column struct {
	title string
	align align
}

// table has a line for each row and perhaps one for sums.
type table struct {
	cols []column
	rows [][]string
	foot []string
}

func (t *table) row(cells ...string) { t.rows = append(t.rows, cells) }

// filled leaves out the columns in which no row says anything.
func (t table) filled() table {
	out := table{rows: make([][]string, len(t.rows))}
	for i, c := range t.cols {
		empty := c.align != tick
		for _, r := range t.rows {
			empty = empty && r[i] == ""
		}
		if empty {
			continue
		}
		out.cols = append(out.cols, c)
		for j, r := range t.rows {
			out.rows[j] = append(out.rows[j], r[i])
		}
	}
	return out
}

// side sets the rows of the table, as many as even, in n tables side by side.
func (t table) side(n int) block {
	if n == 1 {
		return t
	}
	out := columns{}
	for rows := range slices.Chunk(t.rows, (len(t.rows)+n-1)/n) {
		half := t
		half.rows = rows
		out.parts = append(out.parts, part{1, []block{half}})
	}
	return out
}

// items are remarks, each with a word before it and perhaps quiet notes after.
type items struct{ list []item }

type item struct {
	tag, text string
	notes     []string
}

// add takes a remark, and those notes that say something.
func (i *items) add(tag, text string, notes ...string) {
	notes = slices.DeleteFunc(notes, func(n string) bool { return n == "" })
	i.list = append(i.list, item{tag, text, notes})
}

// figures stand side by side.
type figures struct{ list []figure }

// figure is a picture or drawing with a caption.
type figure struct {
	art     art
	caption string
	alt     string // what it shows, where the caption does not say it
}

// columns stand side by side, each with its share of the width.
type columns struct{ parts []part }

type part struct {
	share  float64
	blocks []block
}

func (heading) isBlock() {}
func (para) isBlock()    {}
func (facts) isBlock()   {}
func (table) isBlock()   {}
func (items) isBlock()   {}
func (figures) isBlock() {}
func (columns) isBlock() {}
