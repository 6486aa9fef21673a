package vary

import (
	"bytes"
	"fmt"
	"strings"
)

// Diff writes what differs between a recipe and the same recipe with other
// literals as a unified diff without context: a hunk for each line.
func Diff(name string, before, after []byte) string {
	was, is := bytes.SplitAfter(before, []byte("\n")), bytes.SplitAfter(after, []byte("\n"))
	var s strings.Builder
	for i := range min(len(was), len(is)) { // a literal stays on its line
		if bytes.Equal(was[i], is[i]) {
			continue
		}
		if s.Len() == 0 {
			fmt.Fprintf(&s, "--- %s\n+++ %s\n", name, name)
		}
		fmt.Fprintf(&s, "@@ -%d +%d @@\n-%s+%s", i+1, i+1, ended(was[i]), ended(is[i]))
	}
	return s.String()
}

// ended is a line with an end, which the last of a file may lack.
func ended(line []byte) string {
	if bytes.HasSuffix(line, []byte("\n")) {
		return string(line)
	}
	return string(line) + "\n\\ No newline at end of file\n"
}
