package lang

import "fmt"

// Span is a stretch of a recipe. Lines and columns count from 1, columns in
// characters as a reader sees them; bytes count from 0, the end is excluded.
type Span struct {
	File      string `json:"file"`
	Line      int    `json:"line"`
	Column    int    `json:"column"`
	EndLine   int    `json:"endLine"`
	EndColumn int    `json:"endColumn"`
	Byte      int    `json:"byte"`
	EndByte   int    `json:"endByte"`
}

// String writes the start of the span as file:line:column, the file alone if
// the span has no place in it.
func (s Span) String() string {
	if s.Line == 0 {
		return s.File
	}
	return fmt.Sprintf("%s:%d:%d", s.File, s.Line, s.Column)
}

// Severity grades a diagnostic.
type Severity uint8

// The severities.
const (
	Fault   Severity = iota // the recipe can't be made
	Caution                 // it can, but look here
)

// String returns "fault" or "caution".
func (s Severity) String() string {
	if s == Caution {
		return "caution"
	}
	return "fault"
}

// MarshalText writes the severity as its word.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Diag is one remark about a recipe.
type Diag struct {
	Severity Severity `json:"severity"`
	Summary  string   `json:"summary"` // what is wrong, one line
	Detail   string   `json:"detail"`  // what to do, may be empty or several lines
	Span     Span     `json:"span"`
	Address  string   `json:"-"`                // of the block that a later stage speaks of; else empty
	Word     string   `json:"-"`                // of that block, or empty
	Line     string   `json:"source,omitempty"` // the line itself, or the part of it round the span
	Mark     int      `json:"-"`                // characters before the span in Line
	Marks    int      `json:"-"`                // characters of the span in Line
}

// String writes place and summary on one line.
func (d Diag) String() string {
	return fmt.Sprintf("%s: %s: %s", d.Span, d.Severity, d.Summary)
}

// Diags is a list of diagnostics, sorted by place.
type Diags []Diag

// Faulty says whether one of them is a fault.
func (ds Diags) Faulty() bool {
	for _, d := range ds {
		if d.Severity == Fault {
			return true
		}
	}
	return false
}

// Error writes the first fault and how many more there are, so that a faulty
// list can travel as an error.
func (ds Diags) Error() string {
	switch len(ds) {
	case 0:
		return "no faults"
	case 1:
		return ds[0].String()
	}
	return fmt.Sprintf("%s (and %d more)", ds[0], len(ds)-1)
}
