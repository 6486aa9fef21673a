package vary

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// Diff writes what differs between a recipe and the same recipe with other
// literals, and with lines that were added, as a unified diff without context: a
// hunk for each line.
func Diff(name string, before, after []byte) string {
	was, is := lines(before), lines(after)
	var s strings.Builder
	hunk := func(head, body string) {
		if s.Len() == 0 {
			fmt.Fprintf(&s, "--- %s\n+++ %s\n", name, name)
		}
		fmt.Fprintf(&s, "@@ %s @@\n%s", head, body)
	}
	i, j := 0, 0
	for j < len(is) {
		if i < len(was) && bytes.Equal(was[i], is[j]) {
			i, j = i+1, j+1
			continue
		}
		// A line more, if the old one comes later, or there are none left.
		more := len(is) - j - (len(was) - i)
		if more > 0 && (i == len(was) || slices.ContainsFunc(is[j+1:j+1+more], func(l []byte) bool { return bytes.Equal(l, was[i]) })) {
			hunk(fmt.Sprintf("-%d,0 +%d", i, j+1), "+"+ended(is[j]))
			j++
			continue
		}
		hunk(fmt.Sprintf("-%d +%d", i+1, j+1), "-"+ended(was[i])+"+"+ended(is[j]))
		i, j = i+1, j+1
	}
	return s.String()
}

// lines splits a text after its line ends; what ends with one has no line more.
func lines(text []byte) [][]byte {
	all := bytes.SplitAfter(text, []byte("\n"))
	if n := len(all); len(all[n-1]) == 0 {
		return all[:n-1]
	}
	return all
}

// ended is a line with an end, which the last of a file may lack.
func ended(line []byte) string {
	if bytes.HasSuffix(line, []byte("\n")) {
		return string(line)
	}
	return string(line) + "\n\\ No newline at end of file\n"
}
