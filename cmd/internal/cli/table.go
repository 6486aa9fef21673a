package cli

import (
	"strings"
	"unicode/utf8"
)

// table sets rows in columns, two blanks apart.
type table struct {
	right string // '1' for each column that is set flush right
	rows  [][]string
}

func (t *table) row(cells ...string) { t.rows = append(t.rows, cells) }

// String writes the table, no blanks at the ends of lines.
func (t *table) String() string {
	var wide []int
	for _, row := range t.rows {
		for i, c := range row {
			if i == len(wide) {
				wide = append(wide, 0)
			}
			wide[i] = max(wide[i], utf8.RuneCountInString(c))
		}
	}
	var s strings.Builder
	for _, row := range t.rows {
		line := ""
		for i, c := range row {
			pad := strings.Repeat(" ", wide[i]-utf8.RuneCountInString(c))
			if i < len(t.right) && t.right[i] == '1' {
				c = pad + c
			} else {
				c += pad
			}
			if i > 0 {
				line += "  "
			}
			line += c
		}
		s.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return s.String()
}
