package lang

import (
	"slices"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// lines finds the lines of a recipe.
type lines struct {
	src   []byte
	start []int // of each line, in bytes
}

func newLines(src []byte) *lines {
	l := &lines{src: src, start: []int{0}}
	for i, c := range src {
		if c == '\n' {
			l.start = append(l.start, i+1)
		}
	}
	return l
}

// place returns the span of some bytes of the recipe.
func (l *lines) place(file string, from, to int) Span {
	s := Span{File: file, Byte: from, EndByte: to}
	s.Line, s.Column = l.position(from)
	s.EndLine, s.EndColumn = l.position(to)
	return s
}

// position returns the line and the column of a byte, columns in characters.
func (l *lines) position(at int) (line, column int) {
	line = sort.SearchInts(l.start, at+1)
	return line, 1 + utf8.RuneCount(l.src[l.start[line-1]:at])
}

// The most of a line that is quoted, and what of it comes before the span if
// the line is longer: a hostile file may be one line of a megabyte.
const (
	quoteMost   = 100
	quoteBefore = 40
)

// quote puts the line of its span into a diagnostic, as characters that are
// safe to print, and where in it the span lies.
func (l *lines) quote(d *Diag) {
	s := d.Span
	if s.Line < 1 || s.Line > len(l.start) {
		return
	}
	from := l.start[s.Line-1]
	to := len(l.src)
	if s.Line < len(l.start) {
		to = l.start[s.Line] - 1
	}
	if s.Byte < from || s.Byte > to {
		return
	}
	end := to
	if s.EndLine == s.Line {
		end = min(max(s.EndByte, s.Byte), to)
	}
	before, after := "", ""
	if s.Byte-from > quoteBefore && to-from > quoteMost {
		from, before = s.Byte-quoteBefore, "..."
	}
	if to-from > quoteMost {
		to, after = from+quoteMost, "..."
		end = min(end, to)
	}
	head := printable(l.src[from:s.Byte])
	body := printable(l.src[s.Byte:end])
	tail := printable(l.src[end:to])
	d.Line = strings.TrimRight(before+head+body+tail+after, " ")
	d.Mark = utf8.RuneCountInString(before + head)
	d.Marks = max(1, utf8.RuneCountInString(strings.TrimRight(body, " ")))
}

// printable makes text safe for a terminal: tabs become a blank, what does not
// print a replacement character, carriage returns vanish.
func printable(b []byte) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t':
			return ' '
		case r == '\r':
			return -1
		case !unicode.IsPrint(r):
			return utf8.RuneError
		}
		return r
	}, string(b))
}

// clip shortens a name from a recipe for a message.
func clip(s string) string {
	const most = 48
	s = printable([]byte(s))
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-3]) + "..."
}

// isName says whether s is a name: [a-z][a-z0-9_]*, at most 64 characters.
func isName(s string) bool {
	if s == "" || len(s) > 64 || s[0] < 'a' || s[0] > 'z' {
		return false
	}
	for i := range len(s) {
		c := s[i]
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_' {
			return false
		}
	}
	return true
}

// article puts "a" or "an" before the name of a kind: "a plate", "an opening",
// "a stones block".
func article(word string) string {
	if strings.HasSuffix(word, "s") {
		word += " block"
	}
	if word != "" && strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// either lists words in quotes: "a", "b" or "c".
func either(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = `"` + w + `"`
	}
	return orList(quoted)
}

// orList joins with commas and a last "or"; long lists are cut.
func orList(words []string) string { return listed(words, "or") }

// andList joins with commas and a last "and"; long lists are cut.
func andList(words []string) string { return listed(words, "and") }

func listed(words []string, last string) string {
	const most = 40
	if len(words) > most {
		words = append(slices.Clone(words[:most]), "...")
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}
