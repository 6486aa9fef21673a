package lang

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// Layout says how diagnostics are printed.
type Layout struct {
	Color bool // with terminal colours
	Most  int  // how many to print before "and n more"; 0: 20
}

// Print writes the diagnostics for people: place and what is wrong, the line
// with carets under the span, what to do.
//
//	sun.hcl:36:3: fault: a plate has no word "accross"
//	  accross = 20
//	  ^^^^^^^
//	  did you mean "across"?
func (ds Diags) Print(w io.Writer, l Layout) error {
	if l.Most == 0 {
		l.Most = 20
	}
	paint := func(code, s string) string {
		if !l.Color {
			return s
		}
		return "\x1b[" + code + "m" + s + "\x1b[0m"
	}
	var out bytes.Buffer
	for i, d := range ds {
		if i == l.Most {
			fmt.Fprintf(&out, "and %d more\n", len(ds)-i)
			break
		}
		hue := "31" // red
		if d.Severity == Caution {
			hue = "33" // yellow
		}
		fmt.Fprintf(&out, "%s: %s: %s\n", d.Span, paint(hue, d.Severity.String()), d.Summary)
		if d.Line != "" {
			indent := len(d.Line) - len(strings.TrimLeft(d.Line, " "))
			indent = min(indent, d.Mark)
			fmt.Fprintf(&out, "  %s\n", d.Line[indent:])
			fmt.Fprintf(&out, "  %s%s\n", strings.Repeat(" ", d.Mark-indent), paint(hue, strings.Repeat("^", d.Marks)))
		}
		if d.Detail != "" {
			fmt.Fprintf(&out, "  %s\n", strings.ReplaceAll(d.Detail, "\n", "\n  "))
		}
	}
	_, err := w.Write(out.Bytes())
	return err
}

// WriteJSON writes the diagnostics as one JSON array, an object each with
// severity, summary, detail, span and source line.
func (ds Diags) WriteJSON(w io.Writer) error {
	if ds == nil {
		ds = Diags{}
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode([]Diag(ds))
}
