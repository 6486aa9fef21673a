package cli

import (
	"encoding/json"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/lang"
)

// answer is what every verb's answer has: the name of its form with a version,
// which changes when a field changes its meaning or goes, and what is wrong.
type answer struct {
	Schema  string     `json:"schema"`
	OK      bool       `json:"ok"`
	Error   string     `json:"error,omitempty"`
	Remarks lang.Diags `json:"remarks"`

	err error
	bad bool // it has faults that are not among the remarks
}

func (a *answer) base() *answer { return a }

// replier is an answer that can be printed for people.
type replier interface {
	base() *answer
	text() string // may be empty
}

// reply prints an answer: for people the text on Out and the remarks on Err,
// for machines all of it as JSON on Out. It returns what ends the run.
func (r *run) reply(c *cli.Context, o replier) error {
	a := o.base()
	if _, ok := a.err.(wrongCall); ok {
		return a.err
	}
	a.OK = a.err == nil && !a.bad && !a.Remarks.Faulty()
	end := a.err
	if end == nil && !a.OK {
		end = errShown{exitFaults}
	}
	if c.Bool("json") {
		if a.err != nil {
			a.Error = a.err.Error()
		}
		if a.Remarks == nil {
			a.Remarks = lang.Diags{}
		}
		if err := r.printJSON(o); err != nil {
			return err
		}
		return end
	}
	if err := a.Remarks.Print(r.Err, r.layout()); err != nil {
		return err
	}
	if a.err != nil {
		return a.err
	}
	if err := r.printf("%s", o.text()); err != nil {
		return err
	}
	return end
}

func (r *run) printJSON(v any) error {
	e := json.NewEncoder(r.Out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
