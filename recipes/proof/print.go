package proof

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"waxwright/recipes/build"
)

// width is the column at which printed remarks wrap.
const width = 92

// headings stand over the remarks of a grade and say what it asks for.
var headings = [...]string{
	Fail:      "FAIL: do not send it like this",
	Caution:   "CAUTION: yours to decide",
	Note:      "NOTE: good to know",
	Unchecked: "NOT CHECKED",
}

// Print writes the report for people: a count, then the remarks by grade, each with
// its number.
func (r *Report) Print(w io.Writer) error {
	var s strings.Builder
	fmt.Fprintf(&s, "By the limits of the house %q: %s.\n", r.House, r.counts())
	last := Grade(none)
	for _, m := range r.Remarks {
		if m.Grade != last {
			fmt.Fprintf(&s, "\n%s\n", headings[m.Grade])
			last = m.Grade
		}
		m.print(&s)
	}
	if len(r.Accepted) > 0 {
		s.WriteString("\nACCEPTED\n")
		for _, a := range r.Accepted {
			fmt.Fprintf(&s, "  %s, line %d\n", a.Key(), a.Line)
			wrap(&s, fmt.Sprintf("A %s: %s. Why: %s", a.Grade, a.Says, stop(a.Reason)), "    ")
		}
	}
	printWarnings(&s, r.Warnings)
	_, err := io.WriteString(w, s.String())
	return err
}

// print writes one remark: its number, who and where, what, and by which limit.
func (m Remark) print(s *strings.Builder) {
	head := m.Part
	if m.Count > 1 {
		head += fmt.Sprintf(", and %d more like it", m.Count-1)
	}
	if m.Casting != "" && m.Part != "" {
		head += fmt.Sprintf(", at %s of %s", build.Place(m.At), m.Casting)
	}
	if m.Span.Line > 0 {
		head += fmt.Sprintf(", line %d", m.Span.Line)
		if m.Word != "" {
			head += " (" + m.Word + ")"
		}
	}
	switch {
	case m.Number > 0:
		fmt.Fprintf(s, "%2d  %s\n", m.Number, cmp.Or(head, m.Check))
	case head != "":
		fmt.Fprintf(s, "  %s\n", head)
	}
	text := m.Says + "."
	if m.Why != "" {
		text += " " + Sentence(m.Why)
	}
	wrap(s, text, "    ")
	if m.Source != "" && m.Grade < Note {
		wrap(s, "Limit: "+m.Source+".", "    ")
	}
	if m.Cure != "" {
		wrap(s, "Cure: "+stop(m.Cure), "    ")
	}
}

// counts says how many remarks there are of each grade.
func (r *Report) counts() string {
	var parts []string
	for g := Fail; g <= Unchecked; g++ {
		n := r.Count(g)
		word := g.String()
		if n != 1 && g != Unchecked {
			word += "s"
		}
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, word))
		}
	}
	if len(parts) == 0 {
		parts = []string{"no remarks"}
	}
	if n := len(r.Accepted); n > 0 {
		parts = append(parts, fmt.Sprintf("%d accepted", n))
	}
	return strings.Join(parts, ", ")
}

// Counted counts things in words: "no fails", "1 fail", "3 fails".
func Counted(n int, word string) string {
	switch n {
	case 0:
		return "no " + word + "s"
	case 1:
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// Sentence makes one of a few words: a capital first, a full stop last if
// nothing else ends it.
func Sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return ""
	}
	return stop(strings.ToUpper(s[:1]) + s[1:])
}

// stop ends a text with a full stop, if nothing else ends it.
func stop(s string) string {
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

// wrap writes text in lines of at most width columns, each indented.
func wrap(s *strings.Builder, text, indent string) {
	line := indent
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > width && line != indent {
			s.WriteString(line + "\n")
			line = indent
		}
		if line != indent {
			line += " "
		}
		line += word
	}
	s.WriteString(line + "\n")
}
