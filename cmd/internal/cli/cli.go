// Package cli holds the verbs of the command waxwright: what is typed is read
// here, what is found is printed here, and nothing else is done here.
//
// Results go to Out, talk to Err. Exit codes: 0 all is well; 1 the recipe or
// the piece has faults, or the work could not be done; 2 the call was wrong.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
)

// World is all that a run may touch.
type World struct {
	In       io.Reader
	Out, Err io.Writer
	Disk     build.Disk
	Getenv   func(string) string
	Terminal bool // Err is a screen that somebody looks at
	Width    int  // of that screen in columns; 0: unknown
}

// Exit codes.
const (
	exitFine   = 0
	exitFaults = 1
	exitWrong  = 2
)

// Main runs the command with the arguments that follow its name and returns
// the exit code. When ctx ends the work stops and nothing is left half-done.
func Main(ctx context.Context, args []string, w World) int {
	r := &run{World: w}
	app := r.app()
	args, err := permute(app, args)
	if err == nil {
		err = app.RunContext(ctx, append([]string{app.Name}, args...))
	}
	return r.exit(ctx, err)
}

// run is one run of the command.
type run struct{ World }

// app describes the command to the library that parses and dispatches.
func (r *run) app() *cli.App {
	app := &cli.App{
		Name:            "waxwright",
		Usage:           "from one recipe to castable models",
		Writer:          r.Out,
		ErrWriter:       r.Err,
		HideHelpCommand: true,
		HideVersion:     true,
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "version", Usage: "print the version and end"},
		},
		Action: func(c *cli.Context) error {
			if c.Bool("version") {
				return r.printf("waxwright %s\n", version())
			}
			fmt.Fprint(r.Err, overview(c.App))
			return errShown{exitWrong}
		},
		Commands: []*cli.Command{
			r.newVerb(), r.makeVerb(), r.proveVerb(), r.explainVerb(), r.pictureVerb(), r.papersVerb(), r.benchVerb(), r.completionVerb(),
		},
		// The library would split "a=1,b=2" and end the process by itself.
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              func(_ *cli.Context, err error, _ bool) error { return wrongCall{err.Error(), ""} },
	}
	for _, c := range app.Commands {
		c.HideHelpCommand = true
		c.OnUsageError = app.OnUsageError
		c.CustomHelpTemplate = help(c)
	}
	app.CustomAppHelpTemplate = overview(app)
	return app
}

// wrongCall is an error of whoever typed the call.
type wrongCall struct{ problem, verb string }

func (e wrongCall) Error() string { return e.problem }

// wrong makes a wrongCall of a verb.
func wrong(c *cli.Context, format string, args ...any) error {
	return wrongCall{fmt.Sprintf(format, args...), c.Command.Name}
}

// errShown ends a run whose user has been told all there is to tell.
type errShown struct{ code int }

func (e errShown) Error() string { return "" }

// exit tells what went wrong, if anything did, and returns the exit code.
func (r *run) exit(ctx context.Context, err error) int {
	var call wrongCall
	var shown errShown
	switch {
	case err == nil:
		return exitFine
	case errors.As(err, &shown):
		return shown.code
	case errors.As(err, &call):
		fmt.Fprintf(r.Err, "waxwright: %s\n", call.problem)
		fmt.Fprintf(r.Err, "%s says how it is called\n", strings.Join(strings.Fields("waxwright "+call.verb+" --help"), " "))
		return exitWrong
	case ctx.Err() != nil:
		fmt.Fprintln(r.Err, "waxwright: stopped; nothing was written")
		return exitFaults
	}
	fmt.Fprintf(r.Err, "waxwright: %v\n", err)
	return exitFaults
}

// printf prints a result. What can't be printed, into a full disk or a closed
// pipe, is an error like any other.
func (r *run) printf(format string, args ...any) error {
	if _, err := fmt.Fprintf(r.Out, format, args...); err != nil {
		return fmt.Errorf("printing: %w", err)
	}
	return nil
}

// layout says how diagnostics are printed to Err.
func (r *run) layout() lang.Layout {
	return lang.Layout{Color: r.Terminal && r.Getenv("NO_COLOR") == "" && r.Getenv("TERM") != "dumb"}
}

// version names the build.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" {
		v = "devel"
	}
	return v + " " + info.GoVersion
}
